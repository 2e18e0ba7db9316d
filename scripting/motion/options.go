package motion

import (
	"fmt"
	"math"
)

// Options change how a motion drives. The zero value drives with the defaults of the robot file, or with those computed
// from the machine where the file gives none.
type Options struct {
	Speed     float64 // m/s: cruising speed; 0: default. Capped to what the motors give
	Accel     float64 // m/s^2: speeding up and braking; 0: default. Capped to what motors and tyres give
	TurnRate  float64 // rad/s: turning on the spot and in curves; 0: default
	TurnAccel float64 // rad/s^2; 0: default

	Within      float64 // m: counts as there; 0: DefaultWithin
	WithinAngle float64 // rad: counts as facing there; 0: DefaultWithinAngle
	Timeout     float64 // s; 0: 1.5 times the planned time and 1 s. Rate: 0 is no timeout

	Reverse bool    // drive backwards; FacePoint: turn the back towards the point
	Exit    float64 // m/s: speed to end with, for a motion that another follows; 0: stop. Ahead, Visit, Trace
	Jump    bool    // without a plan: the end is wanted at once, and the gains alone bring the robot there
	Gains   Gains
}

// Gains of the position loops. A zero member takes the robot file's gain, or the one computed from the machine.
type Gains struct {
	AlongP   float64 // 1/s: distance behind the plan to added speed
	HeadingP float64 // 1/s: heading error to added turning rate
	HeadingD float64 // share of the turning rate error that is added to the wanted turning rate
}

const (
	// DefaultWithin is the default of Options.Within, in metres.
	DefaultWithin = 0.010
	// DefaultWithinAngle is the default of Options.WithinAngle, in radians.
	DefaultWithinAngle = 1.0 * math.Pi / 180
	// Reach is the largest coordinate or distance that a motion takes, in metres: beyond it a number is a mistake.
	Reach = 1000.0
)

// ArgumentError is a value that a motion or a controller cannot use.
type ArgumentError struct {
	Of       string // motion or controller: "ahead", "trace", "pid"
	Argument string // "distance", "point 3", "speed"
	Problem  string // "must be a finite number, not NaN"
}

func (e *ArgumentError) Error() string {
	return fmt.Sprintf("%s: %s %s", e.Of, e.Argument, e.Problem)
}

// finite rejects NaN, infinities and lengths beyond Reach.
func finite(of, argument string, x float64) error {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return &ArgumentError{of, argument, fmt.Sprintf("must be a finite number, not %v", x)}
	case math.Abs(x) > Reach:
		return &ArgumentError{of, argument, fmt.Sprintf("is %g, too large: the greatest allowed is %g", x, Reach)}
	}
	return nil
}

// notNegative rejects what finite rejects, and numbers below zero.
func notNegative(of, argument string, x float64) error {
	if x < 0 {
		return &ArgumentError{of, argument, fmt.Sprintf("must not be negative: it is %g; 0 takes the default", x)}
	}
	return finite(of, argument, x)
}

// noExit rejects an exit speed for a motion that has none.
func (o Options) noExit(of string) error {
	if o.Exit != 0 {
		return &ArgumentError{of, "exit", "is not for this motion: only ahead, visit and trace end at speed"}
	}
	return nil
}

// check rejects options that no motion can use.
func (o Options) check(of string) error {
	for _, n := range []struct {
		name  string
		value float64
	}{
		{"speed", o.Speed}, {"accel", o.Accel}, {"turn rate", o.TurnRate}, {"turn accel", o.TurnAccel},
		{"within", o.Within}, {"within angle", o.WithinAngle}, {"timeout", o.Timeout}, {"exit", o.Exit},
		{"gain along_p", o.Gains.AlongP}, {"gain heading_p", o.Gains.HeadingP}, {"gain heading_d", o.Gains.HeadingD},
	} {
		if err := notNegative(of, n.name, n.value); err != nil {
			return err
		}
	}
	return nil
}
