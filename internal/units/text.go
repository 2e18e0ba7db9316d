package units

// set parses text in dimension d into *q.
func set[Q ~float64](q *Q, d dimension, text []byte) error {
	value, err := d.parse(string(text))
	if err == nil {
		*q = Q(value)
	}
	return err
}

// How each quantity is read from a file. The receivers cannot share one method: Go has no methods on a type set.
func (q *Length) UnmarshalText(text []byte) error       { return set(q, length, text) }
func (q *Angle) UnmarshalText(text []byte) error        { return set(q, angle, text) }
func (q *Mass) UnmarshalText(text []byte) error         { return set(q, mass, text) }
func (q *Time) UnmarshalText(text []byte) error         { return set(q, duration, text) }
func (q *Speed) UnmarshalText(text []byte) error        { return set(q, speed, text) }
func (q *AngularSpeed) UnmarshalText(text []byte) error { return set(q, angularSpeed, text) }
func (q *Voltage) UnmarshalText(text []byte) error      { return set(q, voltage, text) }
func (q *Current) UnmarshalText(text []byte) error      { return set(q, current, text) }
func (q *Resistance) UnmarshalText(text []byte) error   { return set(q, resistance, text) }
func (q *Torque) UnmarshalText(text []byte) error       { return set(q, torque, text) }
func (q *Force) UnmarshalText(text []byte) error        { return set(q, force, text) }
func (q *Inertia) UnmarshalText(text []byte) error      { return set(q, inertia, text) }
func (q *Pressure) UnmarshalText(text []byte) error     { return set(q, pressure, text) }
func (q *Volume) UnmarshalText(text []byte) error       { return set(q, volume, text) }
func (q *Stiffness) UnmarshalText(text []byte) error    { return set(q, stiffness, text) }
func (q *Frequency) UnmarshalText(text []byte) error    { return set(q, frequency, text) }
func (q *AngleWalk) UnmarshalText(text []byte) error    { return set(q, angleWalk, text) }
func (q *RateWalk) UnmarshalText(text []byte) error     { return set(q, rateWalk, text) }

// How each quantity is printed, in the unit that its files use most.
func (q Length) String() string       { return length.print(float64(q)) }
func (q Angle) String() string        { return angle.print(float64(q)) }
func (q Mass) String() string         { return mass.print(float64(q)) }
func (q Time) String() string         { return duration.print(float64(q)) }
func (q Speed) String() string        { return speed.print(float64(q)) }
func (q AngularSpeed) String() string { return angularSpeed.print(float64(q)) }
func (q Voltage) String() string      { return voltage.print(float64(q)) }
func (q Current) String() string      { return current.print(float64(q)) }
func (q Resistance) String() string   { return resistance.print(float64(q)) }
func (q Torque) String() string       { return torque.print(float64(q)) }
func (q Force) String() string        { return force.print(float64(q)) }
func (q Inertia) String() string      { return inertia.print(float64(q)) }
func (q Pressure) String() string     { return pressure.print(float64(q)) }
func (q Volume) String() string       { return volume.print(float64(q)) }
func (q Stiffness) String() string    { return stiffness.print(float64(q)) }
func (q Frequency) String() string    { return frequency.print(float64(q)) }
func (q AngleWalk) String() string    { return angleWalk.print(float64(q)) }
func (q RateWalk) String() string     { return rateWalk.print(float64(q)) }

// In is how much a pressure is in one of the units that files may use; in Pa for another word.
func (q Pressure) In(unit string) float64 { return pressure.in(float64(q), unit) }
