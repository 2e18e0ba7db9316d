package sim

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
	"chalkfield/sim/sensing"
)

// ControlTick is the time between two calls of Sense, s. Mechanisms look around and close their loops that often;
// motors and pistons move each step.
const ControlTick = 0.01

// outfit is what a robot carries besides chassis, drive and battery: mechanisms, air, sensors and the belief.
type outfit struct {
	mechanisms []mechanism
	air        *power.Reservoir

	sensors  []*sensor
	readings []float64  // by sensor
	tracking []*sensor  // those of tracking wheels
	rolled   [2]float64 // m: what each train has rolled, by its wheels' radius in the file
	radius   [2]float64 // m: that radius
	began    float64    // rad: true heading at the start

	meant     geom.Pose // where the robot was to start
	tracker   *sensing.Tracker
	encoders  [2]int // sensor of each train, -1: none
	wheelSeen [2]float64
	wheelRate [2]float64 // m/s
	reaction  float64    // s

	sights []robot.Sight // scratch of Sights
	placed geom.Polygon  // scratch of blocks
}

// mechanism is a part with its commands. Its step is called each physics step, tick before the one that opens a control
// tick.
type mechanism interface {
	part
	tick()
	do(robot.Command)
	look() robot.Status
	sample() record.PartSample
	repeat(record.PartSample) // what a record's did
}

// addParts makes the robot's mechanisms and sensors from its file, in file order.
func (r *Robot) addParts() {
	r.air = newAir(r.Spec)
	for _, spec := range r.Spec.Parts {
		m := kinds[spec.Kind](r, spec)
		r.mechanisms = append(r.mechanisms, m)
		r.parts = append(r.parts, m)
		if m, ok := m.(motored); ok {
			r.motors = append(r.motors, m)
			r.lines = append(r.lines, m.load().Line)
		}
	}
	for _, m := range r.mechanisms {
		if l, ok := m.(linked); ok {
			l.link()
		}
	}
	r.addSensors()
	r.reaction = math.Abs(r.world.draw(r.chanceName("reaction"), r.Spec.Spread.Reaction, "s"))
}

// preload gives the robot a piece before the start: onto the first conveyor with room, else held at its middle.
func (r *Robot) preload(b *Body) {
	for _, m := range r.mechanisms {
		if c, ok := m.(loaded); ok && c.preload(b) {
			return
		}
	}
	r.world.take(b, r, geom.Pose{})
}

// loaded mechanisms may have pieces before the start.
type loaded interface{ preload(*Body) bool }

// linked mechanisms look up those that they work with once all are made.
type linked interface{ link() }

// kinds make a mechanism of each kind.
var kinds = map[robot.Kind]func(*Robot, robot.Part) mechanism{
	robot.KindIntake: newIntake, robot.KindConveyor: newConveyor, robot.KindClamp: newClamp,
	robot.KindScorer: newScorer, robot.KindClaw: newClaw, robot.KindLift: newLift,
	robot.KindGate: newGate,
}

// Parts are the robot's mechanisms; an index into them names one.
func (r *Robot) Parts() []robot.Part { return r.Spec.Parts }

// Do commands a mechanism by its index in the robot's file. Verbs that its kind does not have are ignored.
func (r *Robot) Do(part int, c robot.Command) {
	if !math.IsNaN(c.Value) && !math.IsInf(c.Value, 0) {
		r.mechanisms[part].do(c)
	}
}

// Look reads a mechanism's state.
func (r *Robot) Look(part int) robot.Status { return r.mechanisms[part].look() }

// PartSample is a mechanism's state as a record has it.
func (r *Robot) PartSample(part int) record.PartSample { return r.mechanisms[part].sample() }

// StopMotors takes the volts off every motor, as when the robot is disabled. Pistons stay as they are.
func (r *Robot) StopMotors() {
	r.drive.disable()
	for _, m := range r.mechanisms {
		m.do(robot.Command{Verb: robot.Volts})
	}
}

// Repeat makes a mechanism do what one of the same kind did in a record.
func (r *Robot) Repeat(part int, s record.PartSample) { r.mechanisms[part].repeat(s) }

// happen reports an event of a mechanism now, at the place of a body.
func (r *Robot) happen(e record.Event, b *Body) {
	at := r.Pose().At()
	if b != nil {
		at = b.Pose().At()
	}
	e.Robot, e.At = r.Index, &[2]float64{record.Round(at.X), record.Round(at.Y)}
	r.world.happen(e)
}

// chanceName names a mechanism's stream of random numbers.
func (r *Robot) chanceName(part string) string { return fmt.Sprintf("robot %d %s", r.Index+1, part) }
