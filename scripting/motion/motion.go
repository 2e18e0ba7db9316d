package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// Motion is one drive motion: made by Ahead, Face, FacePoint, Visit, Dock, Trace or Rate, begun by Start, and driven by
// Update once per control tick until Done. A Motion is used once.
type Motion struct {
	name    string
	kind    kind
	options Options
	lay     func(*Motion) error // plans the legs from m.now
	rate    *rateLeg            // of a Rate

	plant               Plant
	ability             ability
	wheels              wheels
	within, withinAngle float64
	timeout             float64 // s; 0: none

	legs    []leg
	leg     int       // index of the present one
	goal    geom.Pose // of the robot. Ahead: with the heading of travel; Face: heading continuous with the belief's
	plan    []geom.Vec
	now     reading
	stand   progress // after the last step
	clock   float64  // s since Start
	arrival arrival
	stall   stallWatch
	result  Result
	done    bool
}

// kind says what a motion's end is measured by.
type kind int

const (
	alongLine kind = iota // Ahead
	toHeading             // Face
	toPoint               // Visit, Trace
	toPose                // Dock
	forEver               // Rate
)

// The default timeout is this many times the planned time, and this many seconds more.
const (
	timeoutFactor = 1.5
	timeoutMore   = 1.0
)

func newMotion(name string, o Options) (*Motion, error) {
	if err := o.check(name); err != nil {
		return nil, err
	}
	m := &Motion{name: name, options: o}
	m.within = first(o.Within, DefaultWithin)
	m.withinAngle = first(o.WithinAngle, DefaultWithinAngle)
	return m, nil
}

// Name is the motion's word: "ahead", "face", "visit", "dock", "trace", "rate".
func (m *Motion) Name() string { return m.name }

// back is the robot's heading as seen from the direction of travel, rad.
func (m *Motion) back() float64 { return travelling(geom.Pose{}, m.options.Reverse).Heading }

// Start plans the motion from the plant's present belief. It commands nothing, except that a motion with nothing to do
// is done at once and stops the trains. An error tells of a machine that cannot drive (a robot.Model without motors),
// or of a belief that is no number.
func (m *Motion) Start(p Plant) error {
	if m.plant != nil {
		return &ArgumentError{m.name, "motion", "was started before: make a new one"}
	}
	belief := p.Belief()
	for _, x := range [...]float64{belief.X, belief.Y, belief.Heading} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return &ArgumentError{m.name, "belief", "is no pose: the odometry gives numbers that are not finite"}
		}
	}
	var err error
	if m.ability, err = newAbility(m.name, p.Model(), m.options, p.Terminal()); err != nil {
		return err
	}
	m.plant = p
	m.now = reading{at: m.pivotAt(belief), heading: belief.Heading, dt: m.ability.Period}
	m.now.along, m.now.turn = p.BeliefSpeed()
	m.wheels.begin(&m.ability, p)
	m.stall = stallWatch{at: m.now.at, heading: m.now.heading}
	if err := m.lay(m); err != nil {
		return err
	}
	for _, l := range m.legs {
		m.result.Planned += l.seconds()
		m.plan = l.outline(m.plan)
	}
	m.timeout = m.options.Timeout
	if m.timeout == 0 && m.kind != forEver {
		m.timeout = float64(timeoutFactor*m.result.Planned) + timeoutMore
	}
	if len(m.legs) == 0 {
		m.end(Arrived)
		return nil
	}
	m.legs[0].begin(&m.now)
	return nil
}

// read takes the plant's measurements for a tick of dt seconds. The heading continues across half turns.
func (m *Motion) read(dt float64) {
	belief := m.plant.Belief()
	m.now.dt = dt
	heading := m.now.heading + geom.WrapAngle(belief.Heading-m.now.heading)
	at := m.pivotAt(geom.Pose{X: belief.X, Y: belief.Y, Heading: heading})
	if sum := at.X + at.Y; !math.IsNaN(sum) && !math.IsInf(sum, 0) { // else the last good one stands
		m.now.at, m.now.heading = at, heading
	}
	along, turn := m.plant.BeliefSpeed()
	m.now.along, m.now.turn = finiteOr(along, 0), finiteOr(turn, 0)
	if late := m.ability.Delay; late > 0 { // what is commanded now acts where the robot will be then
		m.now.heading += float64(m.now.turn * late)
		way, ahead := m.now.along*late, geom.Unit(m.now.heading)
		m.now.at.X += float64(way * ahead.X)
		m.now.at.Y += float64(way * ahead.Y)
	}
}

// pivotAt is where the pivot of a robot at a pose is.
func (m *Motion) pivotAt(p geom.Pose) geom.Vec {
	if m.ability.Pivot == 0 {
		return p.At()
	}
	return p.ToWorld(geom.Vec{X: m.ability.Pivot})
}

// robot is where the robot's own point is, as last read.
func (m *Motion) robot() geom.Vec { return m.now.pose().ToWorld(geom.Vec{X: -m.ability.Pivot}) }

// Update is one control tick of dt seconds: it reads the belief and commands volts. After the end it does nothing.
func (m *Motion) Update(dt float64) {
	if m.done || m.plant == nil {
		return
	}
	if !(dt > 0) || math.IsInf(dt, 0) {
		dt = m.ability.Period
	}
	m.read(dt)
	s, ended := m.step()
	if ended != "" {
		m.end(ended)
		return
	}
	m.wheels.drive(s, &m.now)
	m.clock += dt
	switch {
	case m.timeout > 0 && m.clock >= m.timeout:
		m.end(TimedOut)
	case m.kind != forEver && !m.options.Jump && m.stall.stalled(&m.now, m.wheels.pushing()):
		m.end(Stalled)
	}
}

// step asks the present leg, and goes on to the next as long as legs are finished. It tells why the motion ended, if it
// did.
func (m *Motion) step() (s setpoint, ended Why) {
	for {
		s, m.stand = m.legs[m.leg].step(&m.now)
		if m.leg == len(m.legs)-1 {
			if m.legs[m.leg].turns() == (m.kind == toHeading) { // the last turn of a Dock overshoots in another unit
				m.result.Overshoot = max(m.result.Overshoot, m.stand.overshoots)
			}
			return s, m.judge()
		}
		if !m.passed() {
			return s, ""
		}
		m.leg++
		m.legs[m.leg].begin(&m.now)
	}
}

// end closes the result. A motion with an exit speed that arrived leaves the trains as they are.
func (m *Motion) end(why Why) {
	m.result.Why, m.result.OK = why, why == Arrived
	m.result.Left, m.result.Took = m.left(), m.clock
	m.result.Settle = m.arrival.sinceOver
	m.done = true
	if m.plant != nil && (why != Arrived || m.options.Exit == 0 || len(m.legs) == 0) {
		m.wheels.stop()
	}
}

// Done reports whether the motion has ended; the trains are then at 0 V, unless it ended with an Exit speed.
func (m *Motion) Done() bool { return m.done }

// Result tells how the motion ended; before the end, Left and Took are those of now and Why is empty.
func (m *Motion) Result() Result {
	r := m.result
	if !m.done {
		r.Left, r.Took, r.Settle = m.left(), m.clock, m.arrival.sinceOver
	}
	return r
}

// Cancel ends the motion and stops the trains. After the end it does nothing.
func (m *Motion) Cancel() {
	if !m.done {
		m.end(Cancelled)
	}
}

// Plan is the planned curve in the field, as laid at Start; nil for a motion that goes nowhere.
func (m *Motion) Plan() []geom.Vec { return m.plan }

// Want is the speed along the heading (m/s) and the turning rate (rad/s) that the plan asks for now.
func (m *Motion) Want() (along, turn float64) {
	if m.done {
		return 0, 0
	}
	return m.stand.want.speed, m.stand.want.turn
}

// Turning reports whether the motion only turns at the moment.
func (m *Motion) Turning() bool { return m.leg < len(m.legs) && m.legs[m.leg].turns() }

// left is what is left to the end, as Result.Left says.
func (m *Motion) left() float64 {
	at := m.robot()
	switch m.kind {
	case alongLine:
		return geom.Pose{X: at.X, Y: at.Y, Heading: m.goal.Heading}.ToLocal(m.goal.At()).X
	case toHeading:
		return m.goal.Heading - m.now.heading
	case forEver:
		return 0
	}
	return portable.Hypot(m.goal.X-at.X, m.goal.Y-at.Y)
}
