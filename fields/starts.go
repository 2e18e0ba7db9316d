package fields

import (
	"fmt"

	"chalkfield/internal/base/geom"
)

func (b *builder) starts() {
	listed := b.field.Starts
	b.few("starts", len(listed), maxListed)
	b.field.Starts = nil
	count := numbers{}
	for i, s := range listed[:min(len(listed), maxListed)] {
		path := fmt.Sprintf("starts[%d]", i)
		s.At = settled(s.At)
		b.start(path, s, count)
		if b.copies(path, s.Copy) {
			s.At, s.Side = b.copyPose(s.At), b.field.OtherSide(s.Side)
			if s.Name != "" {
				s.Name = b.copyName(s.Name)
			}
			b.start(path, s, count)
		}
	}
	starts := b.field.Starts
	b.unique("start", len(starts), func(i int) (string, string) { return b.startPaths[i], starts[i].Name })
}

func (b *builder) start(path string, s Start, count numbers) {
	s.Name = b.called(path, s.Name, "start", s.Side, count)
	b.onFloor(path+".at", s.At.At())
	b.field.Starts, b.startPaths = append(b.field.Starts, s), append(b.startPaths, path)
}

// StartFor is the first place where robots of a side may begin, false where the field names none.
func (f *Field) StartFor(side int) (geom.Pose, bool) {
	for _, s := range f.Starts {
		if s.Side == side || s.Side < 0 {
			return s.At, true
		}
	}
	return geom.Pose{}, false
}
