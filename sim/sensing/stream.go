package sensing

import (
	"hash/fnv"
	"math/rand/v2"
)

// Stream is the PCG stream of one named source of chance: the same seed and name give the same numbers, always. Each
// has its own, so that a new source never shifts the numbers of an old one and the order of the robots does not matter.
func Stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name)) // never fails, as hash.Hash promises
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}
