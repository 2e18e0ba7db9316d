package program

import (
	"crypto/rand"
	"fmt"
)

// newMark is what a program's environment gets, so that its children are known by it wherever they go. It decides
// nothing in a rehearsal.
func newMark() string {
	var number [8]byte
	rand.Read(number[:]) // it never fails
	return fmt.Sprintf("CHALKFIELD_STARTED=%x", number)
}
