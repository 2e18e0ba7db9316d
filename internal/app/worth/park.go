package worth

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/sim/scoring"
)

// parks are the tasks of the robot itself: to be in a zone as its rules have it.
func (w *finder) parks() (list []*Task, err error) {
	away := w.judge.rules(standing(geom.Pose{X: -100, Y: -100}))
	for z := range w.f.Zones {
		zone := &w.f.Zones[z]
		middle := zone.Shape.Centroid()
		at := func(p geom.Pose) *Task {
			return w.task("robot in "+zone.Name, "robot", zone.Name, middle, away, standing(p))
		}
		best, turned := at(geom.Pose{X: middle.X, Y: middle.Y, Heading: headings[0]}), headings[0]
		for _, h := range headings[1:] {
			if t := at(geom.Pose{X: middle.X, Y: middle.Y, Heading: h}); t.Points > best.Points {
				best, turned = t, h
			}
		}
		if best.Points <= 0 {
			continue
		}
		counts := func(p geom.Pose) bool {
			in := zone.Shape.Contains(p.At()) || zone.Shape.Distance(p.At()) <= w.machine.farthest()
			return in && at(p).Points >= best.Points
		}
		if counts(w.start) {
			best.Already = true
		} else if best.Drive, err = w.park(middle, turned, counts); err != nil {
			return nil, err
		}
		list = append(list, best.close())
	}
	return list, nil
}

// standing puts the robot somewhere.
func standing(at geom.Pose) func(*scoring.State) {
	return func(s *scoring.State) { s.Robots[0].At = at }
}

// park is the soonest way to where the robot counts: straight ahead or back as it stands; towards the middle, round
// what stands there, forwards or backwards; and to the middle, turned as it counts there.
func (w *finder) park(middle geom.Vec, heading float64, counts func(geom.Pose) bool) (best Way, err error) {
	best.blocked = true
	try := func(v Way, back bool, length float64) error {
		sign := 1.0
		if back {
			sign = -1
		}
		far := w.enters(v.End, sign, length, counts)
		if far == 0 {
			return nil
		}
		err := v.straight(w.still, sign*far)
		if err == nil && v.sooner(&best) {
			best = v
		}
		return err
	}
	across := w.fromStart(middle) // beyond that the zone is not near
	for _, back := range []bool{false, true} {
		if err := try(way(w.start), back, across); err != nil {
			return best, err
		}
	}
	points := w.land.between(w.start.At(), middle)
	if points == nil {
		return best, nil
	}
	v := way(w.start)
	for _, p := range points[:len(points)-1] {
		if err := v.visit(w.still, p); err != nil {
			return best, err
		}
	}
	off := geom.Vec{X: middle.X - v.End.X, Y: middle.Y - v.End.Y}
	for _, back := range []bool{false, true} {
		turned := v.clone()
		bearing := portable.Atan2(off.Y, off.X)
		if back {
			bearing += math.Pi
		}
		if err := turned.face(w.still, bearing); err != nil {
			return best, err
		}
		if err := try(turned, back, geom.Norm(off)); err != nil {
			return best, err
		}
	}
	if best.blocked && w.land.stands(middle) { // it counts there, turned so
		if err := v.visit(w.still, middle); err != nil {
			return best, err
		}
		err = v.face(w.still, heading)
		best = v
	}
	return best, err
}

// march is how finely it is looked where a robot begins to count, m.
const march = 0.005

// enters is how far the robot drives straight until it counts, as surely as its start is known, and has room; 0: not on
// so long a way.
func (w *finder) enters(from geom.Pose, sign, length float64, counts func(geom.Pose) bool) float64 {
	at := func(d float64) geom.Pose {
		p := from.ToWorld(geom.Vec{X: sign * d})
		return geom.Pose{X: p.X, Y: p.Y, Heading: from.Heading}
	}
	for d := march; d <= length; d += march {
		if !counts(at(d)) {
			continue
		}
		sure := d + math.Max(room, 3*w.machine.sideways(w.fromStart(at(d).At())))
		if !counts(at(sure)) { // a narrow zone
			sure = d + march
		}
		end := at(sure).At()
		if !w.land.free(from.At(), end) || !w.land.stands(end) || w.land.clear(end) < w.land.wide-room {
			return 0
		}
		return sure
	}
	return 0
}
