package robot

import (
	"chalkfield/internal/base/geom"
	"fmt"
	"math"

	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/units"
)

// KindLift is the kind of a part with a table [parts.lift].
const KindLift Kind = "lift"

// Lift is an arm on a pivot, with angles from level and torques, or an elevator, with lengths and forces.
type Lift struct {
	Powered
	Elevator bool `toml:"elevator"`
	// elevator: of the sprocket
	Radius float64 `toml:"radius" unit:"m" default:"20 mm" min:"2 mm" max:"300 mm"`
	// arm: pivot to the load
	Arm float64 `toml:"arm" unit:"m" default:"250 mm" min:"10 mm" max:"2 m"`
	// at the end of the arm, or on the carriage
	Load  float64 `toml:"load" unit:"kg" default:"0.3 kg" min:"1 g" max:"50 kg"`
	Low   float64 `toml:"low" unit:"rad|m" need:"'-30 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"` // end stop
	High  float64 `toml:"high" unit:"rad|m" need:"'70 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"`
	Start float64 `toml:"start" unit:"rad|m" min:"-360 deg|-3 m" max:"360 deg|3 m"`
	// constant assist against gravity
	Spring float64 `toml:"spring" unit:"N m|N" min:"0 N m|0 N" max:"500 N m|2000 N"`
	// Coulomb
	Friction float64 `toml:"friction" unit:"N m|N" min:"0 N m|0 N" max:"500 N m|2000 N"`
	// play between sensor and load
	Slack float64 `toml:"slack" unit:"rad|m" min:"0 deg|0 mm" max:"90 deg|750 mm"`
	// from a command, or what the loop gives, until the motors have it
	Latency float64 `toml:"latency" unit:"s" default:"0 s" min:"0 s" max:"0.5 s"`
	// resolution
	Sensor float64 `toml:"sensor" unit:"rad|m" min:"0.00001 deg|0.0001 mm" max:"90 deg|750 mm" zero:"an ideal sensor"`
	// counts as there
	Within  float64  `toml:"within" unit:"rad|m" min:"0.006 deg|0.1 mm" max:"90 deg|750 mm"`
	Heights []Height `toml:"heights"`
	Gains   Gains    `toml:"gains"`
}

// Height is a named lift position, rad or m.
type Height struct {
	Name string  `toml:"name" need:"'rack'"`
	At   float64 `toml:"at" unit:"rad|m" need:"'40 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"`
}

// Gains of a PID loop with static feedforward, V per rad or per m.
type Gains struct {
	P    float64 `toml:"p" unit:"V/rad|V/m" min:"0 V/deg|0 V/mm" max:"10000 V/deg|1000 V/mm"` // left out: computed
	I    float64 `toml:"i" unit:"V/rad/s|V/m/s" min:"0 V/deg/s|0 V/mm/s" max:"10000 V/deg/s|1000 V/mm/s"`
	D    float64 `toml:"d" unit:"V s/rad|V s/m" min:"0 V s/deg|0 V s/mm" max:"10000 V s/deg|1000 V s/mm"`
	Hold float64 `toml:"hold" unit:"V" min:"-60 V" max:"60 V"`
}

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

func (o *Lift) read(r *reader, p string) {
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

// Show prints a position or a part of the way as the file would have it.
func (o *Lift) Show(x float64) string { return o.scale().show(x) }

// show prints a position as the file would have it.
func (s liftScale) show(x float64) string {
	if s.kind == elevatorScale.kind {
		return fmt.Sprintf("\"%.4g mm\"", x*1000)
	}
	return fmt.Sprintf("\"%.4g deg\"", geom.Degrees(x))
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

// Note is its speed without a load, and its heights.
func (o *Lift) Note(r *Robot, in units.System) string {
	free := r.Motors[o.Motor].FreeSpeed / o.Gear // rad/s at the output
	speed := fmt.Sprintf("%.0f deg/s", geom.Degrees(free))
	if o.Elevator {
		speed = in.Sprintf("%.0f mm/s", free*o.Radius)
	}
	names := make([]string, len(o.Heights))
	for i, h := range o.Heights {
		names[i] = h.Name
	}
	note := ", free speed " + speed
	if len(names) > 0 {
		note += ", heights " + quoted(names)
	}
	return note
}

// Lifts is the current (A) of each motor that lifts the load at a position against its friction and the motors' own,
// torque = n kt G efficiency (I - I0), and what it gives there at most, stalled on the charged battery.
func (o *Lift) Lifts(r *Robot, at float64) (needs, gives float64) {
	m := r.Motors[o.Motor]
	load, per := o.Load*Gravity, 1/o.Radius // N, and output rad per m
	if !o.Elevator {
		load, per = load*o.Arm*portable.Cos(at), 1
	}
	perAmp := float64(o.Count) * m.TorquePerAmp() * o.Gear * o.Efficiency * per
	gives = m.StallCurrent * r.Battery.Open / m.Nominal
	if m.Limit > 0 {
		gives = min(gives, m.Limit)
	}
	return (load-o.Spring+o.Friction)/perAmp + m.FreeCurrent, gives
}

// Sags is how far below a position its loop lets the lift stop, coming from below without an integral gain, rad or m:
// there the volts of p and hold just lift the load.
func (o *Lift) Sags(r *Robot, at float64) float64 {
	m := r.Motors[o.Motor]
	amps, _ := o.Lifts(r, at)
	volts := amps*m.Nominal/m.StallCurrent - o.Gains.Hold
	switch {
	case o.Gains.I > 0 || volts <= 0:
		return 0
	case o.Gains.P == 0:
		return math.Inf(1)
	}
	return volts / o.Gains.P
}

// Volts are what moves the lift beside gravity and friction, V for each rad/s or m/s and for each rad/s^2 or m/s^2: the
// motors' back-EMF, and the inertia of all that moves over the motors' push for a volt, n kt G efficiency/R with
// R = Vn/Is (the motor line, Lynch & Park 8.9).
func (o *Lift) Volts(r *Robot) (kv, ka float64) {
	m, per := r.Motors[o.Motor], 1.0
	turning := o.Inertia + float64(float64(o.Count)*m.Inertia*o.Gear*o.Gear)
	inertia := turning + float64(o.Load*o.Arm*o.Arm)
	if o.Elevator {
		per = 1 / o.Radius
		inertia = o.Load + float64(turning*per*per)
	}
	push := float64(o.Count) * m.TorquePerAmp() * o.Gear * o.Efficiency * per * m.StallCurrent / m.Nominal
	return m.VoltsPerSpeed() * o.Gear * per, inertia / push
}

// Holds are the volts that bear the load at a position, without the help of friction.
func (o *Lift) Holds(r *Robot, at float64) float64 {
	free := *o
	free.Friction = 0
	m := r.Motors[o.Motor]
	amps, _ := free.Lifts(r, at)
	return (amps - m.FreeCurrent) * m.Nominal / m.StallCurrent
}
