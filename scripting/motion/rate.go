package motion

// Rate holds a speed along the heading (m/s) and a turning rate (rad/s) until cancelled or timed out. It changes from
// the present speeds to these at Accel and TurnAccel, and keeps the heading that follows from the turning rate.
func Rate(along, turn float64, o Options) (*Motion, error) {
	const name = "rate"
	if err := checkRate(along, turn); err != nil {
		return nil, err
	}
	if err := o.noExit(name); err != nil {
		return nil, err
	}
	m, err := newMotion(name, o)
	if err != nil {
		return nil, err
	}
	m.kind = forEver
	m.rate = &rateLeg{along: along, turn: turn}
	m.lay = func(m *Motion) error {
		m.rate.a = &m.ability
		m.legs = append(m.legs, m.rate)
		return nil
	}
	return m, nil
}

func checkRate(along, turn float64) error {
	if err := finite("rate", "speed", along); err != nil {
		return err
	}
	return finite("rate", "turn rate", turn)
}

// SetRate changes what a Rate motion holds, without a jerk. It is an error on another motion.
func (m *Motion) SetRate(along, turn float64) error {
	if m.rate == nil {
		return &ArgumentError{m.name, "rate", "can be changed on a rate motion only"}
	}
	if err := checkRate(along, turn); err != nil {
		return err
	}
	m.rate.along, m.rate.turn = along, turn
	return nil
}
