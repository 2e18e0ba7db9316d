package units

// The quantities that only robot files have, each in the SI unit named.
type (
	Charge              float64 // C
	Acceleration        float64 // m/s^2
	AngularAcceleration float64 // rad/s^2
	Closing             float64 // 1/s: speed per distance left, of a position loop
	Viscous             float64 // N m s: torque per turning rate of viscous friction
)

var (
	charge              = dimension{"a charge", 2, []unit{{"A h", hour}, {"mA h", hour / 1000}, {"C", 1}}}
	acceleration        = dimension{"an acceleration", 2500, []unit{{"mm/s^2", 1e-3}, {"m/s^2", 1}, {"in/s^2", inch}}}
	angularAcceleration = dimension{"a turning acceleration", 720, []unit{{"deg/s^2", deg}, {"rad/s^2", 1}}}
	viscous             = dimension{"a viscous friction", 0.001, []unit{{"N m s", 1}, {"N cm s", 0.01}}}
	closing             = dimension{"a loop gain", 4, []unit{{"1/s", 1}, {"1/min", 1.0 / 60}}}
)

func (q *Charge) UnmarshalText(text []byte) error       { return set(q, charge, text) }
func (q *Acceleration) UnmarshalText(text []byte) error { return set(q, acceleration, text) }
func (q *AngularAcceleration) UnmarshalText(text []byte) error {
	return set(q, angularAcceleration, text)
}
func (q *Viscous) UnmarshalText(text []byte) error { return set(q, viscous, text) }
func (q *Closing) UnmarshalText(text []byte) error { return set(q, closing, text) }

func (q Charge) String() string              { return charge.print(float64(q)) }
func (q Acceleration) String() string        { return acceleration.print(float64(q)) }
func (q AngularAcceleration) String() string { return angularAcceleration.print(float64(q)) }
func (q Viscous) String() string             { return viscous.print(float64(q)) }
func (q Closing) String() string             { return closing.print(float64(q)) }
