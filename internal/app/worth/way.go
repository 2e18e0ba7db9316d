package worth

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/scripting/motion"
	"chalkfield/sim/robot"
)

// still is a robot that stands and believes so: motions plan from it, and are not driven.
type still struct {
	*robot.Robot
	model robot.Model
	at    geom.Pose
}

func (s *still) Model() robot.Model                  { return s.model }
func (s *still) Belief() geom.Pose                   { return s.at }
func (s *still) BeliefSpeed() (along, turn float64)  { return 0, 0 }
func (s *still) MeasuredWheelSpeeds() (l, r float64) { return 0, 0 }
func (s *still) Terminal() float64                   { return s.Battery.Open }
func (s *still) SetDriveVolts(left, right float64)   {}

// Move is one motion of a way.
type Move struct {
	Call    string  `json:"call"` // as a routine has it
	Seconds float64 `json:"seconds"`
}

// Way is how the robot gets somewhere.
type Way struct {
	Length  float64     `json:"length"`  // m
	Seconds float64     `json:"seconds"` // as its motions plan it
	Moves   []Move      `json:"moves"`
	Poses   []geom.Pose `json:"-"` // at each move's end
	End     geom.Pose   `json:"-"`
	blocked bool        // there is none
}

// clone is a way that goes on without the other.
func (w Way) clone() Way {
	w.Moves, w.Poses = slices.Clone(w.Moves), slices.Clone(w.Poses)
	return w
}

// Lua is the way as a routine drives it.
func (w *Way) Lua() string {
	var out strings.Builder
	for _, m := range w.Moves {
		out.WriteString("bot.drive:" + m.Call + "\n")
	}
	return out.String()
}

// settling is what a motion takes after its plan until it counts as arrived, s: the time that it must be within the
// tolerance begins shortly before the plan's end.
const settling = 0.01

// drive adds a motion, planned from where the way is.
func (w *Way) drive(s *still, call string, m *motion.Motion, err error, end geom.Pose) error {
	if err != nil {
		return err
	}
	s.at = w.End
	if err := m.Start(s); err != nil {
		return err
	}
	seconds := m.Result().Planned
	if seconds > 0 {
		seconds += settling
	}
	w.Moves = append(w.Moves, Move{call, seconds})
	w.Seconds += seconds
	w.Length += geom.Norm(geom.Vec{X: end.X - w.End.X, Y: end.Y - w.End.Y})
	w.End = end
	w.Poses = append(w.Poses, end)
	return nil
}

// visit drives to a place, forwards.
func (w *Way) visit(s *still, to geom.Vec) error {
	dx, dy := to.X-w.End.X, to.Y-w.End.Y
	if geom.Norm(geom.Vec{X: dx, Y: dy}) < 0.02 {
		return nil
	}
	end := geom.Pose{X: to.X, Y: to.Y, Heading: portable.Atan2(dy, dx)}
	m, err := motion.Visit(to, motion.Options{})
	return w.drive(s, fmt.Sprintf("visit(%.0f, %.0f)", 1000*to.X, 1000*to.Y), m, err, end)
}

// faced is a turn that is none, rad.
const faced = 1e-6

// face turns, and ahead drives straight, slowly: what is taken or met at its end is not to be knocked away.
func (w *Way) face(s *still, heading float64) error {
	if math.Abs(geom.WrapAngle(heading-w.End.Heading)) < faced {
		return nil
	}
	end := w.End
	end.Heading = heading
	m, err := motion.Face(heading, motion.Shortest, motion.Options{})
	return w.drive(s, fmt.Sprintf("face(%.1f)", geom.Degrees(geom.WrapAngle(heading))), m, err, end)
}

const gently = 0.5 // m/s

func (w *Way) ahead(s *still, distance float64) error {
	return w.along(s, distance, fmt.Sprintf("ahead(%.0f, {speed = %.0f})", 1000*distance, 1000*gently),
		motion.Options{Speed: gently})
}

// straight drives ahead, or back, as fast as it may.
func (w *Way) straight(s *still, distance float64) error {
	return w.along(s, distance, fmt.Sprintf("ahead(%.0f)", 1000*distance), motion.Options{})
}

func (w *Way) along(s *still, distance float64, call string, o motion.Options) error {
	end := w.End
	at := w.End.ToWorld(geom.Vec{X: distance})
	end.X, end.Y = at.X, at.Y
	m, err := motion.Ahead(distance, o)
	return w.drive(s, call, m, err, end)
}

// land is what the robot drives round: the walls, and goals.
type land struct {
	field *fields.Field
	floor geom.Polygon
	wide  float64        // m: the robot's half width, with room
	goals []geom.Polygon // where they stand
}

const room = 0.03 // m beside the robot

func newLand(f *fields.Field, r *robot.Robot) *land {
	l := &land{field: f, floor: f.Floor, wide: r.Chassis.Width/2 + room}
	for _, g := range f.Goals {
		l.goals = append(l.goals, f.GoalKinds[g.Kind].Shape.Placed(g.At))
	}
	return l
}

// free tells whether the robot's middle may go straight from one place to another: through no wall, and past each goal
// as far as the robot is wide, or as near as it stands there before or after.
func (l *land) free(a, b geom.Vec) bool {
	for i := range l.floor {
		if a != b && geom.SegmentsMeet(a, b, l.floor[i], l.floor[(i+1)%len(l.floor)]) {
			return false
		}
	}
	for _, g := range l.goals {
		if d := near(g, a, b); d < least*l.wide && d < min(near(g, a, a), near(g, b, b)) {
			return false
		}
	}
	return true
}

// least is the part of its half width with room that the robot keeps away from goals.
const least = 0.95

// stands tells whether the robot's middle may be at a place, for all that goals take.
func (l *land) stands(at geom.Vec) bool {
	for _, g := range l.goals {
		if near(g, at, at) < least*l.wide {
			return false
		}
	}
	return true
}

// near is the distance of an outline from a line.
func near(p geom.Polygon, a, b geom.Vec) float64 {
	if p.Contains(a) || p.Contains(b) {
		return 0
	}
	nearest := math.Inf(1)
	for i, v := range p {
		w := p[(i+1)%len(p)]
		if a != b && geom.SegmentsMeet(a, b, v, w) {
			return 0
		}
		nearest = min(nearest, geom.DistanceToSegment(v, a, b), geom.DistanceToSegment(a, v, w),
			geom.DistanceToSegment(b, v, w))
	}
	return nearest
}

// clear is how far a place is from the walls, m; 0 beyond them.
func (l *land) clear(at geom.Vec) float64 {
	if !l.floor.Contains(at) {
		return 0
	}
	return l.floor.Distance(at)
}

// beside is how far from a corner the robot passes, in times its half width with room: the corner's diagonal, so that
// it is as far from both sides that meet there.
const beside = 1.45

// corners are places beside the goals' corners where the robot may be.
func (l *land) corners() (list []geom.Vec) {
	for _, g := range l.goals {
		middle := g.Centroid()
		for _, v := range g {
			if v == middle {
				continue
			}
			out := geom.Direction(geom.Vec{X: v.X - middle.X, Y: v.Y - middle.Y})
			at := geom.Vec{X: v.X + float64(beside*l.wide*out.X), Y: v.Y + float64(beside*l.wide*out.Y)}
			if l.clear(at) >= l.wide {
				list = append(list, at)
			}
		}
	}
	return list
}

// between is the shortest way of straight lines round what stands there, without its begin (Dijkstra over the lines
// that are free; Lozano-Perez & Wesley, An algorithm for planning collision-free paths, CACM 22(10), 1979). nil: none.
func (l *land) between(a, b geom.Vec) []geom.Vec {
	if l.free(a, b) {
		return []geom.Vec{b}
	}
	nodes := append([]geom.Vec{a, b}, l.corners()...)
	far, from, done := make([]float64, len(nodes)), make([]int, len(nodes)), make([]bool, len(nodes))
	for i := range far {
		far[i] = math.Inf(1)
	}
	far[0] = 0
	for {
		at := -1
		for i := range nodes {
			if !done[i] && (at < 0 || far[i] < far[at]) {
				at = i
			}
		}
		if at < 0 || math.IsInf(far[at], 1) {
			return nil
		}
		if at == 1 {
			break
		}
		done[at] = true
		for i, v := range nodes {
			d := far[at] + geom.Norm(geom.Vec{X: v.X - nodes[at].X, Y: v.Y - nodes[at].Y})
			if !done[i] && d < far[i] && l.free(nodes[at], v) {
				far[i], from[i] = d, at
			}
		}
	}
	var list []geom.Vec
	for i := 1; i != 0; i = from[i] {
		list = append([]geom.Vec{nodes[i]}, list...)
	}
	return list
}
