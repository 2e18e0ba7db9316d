package scripting

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

const tick = 0.01 // s

// fake is a machine of a few lines: wheels that follow the motor line, mechanisms that obey at once. It is a stand-in
// for sim.Robot where a test is about the host.
type fake struct {
	coasts      bool
	pose        geom.Pose
	left, right float64 // volts commanded
	vl, vr      float64 // wheel speeds, m/s
	stuck       bool
	status      []robot.Status
	done        []doneCommand
	readings    []float64
	beliefs     int
	side        string // of what an optical sensor sees
	sights      []robot.Sight
}

type doneCommand struct {
	Part    int
	Command robot.Command
}

var fakeModel = robot.Model{
	Mass: 6, Inertia: 0.1, Track: 0.3, FreeSpeed: 1.6, Volts: 12, KV: 7.2, KA: 1.2, TurnKV: 1.08, TurnKA: 0.2,
	KS: 0.3, TurnKS: 0.3, Grip: 6, SideGrip: 5, Period: tick,
}

var fakeParts = []robot.Part{
	{Name: "intake", Kind: "intake"}, {Name: "conveyor", Kind: "conveyor"}, {Name: "clamp", Kind: "clamp"},
	{Name: "scorer", Kind: "scorer"}, {Name: "claw", Kind: "claw"},
	{Name: "lift", Kind: "lift", Lift: &robot.Lift{Heights: []robot.Height{{Name: "down", At: 0},
		{Name: "rack", At: 1.2}}}},
	{Name: "mast", Kind: "lift", Lift: &robot.Lift{Elevator: true, Heights: []robot.Height{{Name: "low", At: 0},
		{Name: "high", At: 0.5}}}},
	{Name: "gate", Kind: "gate", Gate: &robot.Gate{}},
}

var fakeSensors = []robot.Sensor{
	{Name: "left_wheel", Kind: "encoder"}, {Name: "along", Kind: "tracking wheel"}, {Name: "gyro", Kind: "inertial"},
	{Name: "front", Kind: "distance"}, {Name: "chute", Kind: "optical", Optical: &robot.OpticalSensor{}},
	{Name: "tilt", Kind: "rotation", Rotation: &robot.RotationSensor{On: 5}},
	{Name: "edge", Kind: "bumper"}, {Name: "mast_height", Kind: "rotation", Rotation: &robot.RotationSensor{On: 6}},
	{Name: "eye", Kind: "optical", Optical: &robot.OpticalSensor{Looks: true}},
	{Name: "tape", Kind: "line"}, {Name: "camera", Kind: "mark"},
}

func newFake() *fake {
	return &fake{status: make([]robot.Status, len(fakeParts)),
		readings: []float64{0.25, 0.5, 1, 0.75, 1, 0.5, 0, 0.3, 1, 0.25, 2}}
}

func (f *fake) Model() robot.Model                      { return fakeModel }
func (f *fake) Belief() geom.Pose                       { return f.pose }
func (f *fake) MeasuredWheelSpeeds() (float64, float64) { return f.vl, f.vr }
func (f *fake) SetDriveVolts(left, right float64)       { f.left, f.right = left, right }
func (f *fake) StopMotors() {
	f.SetDriveVolts(0, 0)
	for i, part := range f.Parts() {
		if part.Kind.HasMotor() {
			f.Do(i, robot.Command{Verb: robot.Volts})
		}
	}
}

func (f *fake) SetCoasting(coasts bool)    { f.coasts = coasts }
func (f *fake) SetBelief(p geom.Pose)      { f.pose = p; f.beliefs++ }
func (f *fake) Terminal() float64          { return 12.4 }
func (f *fake) Heat() float64              { return 0.25 }
func (f *fake) Air() float64               { return 500e3 }
func (f *fake) Parts() []robot.Part        { return fakeParts }
func (f *fake) Look(part int) robot.Status { return f.status[part] }
func (f *fake) Sensors() []robot.Sensor    { return fakeSensors }
func (f *fake) Reading(sensor int) float64 { return f.readings[sensor] }
func (f *fake) PieceBefore(sensor int) (kind, side string) {
	if f.readings[sensor] == 0 {
		return "", ""
	}
	return "core", f.side
}

func (f *fake) Sights(int) []robot.Sight { return f.sights }

func (f *fake) BeliefSpeed() (along, turn float64) {
	return (f.vl + f.vr) / 2, (f.vr - f.vl) / fakeModel.Track
}

func (f *fake) Do(part int, c robot.Command) {
	f.done = append(f.done, doneCommand{part, c})
	s := &f.status[part]
	switch c.Verb {
	case robot.Volts:
		s.Volts = c.Value
	case robot.Target:
		s.Target, s.Moving = c.Value, true
	case robot.Shut:
		s.Shut, s.Holding = true, true
	case robot.Open:
		s.Shut, s.Holding = false, false
	case robot.Deploy:
		s.Out = true
	case robot.Stow:
		s.Out = false
	}
}

// step moves the robot by one tick: motor line with time constant KA/KV, exact arcs.
func (f *fake) step() {
	for i := range f.status {
		s := &f.status[i]
		if s.Moving {
			s.Value += geom.Clamp(s.Target-s.Value, -0.03, 0.03)
			s.Moving = math.Abs(s.Target-s.Value) > 1e-3
		}
	}
	if f.stuck {
		f.vl, f.vr = 0, 0
		return
	}
	blend := 1 - math.Exp(-tick*fakeModel.KV/fakeModel.KA)
	f.vl += (wheelSpeed(f.left) - f.vl) * blend
	f.vr += (wheelSpeed(f.right) - f.vr) * blend
	along, turn := f.BeliefSpeed()
	middle := f.pose.Heading + turn*tick/2
	f.pose.X += along * tick * math.Cos(middle)
	f.pose.Y += along * tick * math.Sin(middle)
	f.pose.Heading += turn * tick
}

func wheelSpeed(volts float64) float64 {
	volts = geom.Clamp(volts, -12, 12)
	if math.Abs(volts) < fakeModel.KS {
		return 0
	}
	return (volts - math.Copysign(fakeModel.KS, volts)) / fakeModel.KV
}

// stage is a host at work on a fake, and what it left.
type stage struct {
	*Host
	robot  *fake
	events []record.Event
	ticks  int
	pad    func(tick int) PadState
}

// files are a routine and its modules by name; the routine is "routine.lua".
func load(t testing.TB, files map[string]string) *Program {
	t.Helper()
	p, err := LoadFS(folder(files), "routine.lua")
	if err != nil {
		t.Fatalf("load: %v", err)
	}
	return p
}

func folder(files map[string]string) fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range files {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

// auto wraps the body of an autonomous function into a routine file. The body begins on line 1.
func auto(body string) map[string]string {
	return map[string]string{"routine.lua": "return routine { auto = function(bot) " + body + "\nend }"}
}

func stageOf(t testing.TB, p *Program, env Env) *stage {
	t.Helper()
	s := &stage{robot: newFake()}
	env.Sink = func(e record.Event) { s.events = append(s.events, e) }
	h, err := p.NewHost(s.robot, env)
	if err != nil {
		t.Fatalf("new host: %v", err)
	}
	s.Host = h
	t.Cleanup(h.Close)
	return s
}

// play begins a phase and runs it for at most so many seconds, or until nothing is under way.
func (s *stage) play(phase Phase, seconds float64) {
	s.Begin(phase)
	for range int(math.Round(seconds / tick)) {
		s.once()
		if s.Done() {
			return
		}
	}
}

func (s *stage) once() {
	if s.pad != nil {
		s.SetPad(s.pad(s.ticks))
	}
	s.Tick(float64(s.ticks) * tick)
	s.robot.step()
	s.ticks++
}

// rehearse plays the autonomous function of a body.
func rehearse(t testing.TB, body string) *stage {
	t.Helper()
	s := stageOf(t, load(t, auto(body)), Env{})
	s.play(Auto, 20)
	return s
}

// notes are the texts of what the routine noted and printed.
func (s *stage) notes() []string {
	list := []string{}
	for _, e := range s.events {
		if e.Kind == record.Note || e.Kind == record.Print {
			list = append(list, e.Text)
		}
	}
	return list
}

// failure is the text of the first error event, or "".
func (s *stage) failure() string {
	for _, e := range s.events {
		if e.Kind == record.Failure {
			return strings.TrimPrefix(e.Sentence(units.Metric), "error: ")
		}
	}
	return ""
}
