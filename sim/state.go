package sim

import (
	"chalkfield/internal/base/geom"
	"chalkfield/sim/scoring"
)

// State fills in where everything is for scoring; phases and fouls of the state stay as they are.
func (w *World) State(s *scoring.State) { w.fill(s, true) }

// Freshen is State for a state that was filled a sample ago: it keeps what sleeps, because that has stood still since
// before.
func (w *World) Freshen(s *scoring.State) { w.fill(s, false) }

func (w *World) fill(s *scoring.State, all bool) {
	pieces := len(w.field.Pieces)
	if s.Robots == nil {
		all = true
		s.Pieces = make([]scoring.Piece, pieces)
		s.Goals = make([]geom.Pose, len(w.bodies)-pieces)
		s.Robots = make([]scoring.Robot, len(w.robots))
	}
	for i, b := range w.bodies[:pieces] {
		if !all && b.Asleep() {
			continue
		}
		s.Pieces[i] = scoring.Piece{At: b.Pose(), In: b.Holder, Scorer: b.Scorer}
		if g := b.Holder.Goal(); g >= 0 {
			s.Pieces[i].Crooked = w.bodies[g].crooked == b
		}
	}
	for i, b := range w.bodies[pieces:] {
		if all || !b.Asleep() {
			s.Goals[i] = b.Pose()
		}
	}
	w.RobotState(s)
}

// RobotState fills in only where the robots are, which is all that fouls ask for.
func (w *World) RobotState(s *scoring.State) {
	for i, r := range w.robots {
		s.Robots[i] = scoring.Robot{Side: r.Side, At: r.Pose(), Outline: r.outline}
	}
}
