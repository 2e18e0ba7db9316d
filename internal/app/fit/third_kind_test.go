package fit

import (
	"math/rand/v2"
	"testing"

	"chalkfield/sim/robot"
)

// thirdKind is the number from which on known robots are of the third kind.
const thirdKind = 100

// lifterText is a file from data sheets and a tape: two kinds of wheels, a stall current of a motor that loses much.
const lifterText = `title = "Lifter"
[chassis]
length = "360 mm"
width = "320 mm"
mass = "4.6 kg"
centre = ["-18 mm", "0 mm"]
[[motors]]
name = "motor"
stall_torque = "1.2 N m"
free_speed = "340 rpm"
stall_current = "5.2 A"
free_current = "0.25 A"
[drive]
per_side = 2
gear = 0.85
[battery]
open = "12.4 V"
resistance = "0.12 ohm"
[[wheels]]
at = ["-120 mm", "130 mm"]
train = "left"
kind = "traction"
radius = "38 mm"
[[wheels]]
at = ["120 mm", "130 mm"]
train = "left"
radius = "38 mm"
[[wheels]]
at = ["-120 mm", "-130 mm"]
train = "right"
kind = "traction"
radius = "38 mm"
[[wheels]]
at = ["120 mm", "-130 mm"]
train = "right"
radius = "38 mm"
[[sensors]]
name = "left_encoder"
encoder = { train = "left", resolution = "0.1 mm", noise = "0.3 mm", latency = "10 ms" }
[[sensors]]
name = "right_encoder"
encoder = { train = "right", resolution = "0.1 mm", noise = "0.3 mm", latency = "10 ms" }
[[sensors]]
name = "gyro"
inertial = { resolution = "0.02 deg", noise = "0.1 deg", walk = "1 deg/sqrt(h)", latency = "10 ms" }
`

func fileOf(name string) (*robot.Robot, error) {
	if name == "lifter" {
		return robot.Parse("lifter.toml", []byte(lifterText))
	}
	return robot.OpenEmbedded(name)
}

// lifter is a robot that differs from its file in what nobody measures too: where its centre of mass is, how its trains
// break away, how its wheels roll, how unlike they hold; whose motors lose less than the data sheet says, whose volts
// come late by no multiple of a step, and whose log has no place. Its mass and the mean of its wheels were measured.
func lifter(t testing.TB, number uint64) truth {
	file, err := fileOf("lifter")
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(number, 78))
	about := func(share float64) float64 { return 1 + share*(2*random.Float64()-1) }
	r := clone(file)
	r.Chassis.Mass *= about(0.12)
	r.Chassis.Inertia = r.Chassis.Mass * (0.36*0.36 + 0.32*0.32) / 12 * about(0.2)
	r.Chassis.Centre.X += 0.005 * random.NormFloat64()
	r.Chassis.Centre.Y += 0.003 * random.NormFloat64()
	m := driveMotor(r)
	m.StallTorque *= about(0.25)
	m.FreeSpeed *= about(0.08)
	m.FreeCurrent = 0.3
	m.StallCurrent = m.LeastStallCurrent()
	d := &r.Drive
	right := about(0.08)
	d.LeftPush, d.RightPush = 2/(1+right), 2*right/(1+right)
	d.Drag, d.Viscous = 0.03*(1.3+0.5*random.Float64()), 0.001*about(0.5)
	d.Latency, d.DeadBand = 0.015+0.035*random.Float64(), 0.1+0.2*random.Float64()
	d.Breakaway, d.Creep = 1.05+0.35*random.Float64(), 0.06*about(0.25)
	d.Backlash = 0.007 * random.Float64()
	r.Battery.Open *= about(0.03)
	r.Battery.Resistance *= about(0.35)
	across, along, unlike, sides, track := about(0.3), about(0.12), about(0.05), 0.01*(2*random.Float64()-1), about(0.03)
	for i := range r.Wheels {
		w := &r.Wheels[i]
		w.Across, w.Along, w.Rolling = w.Across*across, w.Along*along, 0.02*about(0.4)
		if w.At.X > 0 {
			w.Across *= unlike
		}
		w.At.Y *= track
		w.Radius *= 1 + sides*(float64(w.Train)-0.5)
	}
	measured := clone(file)
	measured.Chassis.Inertia *= r.Chassis.Mass / measured.Chassis.Mass
	measured.Chassis.Mass = r.Chassis.Mass
	return truth{real: r, file: measured, own: d.Latency + 0.01}
}
