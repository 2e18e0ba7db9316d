package robotfile

import (
	"fmt"
	"math"
)

// liftScale is what differs between an arm, in rad and N m, and an elevator, in m and N.
type liftScale struct {
	linear         bool
	position, push string  // examples for errors
	near, least    float64 // usual tolerance, and least way between the end stops, rad or m
}

var (
	armScale      = liftScale{false, `"30 deg"`, `"0.5 N m"`, 2 * math.Pi / 180, math.Pi / 180}
	elevatorScale = liftScale{true, `"200 mm"`, `"4 N"`, 0.005, 0.005}
)

func (r *reader) lift(p string, f *liftFile) *Lift {
	s := armScale
	if f.Elevator {
		s = elevatorScale
	}
	o := &Lift{
		Powered:  r.powered(p, f.poweredFile, float64(f.Radius)),
		Elevator: f.Elevator,
		Arm:      float64(f.Arm),
		Load:     float64(f.Load),
		Low:      r.travel(s, p+".low", &f.Low, 0),
		High:     r.travel(s, p+".high", &f.High, 0),
		Spring:   r.push(s, p+".spring", f.Spring),
		Friction: r.push(s, p+".friction", f.Friction),
		Slack:    r.travel(s, p+".slack", f.Slack, 0),
		Sensor:   r.travel(s, p+".sensor", f.Sensor, 0),
		Within:   r.travel(s, p+".within", f.Within, s.near),
	}
	switch {
	case o.Low >= o.High:
		r.at.Errorf(p+".high", "the upper end stop is not above the lower one: write a greater value than low")
	case o.High-o.Low < s.least && f.Low.linear == s.linear && f.High.linear == s.linear:
		r.at.Errorf(p+".high", "the lift would hardly move: write a value of at least %s", s.show(o.Low+s.least))
	}
	o.Start = r.between(s, p+".start", f.Start, o, o.Low)
	r.heights(s, p+".heights", f.Heights, o)
	o.Gains = r.gains(s, p+".gains", f.Gains, o)
	return o
}

// travel reads a position or a part of the way; usual stands for a key left out.
func (r *reader) travel(s liftScale, path string, t *travel, usual float64) float64 {
	if t == nil {
		return usual
	}
	if t.linear != s.linear {
		r.at.Errorf(path, "%s: write a value such as %s", wrongUnit(s), s.position)
	}
	return t.value
}

// between reads a position between the lift's end stops.
func (r *reader) between(s liftScale, path string, t *travel, o *Lift, usual float64) float64 {
	x := r.travel(s, path, t, usual)
	if t != nil && t.linear == s.linear && (x < o.Low || x > o.High) {
		r.at.Errorf(path, "out of range: write a value from %s to %s", s.show(o.Low), s.show(o.High))
	}
	return x
}

func wrongUnit(s liftScale) string {
	if s.linear {
		return "an elevator's positions are lengths (elevator = true)"
	}
	return "an arm's positions are angles; only a lift with elevator = true has lengths"
}

// show prints a position as the file would have it.
func (s liftScale) show(x float64) string {
	if s.linear {
		return fmt.Sprintf("\"%.4g mm\"", x*1000)
	}
	return fmt.Sprintf("\"%.4g deg\"", x*180/math.Pi)
}

func (r *reader) push(s liftScale, path string, p *push) float64 {
	switch {
	case p == nil:
		return 0
	case p.linear != s.linear:
		r.at.Errorf(path, "an arm has a torque here, an elevator a force: write a value such as %s", s.push)
	}
	return p.value
}

func (r *reader) heights(s liftScale, path string, list []heightFile, o *Lift) {
	if len(list) > 30 {
		r.at.Errorf(path, "%d heights are more than the 30 a lift may have", len(list))
		return
	}
	var names []string
	for i, h := range list {
		p := fmt.Sprintf("%s[%d]", path, i)
		if h.Name == "" {
			r.at.Errorf(p+".name", "a height needs a name: write \"rack\"")
		}
		r.unique(p+".name", "height", h.Name, names)
		names = append(names, h.Name)
		o.Heights = append(o.Heights, Height{h.Name, r.between(s, p+".at", &h.At, o, 0)})
	}
}

// gains reads the closed loop's gains. Without p they are computed: see usualP.
func (r *reader) gains(s liftScale, path string, f gainsFile, o *Lift) Gains {
	g := Gains{Hold: float64(f.Hold)}
	read := func(key string, t *travel) float64 {
		if t.linear != s.linear {
			r.at.Errorf(path+key, "%s: give the gain per %s", wrongUnit(s), s.per())
		}
		return t.value
	}
	if f.I != nil {
		g.I = read(".i", &f.I.travel)
	}
	if f.D != nil {
		g.D = read(".d", &f.D.travel)
	}
	if f.P != nil {
		g.P = read(".p", &f.P.travel)
	} else if o.Motor >= 0 {
		g.P = r.usualP(o)
	}
	return g
}

func (s liftScale) per() string {
	if s.linear {
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
