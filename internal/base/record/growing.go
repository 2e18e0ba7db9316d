package record

import (
	"fmt"
	"io"

	"chalkfield/internal/base/atomicfile"
)

// Growing watches a record that is being made, so that nobody waits an hour for a rehearsal whose record is then
// refused as too large.
type Growing struct {
	to      io.Writer
	samples codec
	done    int // samples seen
	memory  int // bytes that they take
}

// NewGrowing watches a record from its beginning.
func NewGrowing() *Growing { return newGrowing(atomicfile.Record) }

func newGrowing(kind atomicfile.Kind) *Growing {
	return &Growing{to: atomicfile.Within(io.Discard, kind, 0, instead)}
}

// Watch says as soon as the samples alone are more than Write would take.
func (g *Growing) Watch(r *Record) error {
	for ; g.done < len(r.Samples); g.done++ {
		s := &r.Samples[g.done]
		text, err := g.samples.writeSample(s)
		if err == nil {
			_, err = g.to.Write(text)
		}
		if g.memory += s.memory(); err == nil && g.memory > mostMemory {
			err = tooMuchMemory(mostMemory)
		}
		if err != nil {
			return fmt.Errorf("after %.0f s: %w", s.T, err)
		}
	}
	return nil
}
