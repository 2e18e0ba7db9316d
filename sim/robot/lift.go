package robot

import (
	"fmt"
	"math"
)

// liftScale is what differs between an arm, in rad and N m, and an elevator, in m and N.
type liftScale struct {
	kind           int     // which of two kinds of quantity, see Positions.Unit
	position, push string  // examples for errors
	near, least    float64 // usual tolerance, and least way between the end stops, rad or m
}

var (
	armScale      = liftScale{0, `"30 deg"`, `"0.5 N m"`, 2 * math.Pi / 180, math.Pi / 180}
	elevatorScale = liftScale{1, `"200 mm"`, `"4 N"`, 0.005, 0.005}
)

// scale is that of a lift.
func (o *Lift) scale() liftScale {
	if o.Elevator {
		return elevatorScale
	}
	return armScale
}

func (r *reader) lift(p string, o *Lift) {
	s := o.scale()
	r.motor(p+".motor", &o.Motor)
	good := r.travels(s, p, "low", "high", "slack", "sensor", "within", "start")
	for _, key := range []string{".spring", ".friction"} {
		if r.at.Has(p+key) && r.at.Unit(p+key) != s.kind {
			r.at.Errorf(p+key, "an arm has a torque here, an elevator a force: write a value such as %s", s.push)
		}
	}
	r.usual(p+".within", &o.Within, s.near)
	switch {
	case o.Low >= o.High:
		r.at.Errorf(p+".high", "the upper end stop is not above the lower one: write a greater value than low")
	case o.High-o.Low < s.least && good:
		r.at.Errorf(p+".high", "the lift would hardly move: write a value of at least %s", s.show(o.Low+s.least))
	}
	r.usual(p+".start", &o.Start, o.Low)
	r.between(s, p+".start", o, o.Start)
	r.heights(s, p+".heights", o)
	r.gains(s, p+".gains", o)
}

// travels checks that positions, and parts of the way, of a lift are of its kind.
func (r *reader) travels(s liftScale, p string, keys ...string) bool {
	good := true
	for _, key := range keys {
		if path := p + "." + key; r.at.Has(path) && r.at.Unit(path) != s.kind {
			r.at.Errorf(path, "%s: write a value such as %s", wrongUnit(s), s.position)
			good = false
		}
	}
	return good
}

// between checks that a position lies between the lift's end stops.
func (r *reader) between(s liftScale, path string, o *Lift, x float64) {
	if r.at.Has(path) && r.at.Unit(path) == s.kind && (x < o.Low || x > o.High) {
		r.at.Errorf(path, "out of range: write a value from %s to %s", s.show(o.Low), s.show(o.High))
	}
}

func wrongUnit(s liftScale) string {
	if s.kind == elevatorScale.kind {
		return "an elevator's positions are lengths (elevator = true)"
	}
	return "an arm's positions are angles; only a lift with elevator = true has lengths"
}

// show prints a position as the file would have it.
func (s liftScale) show(x float64) string {
	if s.kind == elevatorScale.kind {
		return fmt.Sprintf("\"%.4g mm\"", x*1000)
	}
	return fmt.Sprintf("\"%.4g deg\"", x*180/math.Pi)
}

func (r *reader) heights(s liftScale, path string, o *Lift) {
	if len(o.Heights) > 30 {
		r.at.Errorf(path, "%d heights are more than the 30 a lift may have", len(o.Heights))
		return
	}
	var names []string
	for i, h := range o.Heights {
		p := fmt.Sprintf("%s[%d]", path, i)
		if h.Name == "" {
			r.at.Errorf(p+".name", "a height needs a name: write \"rack\"")
		}
		r.unique(p+".name", "height", h.Name, names)
		names = append(names, h.Name)
		r.travels(s, p, "at")
		r.between(s, p+".at", o, h.At)
	}
}

// gains checks the closed loop's gains. Without p they are computed: see usualP.
func (r *reader) gains(s liftScale, path string, o *Lift) {
	for _, key := range []string{".p", ".i", ".d"} {
		if r.at.Has(path+key) && r.at.Unit(path+key) != s.kind {
			r.at.Errorf(path+key, "%s: give the gain per %s", wrongUnit(s), s.per())
		}
	}
	if !r.at.Has(path+".p") && o.Motor >= 0 {
		o.Gains.P = r.usualP(o)
	}
}

func (s liftScale) per() string {
	if s.kind == elevatorScale.kind {
		return "mm"
	}
	return "deg"
}

// usualP saturates the motor at a tenth of the way between the end stops.
func (r *reader) usualP(o *Lift) float64 {
	if o.High <= o.Low {
		return 0
	}
	return r.out.Motors[o.Motor].Nominal / (0.1 * (o.High - o.Low))
}
