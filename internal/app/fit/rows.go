package fit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/wording"
	"chalkfield/sim/robot"
)

// row is a parameter that a fit may look for. Its number is what the solver sees: 0 is the file's value.
type row struct {
	keys  []string // as the user names it; a row that is two wheels' difference has two
	sd    float64  // of what is known before, in the solver's number
	low   float64  // bounds of it
	high  float64
	step  float64 // for the derivative
	takes []kind  // signals of which one is needed
	apply func(m *machine, number float64)
	shown []shown
	cure  string // what would tell it
	alone string // why it is left alone where nothing is known of it
	blind string // why where no log has what tells it
	log   string // what to log then, before the cure
	rest  string // what is fitted of its value although it is left alone
	said  string // what a fitted value means
	held  bool

	quiet     bool      // it is told of only where it is fitted
	allowed   bool      // it is never fitted: the intervals allow for it
	signed    bool      // its value may be below 0
	aside     float64   // sd where none of the signals is there that it takes, and others may tell it; 0: none do
	asideBlur float64   // blur then
	tries     []float64 // numbers to try an extra row at; nil: it is none
	yields    bool      // where it does the same as another, it is the one that is left alone
	blur      float64   // standard deviation of what no log tells better, in the solver's number
}

// shown is a value of the robot that a row changes.
type shown struct {
	key, unit string
	get       func(m *machine) float64
	settings  func(m *machine) []Setting
}

// A robot file is right within a factor of two, in most cases: one standard deviation. Common practice, no source.
var twice = math.Ln2

var anyMotion = []kind{leftSpeed, rightSpeed, turning}

// rowsOf lists the parameters of a robot, in the file's order. Keys to hold that it has not are an error.
func rowsOf(spec *robot.Robot, hold []string) ([]*row, error) {
	list := slices.Concat(chassisRows(), motorRows(spec), driveRows(spec, hold), wheelRows(spec), turnedRows(spec),
		besideRows())
	known := []string{openKey, innerKey}
	for _, r := range list {
		for _, key := range r.keys {
			if !r.quiet && !slices.Contains(known, key) {
				known = append(known, key)
			}
		}
	}
	for _, key := range hold {
		if !slices.Contains(known, key) {
			return nil, fmt.Errorf("--hold %s: nothing of that name is fitted: %s", key, instead(key, known))
		}
		for _, r := range list {
			r.held = r.held || slices.Contains(r.keys, key)
		}
	}
	return list, nil
}

// instead says which key was meant: one of that last word, else one that is spelt nearly so.
func instead(key string, known []string) string {
	for _, k := range known {
		if key != "" && strings.HasSuffix(k, "."+key) {
			return wording.Rather(k, known)
		}
	}
	return wording.Instead(key, known)
}

// factor is a row of a positive value by its logarithm.
func factor(key, unit string, at func(r *robot.Robot) *float64, path func(r *robot.Robot) string) *row {
	return &row{keys: []string{key}, sd: twice, low: -2, high: 2, step: 0.01, takes: anyMotion,
		apply: func(m *machine, number float64) { *at(m.spec) *= math.Exp(number) },
		shown: []shown{one(key, unit, at, path)},
	}
}

func one(key, unit string, at func(r *robot.Robot) *float64, path func(r *robot.Robot) string) shown {
	return shown{key, unit, func(m *machine) float64 { return *at(m.spec) },
		func(m *machine) []Setting { return []Setting{{path(m.spec), *at(m.spec), unit}} }}
}

// amount is a row of a value that may be 0, in units of a usual amount of it.
func amount(key, unit string, usual, sd float64, at func(r *robot.Robot) *float64) *row {
	r := factor(key, unit, at, fixed(key))
	r.sd, r.low, r.high, r.step = sd, math.Inf(-1), 20, 0.05
	r.apply = func(m *machine, number float64) { *at(m.spec) = math.Max(0, *at(m.spec)+float64(usual*number)) }
	return r
}

// from has a row's number end where its value is 0.
func (r *row) from(low float64) *row { r.low = low; return r }

func fixed(path string) func(*robot.Robot) string { return func(*robot.Robot) string { return path } }

func motorPath(key string) func(*robot.Robot) string {
	return func(r *robot.Robot) string { return fmt.Sprintf("motors[%d].%s", r.Drive.Motor, key) }
}

func driveMotor(r *robot.Robot) *robot.Motor { return &r.Motors[r.Drive.Motor] }

func chassisRows() []*row {
	mass := factor("chassis.mass", "kg", func(r *robot.Robot) *float64 { return &r.Chassis.Mass }, fixed("chassis.mass"))
	mass.cure = "weigh it, write the mass into the robot file and say --hold chassis.mass"
	inertia := factor("chassis.inertia", "kg m^2", func(r *robot.Robot) *float64 { return &r.Chassis.Inertia },
		fixed("chassis.inertia"))
	inertia.cure = "drive spin_step"
	return []*row{mass, inertia}
}

// currentSD is how well a file's stall current is known beside torque and speed: many a data sheet has it of another
// motor of the kind, and a file that leaves it out has that of a motor without losses. Where a controller limits the
// current it shows in hard drives, else only in the battery's volts and the motors' friction. Common practice, no
// source.
const currentSD = 0.2

// asideBlur is what such drives tell of it at the best: by how much more a motor takes than it gives, braking differs
// from driving, and by little; the model's losses are no better than that. Known robots (known_test.go) come out 0.2 %
// off in the median.
const asideBlur = 0.01

func motorRows(spec *robot.Robot) []*row {
	speed := factor(motorPath("free_speed")(spec), "rad/s",
		func(r *robot.Robot) *float64 { return &driveMotor(r).FreeSpeed }, motorPath("free_speed"))
	speed.cure = "drive ramp and step_brake"
	torque := factor(motorPath("stall_torque")(spec), "N m",
		func(r *robot.Robot) *float64 { return &driveMotor(r).StallTorque }, motorPath("stall_torque"))
	torque.cure = "drive step_brake"
	current := factor(motorPath("stall_current")(spec), "A",
		func(r *robot.Robot) *float64 { return &driveMotor(r).StallCurrent }, motorPath("stall_current"))
	current.takes = []kind{leftAmps, rightAmps}
	current.apply = func(m *machine, number float64) { m.current = number }
	current.low = math.Min(0, -math.Log(overLeast(spec))) // no motor takes less than the least: follow
	current.cure = "log left A and right A"
	current.aside, current.asideBlur = currentSD, asideBlur
	current.alone = "the logs have no currents: the intervals allow for the file's ratio of stall_current to " +
		"stall_torque being off by 20 %"
	return []*row{speed, torque, current}
}

// Frictions as large as what a file that says nothing has.
const (
	usualDrag    = 0.03  // N m
	usualViscous = 0.001 // N m s
)

func driveRows(spec *robot.Robot, hold []string) []*row {
	viscous := math.Max(spec.Drive.Viscous, usualViscous/2)
	rows := append(frictionRows(spec, hold), amount("drive.viscous", "N m s", viscous, 1,
		func(r *robot.Robot) *float64 { return &r.Drive.Viscous }).from(-spec.Drive.Viscous/viscous))
	rows[len(rows)-1].cure = "drive step_coast, as fast as the room allows"
	creep := factor("drive.creep", "m/s", func(r *robot.Robot) *float64 { return &r.Drive.Creep }, fixed("drive.creep"))
	creep.cure, creep.alone = "drive spin_step and arcs", "how far the tyres give hardly shows in these logs"
	return slices.Concat(rows, []*row{creep, sidesRow(), lateRow(spec)}, extraRows(spec))
}

// frictionRows are the friction that does not grow with the speed: of gears and bearings, and the motors' own, which
// their free current overcomes. Together they are told by every drive, each alone by little: so one row is a factor on
// both, and another what the gears have beside it. A file's values that are held leave one.
func frictionRows(spec *robot.Robot, hold []string) []*row {
	drag := math.Max(spec.Drive.Drag, usualDrag/2)
	gears := amount("drive.drag", "N m", drag, 1, func(r *robot.Robot) *float64 { return &r.Drive.Drag }).
		from(-spec.Drive.Drag / drag)
	gears.cure = "drive ramp and step_coast"
	key := motorPath("free_current")(spec)
	motors := factor(key, "A", func(r *robot.Robot) *float64 { return &driveMotor(r).FreeCurrent },
		motorPath("free_current"))
	motors.low, motors.cure = -4, gears.cure
	if slices.Contains(hold, gears.keys[0]) || slices.Contains(hold, key) {
		return []*row{motors, gears}
	}
	current := motors.apply
	motors.keys, motors.shown = append(motors.keys, gears.keys...), slices.Concat(motors.shown, gears.shown)
	motors.apply = func(m *machine, number float64) {
		current(m, number)
		m.spec.Drive.Drag *= math.Exp(number)
	}
	gears.yields = true
	gears.low = math.Inf(-1) // what is less than nothing is cut off
	gears.cure = "log left A and right A"
	gears.alone = "it is friction as the motors' own is: both were changed by one factor"
	return []*row{motors, gears}
}

// pushSD is how alike the two sides' motors and gears are before anything was measured. Common practice, no source.
const pushSD = 0.1

// sidesRow is the right side's push over the left one's, in logarithms; what both push is the motor's.
func sidesRow() *row {
	return &row{keys: []string{"drive.left_push", "drive.right_push"}, sd: pushSD, low: -0.6, high: 0.6, step: 0.01,
		takes: anyMotion,
		apply: func(m *machine, number float64) {
			d, more := &m.spec.Drive, math.Exp(number)
			left, right := d.Push(robot.Left), d.Push(robot.Right)*more
			share := (d.Push(robot.Left) + d.Push(robot.Right)) / (left + right)
			d.LeftPush, d.RightPush = left*share, right*share
		},
		shown: []shown{
			{"drive.left_push", "", func(m *machine) float64 { return m.spec.Drive.Push(robot.Left) },
				func(m *machine) []Setting { return []Setting{{"drive.left_push", m.spec.Drive.LeftPush, ""}} }},
			{"drive.right_push", "", func(m *machine) float64 { return m.spec.Drive.Push(robot.Right) },
				func(m *machine) []Setting { return []Setting{{"drive.right_push", m.spec.Drive.RightPush, ""}} }},
		},
		cure: "drive step_brake, straight", said: "against the mean of both sides, which is the motors' stall_torque",
	}
}

// lateRow is the time from a command to what the log says of it. Its number is in hundredths of a second. Most programs
// count a row's time in whole milliseconds, of which one is off by 0.3 (1 over the root of 12).
func lateRow(spec *robot.Robot) *row {
	const unit = 0.01
	get := func(m *machine) float64 { return m.late }
	return &row{keys: []string{"drive.latency"}, blur: 0.03, sd: 5, low: -spec.Drive.Latency / unit, high: 40,
		step: 0.1, takes: anyMotion,
		apply: func(m *machine, number float64) { m.late = math.Max(0, m.late+float64(unit*number)) },
		shown: []shown{{"drive.latency", "s", get,
			func(m *machine) []Setting { return []Setting{{"drive.latency", m.late, "s"}} }}},
		cure: "drive step_brake",
	}
}

// wheelFactor is a row of a value that all wheels have, each its own.
func wheelFactor(name string, at func(w *robot.Wheel) *float64) *row {
	key := "wheels." + name
	return &row{keys: []string{key}, sd: twice, low: -2, high: 2, step: 0.01, takes: anyMotion,
		apply: func(m *machine, number float64) {
			for i := range m.spec.Wheels {
				*at(&m.spec.Wheels[i]) *= math.Exp(number)
			}
		},
		shown: []shown{{key, "",
			func(m *machine) float64 {
				most := 0.0
				for i := range m.spec.Wheels {
					most = math.Max(most, *at(&m.spec.Wheels[i]))
				}
				return most
			},
			func(m *machine) []Setting { return wheelSettings(m, name, "", at) }}},
	}
}

func wheelSettings(m *machine, name, unit string, at func(w *robot.Wheel) *float64) (list []Setting) {
	for i := range m.spec.Wheels {
		list = append(list, Setting{fmt.Sprintf("wheels[%d].%s", i, name), *at(&m.spec.Wheels[i]), unit})
	}
	return list
}

// How well wheels and their places are known before: a rule measures a wheel of 90 mm to half a millimetre or so, where
// the tyre touches to some millimetres.
const (
	radiusSD   = 0.01
	measuredSD = 0.005 // of wheels that were measured, in logs without a place
	trackSD    = 0.05
)

func wheelRows(spec *robot.Robot) []*row {
	across := wheelFactor("across", func(w *robot.Wheel) *float64 { return &w.Across })
	across.cure = "drive spin_ramp and spin_step"
	along := wheelFactor("along", func(w *robot.Wheel) *float64 { return &w.Along })
	along.cure = "drive hard_start"
	along.alone = "the wheels never slipped: all that is known is that they hold"
	return []*row{along, across, staticRow(), radiusMean(), radiusSides(), trackRow()}
}

var radiusShown = []shown{radiusOf(robot.Left, "left"), radiusOf(robot.Right, "right")}

func radiusOf(train robot.Train, side string) shown {
	return shown{"wheels.radius " + side, "m", func(m *machine) float64 { return radiiOf(m.spec)[train] },
		func(m *machine) (list []Setting) {
			for i, w := range m.spec.Wheels {
				if w.Train == train {
					list = append(list, Setting{fmt.Sprintf("wheels[%d].radius", i), w.Radius, "m"})
				}
			}
			return list
		}}
}

var radiusKeys = []string{"wheels.radius", "wheels.radius left", "wheels.radius right"}

// radiusMean is of all wheels alike: only what sees the place tells it.
func radiusMean() *row {
	return &row{keys: radiusKeys, sd: radiusSD, low: -0.3, high: 0.3, step: 0.005, takes: []kind{endAlong},
		apply: func(m *machine, number float64) {
			for i := range m.spec.Wheels {
				m.spec.Wheels[i].Radius *= math.Exp(number)
			}
		},
		shown: radiusShown, cure: "log x and y from a camera, or measure the wheels' diameter",
		alone: "the log has no place (x and y) that the wheels' turns could be compared with",
		rest: "the difference between the sides is fitted; torque, inertia and track go with their mean, and that is the " +
			"file's: the interval allows for it being 0.5 % off",
		aside: measuredSD,
	}
}

func isSides(r *row) bool { return slices.Contains(r.takes, endAcross) }

// radiusSides is the right wheels' radius over the left ones', in logarithms.
func radiusSides() *row {
	return &row{keys: radiusKeys, sd: 2 * radiusSD, low: -0.3, high: 0.3, step: 0.005, takes: []kind{turning, endAcross},
		apply: func(m *machine, number float64) {
			for i := range m.spec.Wheels {
				switch w := &m.spec.Wheels[i]; w.Train {
				case robot.Left:
					w.Radius *= math.Exp(-number / 2)
				case robot.Right:
					w.Radius *= math.Exp(number / 2)
				}
			}
		},
		shown: radiusShown, cure: "drive square_left and square_right", log: noHeadingLog, blind: noHeading,
	}
}

const (
	noHeading    = "the log has no heading"
	noHeadingLog = "log the heading"
)

func trackRow() *row {
	return &row{keys: []string{"wheels.at", "track"}, sd: trackSD, low: -0.5, high: 0.5, step: 0.005,
		takes: []kind{turning},
		apply: func(m *machine, number float64) {
			for i := range m.spec.Wheels {
				m.spec.Wheels[i].At.Y *= math.Exp(number)
			}
		},
		shown: []shown{{"track", "m", func(m *machine) float64 { return m.spec.PlainTrack() },
			func(m *machine) (list []Setting) {
				for i, w := range m.spec.Wheels {
					list = append(list, Setting{fmt.Sprintf("wheels[%d].at[1]", i), w.At.Y, "m"})
				}
				return list
			}}},
		cure: "drive spin_step", log: noHeadingLog, blind: noHeading,
	}
}

// turnedSD is how well an inertial sensor's scale is known: most are calibrated to some thousandths. Common practice,
// no source.
const turnedSD = 0.002

// turnedRows is the scale of the first inertial sensor.
func turnedRows(spec *robot.Robot) []*row {
	i := slices.IndexFunc(spec.Sensors, func(s robot.Sensor) bool { return s.Inertial != nil })
	key := fmt.Sprintf("sensors[%d].inertial.scale", max(i, 0))
	r := &row{keys: []string{key}, sd: turnedSD, low: -0.05, high: 0.05, step: turnedSD,
		takes: []kind{turning, endHeading}, quiet: true, signed: true,
		alone: "an inertial sensor that counts too much looks like a narrower track: the intervals allow for 0.2 %",
		cure: "turn the robot ten times by hand, from a mark back to the mark: scale = (what the heading rose by) / 3600 " +
			"deg - 1; write it into the robot file",
		apply: func(m *machine, number float64) { m.turned = number }}
	if i >= 0 {
		r.shown = []shown{{key, "", func(m *machine) float64 { return m.scale() - 1 },
			func(m *machine) []Setting { return []Setting{{key, m.scale() - 1, ""}} }}}
	}
	return []*row{r}
}

// clone is a robot whose numbers may be changed.
func clone(spec *robot.Robot) *robot.Robot {
	r := *spec
	r.Motors, r.Wheels = slices.Clone(r.Motors), slices.Clone(r.Wheels)
	return &r
}

// apply makes the machine of some rows' numbers.
func (e *estimation) apply(rows []*row, numbers []float64) machine {
	m := e.file()
	m.spec = clone(e.spec)
	for i, r := range rows {
		r.apply(&m, numbers[i])
	}
	follow(m.spec, e.spec, m.current)
	return m
}

// follow has the stall current go with the least that torque and speed take, as many times that as in the file, and, in
// logarithms, beside it as the logs say, but never below it: no motor gives more than it takes. So what a row of it may
// be goes with nothing else, and its bound is where the motor loses nothing.
func follow(r, file *robot.Robot, beside float64) {
	const most = 0.45 // of the stall current, that a motor may take when it turns freely; a file may have half
	now := driveMotor(r)
	now.StallCurrent = now.LeastStallCurrent() * math.Max(1, overLeast(file)*math.Exp(beside))
	now.StallCurrent = math.Max(now.StallCurrent, now.FreeCurrent/most)
}

// overLeast is the stall current over the least that torque and speed take: 1 for a motor that loses nothing but its
// friction.
func overLeast(r *robot.Robot) float64 {
	return driveMotor(r).StallCurrent / driveMotor(r).LeastStallCurrent()
}

// name is a row's for messages.
func (r *row) name() string { return r.keys[0] }
