package atomicfile

import (
	"fmt"
	"io"
)

// Within is a writer that keeps a file of a kind, which has so many bytes already, to what can be read back. instead
// says what to do when it would have more.
func Within(to io.Writer, kind Kind, already int64, instead string) io.Writer {
	return &narrow{to, kind, kind.Most - already, instead}
}

type narrow struct {
	to      io.Writer
	kind    Kind
	left    int64
	instead string
}

func (n *narrow) Write(p []byte) (int, error) {
	if n.left -= int64(len(p)); n.left < 0 {
		return 0, fmt.Errorf("%s of more than %s cannot be read back: %s", n.kind.Name, megabytes(n.kind.Most), n.instead)
	}
	return n.to.Write(p)
}
