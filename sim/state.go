package sim

import (
	"chalkfield/internal/geom"
	"chalkfield/sim/scoring"
)

// State fills in where everything is for scoring; phases and fouls of the state stay as they are.
func (w *World) State(s *scoring.State) {
	pieces := len(w.field.Pieces)
	if s.Robots == nil {
		s.Pieces = make([]scoring.Piece, pieces)
		s.Goals = make([]geom.Pose, len(w.bodies)-pieces)
		s.Robots = make([]scoring.Robot, len(w.robots))
	}
	for i, b := range w.bodies[:pieces] {
		s.Pieces[i] = scoring.Piece{At: b.Pose(), In: b.Holder, Scorer: b.Scorer}
		if g := b.Holder.Goal(); g >= 0 {
			s.Pieces[i].Crooked = w.bodies[g].crooked == b
		}
	}
	for i, b := range w.bodies[pieces:] {
		s.Goals[i] = b.Pose()
	}
	for i, r := range w.robots {
		s.Robots[i] = scoring.Robot{Side: r.Side, At: r.Pose(), Outline: r.outline}
	}
}
