package worth

import (
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/sim"
	"chalkfield/sim/robot"
	"chalkfield/sim/sensing"
)

// drawn is what a draw of the spread makes wrong: the start, how far each train rolls beyond what the robot believes,
// a share of it, and what its heading drifts, rad/s. A thing's are in its standard deviations.
type drawn struct {
	start       geom.Pose
	trains      [2]float64
	drift       float64
	piece, goal geom.Pose
}

// draws is of how many a chance is the mean, always the same ones: sqrt(p (1-p)/draws) is 1 % at most.
const draws = 2000

// chances are those of each draw; their mean is the chance. What a start is off counts for the piece and the goal.
type chances []float64

func (c chances) mean() float64 {
	sum := 0.0
	for _, p := range c {
		sum += p
	}
	return sum / float64(len(c))
}

// times is the chance that both happen.
func (c chances) times(d chances) chances {
	out := make(chances, len(c))
	for i := range c {
		out[i] = c[i] * d[i]
	}
	return out
}

// sure is what is certain.
func (w *finder) sure() chances {
	out := make(chances, draws)
	for i := range out {
		out[i] = 1
	}
	return out
}

// draw draws what a robot's spread may make wrong, each normal and cut at three standard deviations, as a rehearsal
// does.
func (w *finder) draw() {
	stream := sensing.Stream(1, "worth")
	normal := func() float64 {
		for {
			if x := portable.Normal(stream); math.Abs(x) <= 3 {
				return x
			}
		}
	}
	s := &w.machine.spec.Spread
	scale, method := portable.Hypot(s.Sensors, s.Radius), w.machine.spec.Odometry.Method
	if method == robot.ByTracking {
		scale = s.Sensors
	}
	w.drawn = make([]drawn, draws)
	for i := range w.drawn {
		d := &w.drawn[i]
		d.start = geom.Pose{X: s.StartAt * normal(), Y: s.StartAt * normal(), Heading: s.StartHeading * normal()}
		d.trains = [2]float64{scale * normal(), scale * normal()}
		if d.drift = s.InertialBias * normal(); method == robot.ByEncoders {
			d.drift = 0
		}
		d.piece = geom.Pose{X: w.f.Spread.PieceAt * normal(), Y: w.f.Spread.PieceAt * normal()}
		d.goal = geom.Pose{X: w.f.Spread.GoalAt * normal(), Y: w.f.Spread.GoalAt * normal(),
			Heading: w.f.Spread.GoalHeading * normal()}
	}
}

// truly is where the robot truly ends a way that it believes to drive exactly: dead reckoning by trains that roll
// farther than is believed, turn by turn and stretch by stretch (the kinematics of a differential drive, Lynch & Park,
// 13.3).
func (w *finder) truly(v *Way, d *drawn) geom.Pose {
	p := geom.Pose{X: w.start.X + d.start.X, Y: w.start.Y + d.start.Y, Heading: w.start.Heading + d.start.Heading}
	byTrains, track := w.machine.spec.Odometry.Method == robot.ByEncoders, w.machine.spec.Odometry.Track
	before := w.start
	for i, to := range v.Poses {
		turn := geom.WrapAngle(to.Heading - before.Heading)
		far := geom.Pose{X: before.X, Y: before.Y, Heading: to.Heading}.ToLocal(to.At()).X
		mean, bend := (d.trains[0]+d.trains[1])/2, 0.0
		if byTrains {
			turn *= 1 + mean
			bend = (d.trains[1] - d.trains[0]) * far / track
		}
		p.Heading += turn + float64(d.drift*v.Moves[i].Seconds)
		u := geom.Unit(p.Heading + bend/2)
		rolled := far * (1 + mean)
		p.X, p.Y, p.Heading = p.X+float64(rolled*u.X), p.Y+float64(rolled*u.Y), p.Heading+bend
		before = to
	}
	return p
}

// handTakes are the chances that a hand takes a piece at a way's end.
func (w *finder) handTakes(v *Way, h *hand, piece int) chances {
	out := make(chances, draws)
	at := w.f.Pieces[piece].At
	for i := range w.drawn {
		d := &w.drawn[i]
		off := w.truly(v, d).ToLocal(geom.Vec{X: at.X + d.piece.X, Y: at.Y + d.piece.Y})
		if math.Abs(off.Y) <= h.tolerance {
			out[i] = 1
		}
	}
	return out
}

// serverPuts are the chances that a server puts a piece into a goal at a way's end so that it counts: one that lands
// crooked waits for a next one. A goal that is moved is filled as the clamp holds it, so what counts is whether that
// takes it.
func (w *finder) serverPuts(v *Way, s *server, goal int) (chances, error) {
	missed, err := w.missed(v)
	if err != nil {
		return nil, err
	}
	out := make(chances, draws)
	g := &w.f.Goals[goal]
	kind := &w.f.GoalKinds[g.Kind]
	for i := range w.drawn {
		d := &w.drawn[i]
		end := w.truly(v, d).Compose(missed)
		turned := geom.WrapAngle(end.Heading - v.End.Heading)
		if !kind.Fixed {
			out[i] = w.clamps(end, d, g, kind, turned)
			continue
		}
		off := math.Abs(end.Compose(s.at).ToLocal(g.At.At()).Y)
		if kind.Around {
			turned = 0
		}
		if s.crooked <= 0 || off <= s.crooked {
			out[i] = sim.Captures(portable.Hypot(off/s.offset, turned/s.angle), s.softness)
		}
	}
	return out, nil
}

// clamps is the chance that a clamp takes a goal from where the robot ends, which pushes it ahead where it is too near.
func (w *finder) clamps(end geom.Pose, d *drawn, g *fields.Goal, kind *fields.GoalKind, turned float64) float64 {
	c := w.machine.clamp
	seat := end.Compose(c.At)
	off := seat.ToLocal(geom.Vec{X: g.At.X + d.goal.X, Y: g.At.Y + d.goal.Y})
	nearest := reaches(kind.Shape, seat.Heading+math.Pi-g.At.Heading) + w.machine.spec.Chassis.Length/2
	off.X = math.Max(off.X, nearest-geom.Norm(c.At.At()))
	turn := d.goal.Heading - turned
	return sim.Captures(portable.Hypot(geom.Norm(off)/c.Offset, turn/c.Angle), c.Softness)
}

// missed is how far off a way's end the robot stands without any spread, seen from that end: what its motions leave, as
// a rehearsal of one way to there has it.
func (w *finder) missed(v *Way) (geom.Pose, error) {
	if known, is := w.left[v.End]; is {
		return known, nil
	}
	f := *w.f
	f.Phases = append([]fields.Phase(nil), f.Phases...)
	for i := range f.Phases {
		f.Phases[i].Seconds = v.Seconds + stops
	}
	text := fmt.Sprintf("return routine {title = \"way\", side = %q, auto = function(bot)\n%s\nend}",
		w.f.Sides[w.side].Name, v.Lua())
	rec, err := w.machine.rehearsed(w.ctx, &f, text, w.start)
	if err != nil {
		return geom.Pose{}, err
	}
	last := rec.Samples[len(rec.Samples)-1]
	w.left[v.End] = v.End.Relative(last.Robots[0].True.Geom())
	return w.left[v.End], nil
}

// stops is the time in which a way's last motion ends, s.
const stops = 0.3
