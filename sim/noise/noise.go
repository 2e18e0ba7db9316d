// Package noise gives every source of chance in the world its own stream of random numbers, so that a new source never
// shifts the numbers of an old one and the order in which robots are stepped does not matter.
package noise

import (
	"hash/fnv"
	"math/rand/v2"
)

// Stream is the PCG stream of one named source: the same seed and name give the same numbers, always.
func Stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name)) // never fails, as hash.Hash promises
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}
