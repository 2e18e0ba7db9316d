package scripting

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/motion"

	lua "github.com/yuin/gopher-lua"
)

func driveMethods() map[string]method {
	return map[string]method{
		"volts": driveVolts, "rate": driveRate, "arcade": driveArcade, "tank": driveTank, "stop": driveStop,
		"rest": driveRest, "heat": driveHeat,
		"ahead": driveAhead, "face": driveFace, "visit": driveVisit, "dock": driveDock, "trace": driveTrace,
	}
}

// trains commands the trains directly, in place of any motion. Left is the robot's own left: what a mirrored frame
// changes is its callers' to see to.
func (c call) trains(left, right float64) int {
	c.inTask()
	c.host.cancelDrive(c.host.drive)
	c.host.machine.SetDriveVolts(left, right)
	c.host.trainVolts = [2]float64{left, right}
	c.host.driving = asDriven(left, right)
	return 0
}

// sticks commands the trains as a driver's sticks do: at rest they leave alone what another task, such as a macro,
// drives; moved they take over.
func (c call) sticks(left, right float64) int {
	t := c.inTask()
	if j := c.host.drive; left == 0 && right == 0 && j != nil && j.lane != t.lane {
		return 0
	}
	return c.trains(left, right)
}

// asDriven is the activity of a robot whose trains are commanded directly.
func asDriven(left, right float64) record.Activity {
	switch {
	case left == 0 && right == 0:
		return record.Waiting
	case left*right < 0:
		return record.Turning
	}
	return record.Moving
}

func driveVolts(c call) int {
	left, right := c.volts(2, "the left volts"), c.volts(3, "the right volts")
	if c.host.mirrored() {
		left, right = right, left
	}
	return c.trains(left, right)
}

// driveTank takes -1 to 1 a train.
func driveTank(c call) int {
	left, right := c.share(2, "left"), c.share(3, "right")
	if c.host.mirrored() {
		left, right = right, left
	}
	full := c.host.machine.Model().Volts
	return c.sticks(left*full, right*full)
}

// driveArcade takes -1 to 1 forward and, as a stick gives it, -1 to 1 to the right. What exceeds a train's full voltage
// is scaled down on both, so that the curve stays the same.
func driveArcade(c call) int {
	forward, right := c.share(2, "forward"), c.share(3, "turn")
	if c.host.mirrored() {
		right = -right
	}
	l, r := forward+right, forward-right
	full := c.host.machine.Model().Volts / math.Max(1, math.Max(math.Abs(l), math.Abs(r)))
	return c.sticks(l*full, r*full)
}

func (c call) share(n int, what string) float64 { return geom.Clamp(c.number(n, what), -1, 1) }

// driveRate holds a speed in mm/s and a turning rate in deg/s, counter-clockwise, until the next command.
func driveRate(c call) int {
	along, turn := c.signed(2, "the speed", millimetresPerSecond)*mm, c.signed(3, "the turning rate", degreesPerSecond)*deg
	if c.host.mirrored() {
		turn = -turn
	}
	c.inTask()
	if j := c.host.drive; j != nil && j.motion.Name() == "rate" {
		c.mustDo(j.motion.SetRate(along, turn))
	} else {
		m, err := motion.Rate(along, turn, motion.Options{})
		c.begin(m, err, fmt.Sprintf("%g mm/s, %g deg/s", round(along/mm), round(turn/deg)))
	}
	c.host.driving = asHeld(along, turn)
	return 0
}

// asHeld is the activity of a robot that holds a speed and a turning rate.
func asHeld(along, turn float64) record.Activity {
	switch {
	case along != 0:
		return record.Moving
	case turn != 0:
		return record.Turning
	}
	return record.Waiting
}

func driveStop(c call) int { return c.trains(0, 0) }

// driveRest says what the trains do at 0 V from now on.
func driveRest(c call) int {
	c.inTask()
	switch way := c.text(2, "the way to rest"); way {
	case "brake", "coast":
		c.host.machine.SetCoasting(way == "coast")
		c.host.given = append(c.host.given, Given{Of: "drive", Call: "rest", Word: way})
	default:
		c.fail(`the way to rest must be "brake" or "coast", not %q`, way)
	}
	return 0
}

// driveHeat is that of the warmer train's motors.
func driveHeat(c call) int { return c.pushNumber(c.host.machine.Heat()) }

func driveAhead(c call) int {
	distance := c.length(c.Get(2), "the distance") / mm
	o := c.driveOptions(3, false)
	m, err := motion.Ahead(distance*mm, o.Options)
	return c.drive(m, err, o, fmt.Sprintf("%g mm", round(distance)))
}

func driveFace(c call) int {
	frame := c.host.env.Frame
	if c.Get(2).Type() == lua.LTTable {
		at, next := c.pointAt(2, "the point")
		o := c.driveOptions(next, true)
		m, err := motion.FacePoint(frame.Point(at), wayIn(frame, o.way), o.Options)
		return c.drive(m, err, o, "to "+pointText(at))
	}
	heading := c.number(2, "the heading")
	o := c.driveOptions(3, true)
	m, err := motion.Face(frame.Heading(geom.WrapAngle(heading*deg)), wayIn(frame, o.way), o.Options)
	return c.drive(m, err, o, fmt.Sprintf("to %g deg", round(heading)))
}

func driveVisit(c call) int {
	at, next := c.pointAt(2, "the point")
	c.warnOfPlace(at)
	o := c.driveOptions(next, false)
	m, err := motion.Visit(c.host.env.Frame.Point(at), o.Options)
	return c.drive(m, err, o, "to "+pointText(at))
}

func driveDock(c call) int {
	at, next := c.poseAt(2, "the pose")
	c.warnOfPlace(at.At())
	o := c.driveOptions(next, false)
	m, err := motion.Dock(c.host.env.Frame.Pose(at), o.Options)
	return c.drive(m, err, o, fmt.Sprintf("at %s heading %g deg", pointText(at.At()), round(at.Heading/deg)))
}

// maxPoints is how many points a curve may have.
const maxPoints = 200

func driveTrace(c call) int {
	list, is := c.Get(2).(*lua.LTable)
	n := 0
	if is {
		n = c.host.box.Length(c.LState, list)
	}
	switch {
	case n == 0:
		c.fail("takes a list of points: {{900, 1200}, {1500, 1500}}")
	case n > maxPoints:
		c.fail("%d points are too many: the limit is %d", n, maxPoints)
	}
	points := make([]geom.Vec, n)
	last := geom.Vec{}
	for i := range points {
		t, is := list.RawGetInt(i + 1).(*lua.LTable)
		if !is {
			c.fail("point %d must be a table {x, y}, not %s", i+1, kindOf(list.RawGetInt(i+1)))
		}
		last = c.pointOf(t, fmt.Sprintf("point %d", i+1))
		c.warnOfPlace(last)
		points[i] = c.host.env.Frame.Point(last)
	}
	o := c.driveOptions(3, false)
	m, err := motion.Trace(points, o.Options)
	return c.drive(m, err, o, fmt.Sprintf("%d points to %s", len(points), pointText(last)))
}

func round(x float64) float64 { return math.Round(x*10) / 10 }

func pointText(v geom.Vec) string { return fmt.Sprintf("(%g, %g)", round(v.X/mm), round(v.Y/mm)) }

// halt commands the robot to stop: no motion, no volts.
func (h *Host) halt() {
	if h.machine == nil {
		return
	}
	h.cancelDrive(h.drive)
	h.machine.StopMotors()
	h.trainVolts = [2]float64{}
	h.driving = record.Waiting
}
