package sim

import (
	"math"
	"math/rand/v2"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/sim/robot"
	"chalkfield/sim/sensing"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// grazing is the greatest angle from a flat mark's heading from which it can be made out, rad (common practice, no
	// source).
	grazing = 70 * math.Pi / 180
	// before is how much of the way to a mark at its end nothing hides, m: a mark hangs on a wall or stands at a goal.
	before = 0.005
	// nearest is the least range that is read, m: noise makes no mark unseen.
	nearest = 0.001
)

// watch is one mark as a sensor sees it: what is measured travels on two channels.
type watch struct {
	mark         *fields.Mark
	chance       *rand.Rand // nil: nothing random
	away, toward *sensing.Channel
}

func (r *Robot) newWatches(name string, spec *robot.MarkSensor) []watch {
	timing, none := spec.Reading()
	list := make([]watch, len(r.world.field.Marks))
	for i := range list {
		mark := &r.world.field.Marks[i]
		list[i] = watch{mark: mark, away: sensing.NewChannel(timing, none, 0, ControlTick, nil),
			toward: sensing.NewChannel(timing, none, 0, ControlTick, nil)}
		if !r.world.nominal {
			list[i].chance = sensing.Stream(r.world.seed, name+" "+mark.Name)
		}
	}
	return list
}

// markTruth looks at all marks; the reading is counted of what has come of it.
func (r *Robot) markTruth(s *sensor) float64 {
	var eye geom.Pose
	due := s.channel.Due()
	if due {
		eye = r.Pose().Compose(s.spec.Mark.At)
	}
	for i := range s.watches {
		w := &s.watches[i]
		var seen robot.Sight
		if due {
			seen = w.measure(r.sight(eye, s.spec.Mark, w.mark), s.spec.Mark)
		}
		w.away.Sample(seen.Range)
		w.toward.Sample(seen.Bearing)
	}
	return 0
}

// measure is what a sensor makes of a sight, if it does not lose it.
func (w *watch) measure(truth robot.Sight, spec *robot.MarkSensor) robot.Sight {
	if truth.Range == 0 || spec.Dropout > 0 && w.chance != nil && w.chance.Float64() < spec.Dropout {
		return robot.Sight{}
	}
	far := sensing.Measure(float64(truth.Range*(1+spec.Range.Scale)), robot.Quality(spec.Range), w.chance)
	return robot.Sight{Range: max(nearest, far),
		Bearing: sensing.Measure(float64(truth.Bearing*(1+spec.Bearing.Scale)), robot.Quality(spec.Bearing), w.chance)}
}

// sight is where a mark really is as seen from an eye.
func (r *Robot) sight(eye geom.Pose, spec *robot.MarkSensor, mark *fields.Mark) (seen robot.Sight) {
	way := r2.Sub(mark.At.At(), eye.At())
	far, toward := geom.Norm(way), portable.Atan2(way.Y, way.X)
	bearing := geom.WrapAngle(toward - eye.Heading)
	switch {
	case far < spec.Low || far > spec.High || math.Abs(bearing) > spec.View/2:
	case mark.Flat && math.Abs(geom.WrapAngle(toward+math.Pi-mark.At.Heading)) > grazing:
	case r.hidden(eye.At(), r2.Add(eye.At(), geom.Scale(max(0, far-before)/far, way)), mark.High):
	default:
		return robot.Sight{Range: far, Bearing: bearing}
	}
	return robot.Sight{}
}

// hidden tells whether something stands between two places: a wall, or below a high mark another robot or a goal that
// the robot does not hold. Pieces are too low, fixed goals hang on walls.
func (r *Robot) hidden(from, to geom.Vec, high bool) bool {
	w := r.world
	if crosses(from, to, w.field.Floor) {
		return true
	}
	if high {
		return false
	}
	for _, other := range w.robots {
		if other != r && r.blocks(from, to, other.outline, other.Pose()) {
			return true
		}
	}
	for _, b := range w.bodies[len(w.field.Pieces):] {
		if !b.Fixed() && b.shape.Filter.Group != uint(r.Index)+1 && r.blocks(from, to, b.outline, b.Pose()) {
			return true
		}
	}
	return false
}

// blocks tells whether an outline at a pose stands in the way between two places.
func (r *Robot) blocks(from, to geom.Vec, outline geom.Polygon, at geom.Pose) bool {
	r.placed = outline.AppendPlaced(r.placed[:0], at)
	return r.placed.Contains(from) || crosses(from, to, r.placed)
}

// crosses tells whether the way between two places meets an outline.
func crosses(from, to geom.Vec, outline geom.Polygon) bool {
	for i, a := range outline {
		if geom.SegmentsMeet(from, to, a, outline[(i+1)%len(outline)]) {
			return true
		}
	}
	return false
}

// Sights are where a mark sensor sees the field's marks, in their order.
func (r *Robot) Sights(sensor int) []robot.Sight {
	r.sights = r.sights[:0]
	for _, w := range r.sensors[sensor].watches {
		r.sights = append(r.sights, w.sight())
	}
	return r.sights
}

func (w *watch) sight() robot.Sight {
	return robot.Sight{Range: w.away.Reading(), Bearing: w.toward.Reading()}
}
