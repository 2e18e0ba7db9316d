package gains

import (
	"math"

	"chalkfield/scripting/motion"
	"chalkfield/sim/robot"
)

// InFile are the gains of the robot file; those that it leaves out as the machine takes them.
func (l Loop) InFile(r *robot.Robot) Values {
	if l.Kind == Lift {
		g := r.Parts[l.Part].Lift.Gains
		return Values{P: g.P, I: g.I, D: g.D, Hold: g.Hold}
	}
	return l.ofLaw(r.Model(), r)
}

// ofLaw are those that a motion drives with on a machine.
func (l Loop) ofLaw(m robot.Model, r *robot.Robot) Values {
	law, err := motion.LawFor(m, r.Battery.Open)
	switch {
	case err != nil: // a machine that cannot drive
		return Values{}
	case l.Kind == Straight:
		return Values{P: law.AlongP}
	}
	return Values{P: law.HeadingP, D: law.HeadingD}
}

// quick is the part of a loop's time constant that its dead time may be: our own rule.
const quick = 0.4

// Computed are gains from the model, without a rehearsal. A drive's are those that a motion takes where nothing says
// others: feedforward from the model, and the poles of s^2 T + s + P = 0 with the time constant T of the wheels' loop
// placed at a damping of 0.87 along and 0.71 in turns. A lift's are feedforward for the weight in the middle of its
// way, and two equal poles at w, where 0.4/w is the dead time, which is 1.5 ticks and the latency:
//
//	kA q'' + (kV + D) q' + P q = P wanted,   D = 2 w kA - kV, not below 0,   P = w (kV + D)/2
//
// Where the weight changes over the way by more than P makes good, an integral of a twentieth of w takes the rest away.
func (l Loop) Computed(r *robot.Robot) Values {
	if l.Kind != Lift {
		m := r.Model()
		m.Control = robot.Control{}
		return l.ofLaw(m, r)
	}
	o := r.Parts[l.Part].Lift
	kv, ka := o.Volts(r)
	w := quick / (1.5*tick + o.Latency)
	d := math.Max(0, float64(2*w*ka)-kv)
	v := Values{P: w * (kv + d) / 2, D: d, Hold: o.Holds(r, (o.Low+o.High)/2)}
	rest := math.Max(math.Abs(o.Holds(r, o.Low)-v.Hold), math.Abs(o.Holds(r, o.High)-v.Hold)) / v.P
	if rest > o.Within {
		v.I = v.P * w / 20
	}
	return v
}
