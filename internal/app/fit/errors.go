package fit

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/sensing"
)

// errors are how far a prediction lies from a drive.
func (d *drive) errors(m *motion) Errors {
	var out Errors
	var off, size float64
	for _, s := range d.signals {
		if s.kind != leftSpeed && s.kind != rightSpeed && (s.kind != turning || d.signal(leftSpeed) != nil) {
			continue
		}
		for i, p := range m.cells(s.kind, d.edges) {
			if v := s.values[i]; v == v {
				off += float64((p - v) * (p - v))
				size += float64(v * v)
			}
		}
	}
	if size > 0 {
		out.Speed = math.Sqrt(off / size)
	}
	if along, across := d.end(endAlong), d.end(endAcross); along != nil && across != nil {
		end := math.Hypot(m.ended(along)-along.value, m.ended(across)-across.value)
		out.End = &end
	}
	if out.End == nil {
		out.End = d.reckonedOff(m)
	}
	if heading := d.end(endHeading); heading != nil {
		off := math.Abs(m.ended(heading) - heading.value)
		out.Heading = &off
	}
	return out
}

// noisy is the error of speed that the sensors' noise alone makes, as their readings at rest tell it.
func (d *drive) noisy() float64 {
	var off, size float64
	for _, s := range d.signals {
		if s.kind != leftSpeed && s.kind != rightSpeed {
			continue
		}
		for _, v := range s.values {
			if v == v {
				off, size = off+float64(s.pure*s.pure), size+float64(v*v)
			}
		}
	}
	if size == 0 {
		return 0
	}
	return math.Sqrt(off / size)
}

// reckonedOff is how far the ends are apart that travel and turning come to, for logs without x and y; nil if they tell
// too little.
func (d *drive) reckonedOff(m *motion) *float64 {
	left, right, turned := d.signal(leftSpeed), d.signal(rightSpeed), d.signal(turning)
	if left == nil || right == nil || turned == nil {
		return nil
	}
	reckoned := func(values func(s *signal) []float64) (at geom.Pose) {
		l, r, w := values(left), values(right), values(turned)
		for i := range l {
			width := d.edges[i+1] - d.edges[i]
			at = sensing.Advance(at, sensing.Twist{Along: (l[i] + r[i]) / 2 * width, Turn: w[i] * width})
		}
		return at
	}
	is := reckoned(func(s *signal) []float64 { return s.values })
	said := reckoned(func(s *signal) []float64 { return m.cells(s.kind, d.edges) })
	if off := math.Hypot(is.X-said.X, is.Y-said.Y); off == off {
		return &off
	}
	return nil
}

// tracesOf are a drive's signals beside what was predicted before and after.
func (d *drive) tracesOf(before, after *motion) (list []Trace) {
	names := [kinds][2]string{leftSpeed: {"left speed", "m/s"}, rightSpeed: {"right speed", "m/s"},
		turning: {"turning", "rad/s"}, leftAmps: {"left current", "A"}, rightAmps: {"right current", "A"}}
	for _, s := range d.signals {
		t := Trace{Name: names[s.kind][0], Unit: names[s.kind][1], Noise: s.noise}
		was, is := before.cells(s.kind, d.edges), after.cells(s.kind, d.edges)
		for i, v := range s.values {
			if v == v {
				t.Time = append(t.Time, (d.edges[i]+d.edges[i+1])/2)
				t.Logged, t.Before, t.After = append(t.Logged, v), append(t.Before, was[i]), append(t.After, is[i])
			}
		}
		list = append(list, t)
	}
	return list
}
