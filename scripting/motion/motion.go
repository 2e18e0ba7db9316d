package motion

import (
	"chalkfield/internal/geom"
)

// Motion is one drive motion: made by Ahead, Face, FacePoint, Visit, Dock, Trace or Rate, begun by Start, and driven by
// Update once per control tick until Done. A Motion is used once.
type Motion struct {
	name    string
	options Options
	plant   Plant
	result  Result
	done    bool
}

// Way is the direction in which Face turns.
type Way int

const (
	Shortest         Way = iota // whichever is less
	CounterClockwise            // to the left
	Clockwise                   // to the right
)

// Ahead drives a distance in metres straight along the heading that the robot has at Start, holding heading and line. A
// negative distance, or a positive one with Reverse, drives backwards.
func Ahead(distance float64, o Options) (*Motion, error) { return newMotion("ahead", o) }

// Face turns on the spot to a heading of the field, in radians.
func Face(heading float64, way Way, o Options) (*Motion, error) { return newMotion("face", o) }

// FacePoint turns on the spot towards a point of the field; with Reverse it turns the back towards it.
func FacePoint(at geom.Vec, way Way, o Options) (*Motion, error) { return newMotion("face", o) }

// Visit drives to a point of the field; the heading at arrival is free. It turns while driving, or first if that is
// sooner or the point is far off the heading.
func Visit(at geom.Vec, o Options) (*Motion, error) { return newMotion("visit", o) }

// Dock arrives at a pose by a smooth curve. With Reverse it arrives backwards, ending in the same pose.
func Dock(at geom.Pose, o Options) (*Motion, error) { return newMotion("dock", o) }

// Trace follows a smooth curve from the present pose through all the points in order, and stops at the last.
func Trace(points []geom.Vec, o Options) (*Motion, error) { return newMotion("trace", o) }

// Rate holds a speed along the heading (m/s) and a turning rate (rad/s) until cancelled or timed out.
func Rate(along, turn float64, o Options) (*Motion, error) { return newMotion("rate", o) }

func newMotion(name string, o Options) (*Motion, error) {
	if err := o.check(name); err != nil {
		return nil, err
	}
	return &Motion{name: name, options: o}, nil
}

// Name is the motion's word: "ahead", "face", "visit", "dock", "trace", "rate".
func (m *Motion) Name() string { return m.name }

// Start plans the motion from the plant's present belief. It commands nothing yet. An error tells of a machine that
// cannot drive (a Model without motors).
func (m *Motion) Start(p Plant) error { m.plant = p; return nil }

// Update is one control tick of dt seconds: it reads the belief and commands volts. After the end it does nothing.
func (m *Motion) Update(dt float64) {}

// Done reports whether the motion has ended; the trains are then at 0 V, unless it ended with an Exit speed.
func (m *Motion) Done() bool { return m.done }

// Result tells how the motion ended; before the end, Left and Took are those of now and Why is empty.
func (m *Motion) Result() Result { return m.result }

// Cancel ends the motion and stops the trains.
func (m *Motion) Cancel() {}

// SetRate changes what a Rate motion holds, without a jerk. It is an error on another motion.
func (m *Motion) SetRate(along, turn float64) error { return nil }

// Plan is the planned curve in the field, as laid at Start; nil for a motion that goes nowhere.
func (m *Motion) Plan() []geom.Vec { return nil }

// Want is the speed along the heading (m/s) and the turning rate (rad/s) that the plan asks for now.
func (m *Motion) Want() (along, turn float64) { return 0, 0 }

// Turning reports whether the motion only turns at the moment.
func (m *Motion) Turning() bool { return false }
