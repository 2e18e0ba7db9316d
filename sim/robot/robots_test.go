package robot

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
)

// minimal is the least that makes a robot.
const minimal = `
[chassis]
length = "300 mm"
width = "300 mm"
mass = "4 kg"
[[wheels]]
at = ["100 mm", "120 mm"]
train = "left"
[[wheels]]
at = ["-100 mm", "120 mm"]
train = "left"
[[wheels]]
at = ["100 mm", "-120 mm"]
train = "right"
[[wheels]]
at = ["-100 mm", "-120 mm"]
train = "right"
`

func parse(t *testing.T, text string) *Robot {
	t.Helper()
	r, err := Parse("robot.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestChassisAndWheelsMakeARobot(t *testing.T) {
	r := parse(t, minimal)
	near(t, "inertia of a uniform rectangle", r.Chassis.Inertia, 4*(0.09+0.09)/12, 1e-12)
	if len(r.Motors) != 1 || r.Drive.PerSide != 2 || r.Air != nil || len(r.Parts) != 0 {
		t.Errorf("%+v", r)
	}
	if r.Odometry.Method != ByEncodersInertial || len(r.Sensors) != 3 || r.Odometry.Across != -1 {
		t.Fatalf("odometry %+v, sensors %+v", r.Odometry, r.Sensors)
	}
	for i, want := range []Sensor{
		{Name: "left_encoder", Kind: Encoder, Encoder: &EncoderSensor{Train: Left}},
		{Name: "right_encoder", Kind: Encoder, Encoder: &EncoderSensor{Train: Right}},
		{Name: "inertial", Kind: Inertial, Inertial: &InertialSensor{}},
	} {
		if !reflect.DeepEqual(r.Sensors[i], want) {
			t.Errorf("sensor %d is %+v, want the ideal %+v", i, r.Sensors[i], want)
		}
	}
	near(t, "believed track", r.Odometry.Track, r.EffectiveTrack(), 0)
	if r.Name != "robot.toml" || len(r.SHA256) != 64 {
		t.Errorf("name %q, hash %q", r.Name, r.SHA256)
	}
}

func TestEmbeddedRobotsLoad(t *testing.T) {
	if names := strings.Join(Embedded(), " "); names != "barrow hauler sifter" {
		t.Errorf("embedded: %s", names)
	}
	for _, name := range Embedded() {
		r, err := OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		if r.Title == "" || r.About == "" || r.Name != name+".toml" {
			t.Errorf("%s: %q %q", name, r.Title, r.Name)
		}
	}
}

func TestFindPrefersAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mine.toml")
	if err := os.WriteFile(path, []byte("title = \"mine\"\n"+minimal), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{path: "mine", "hauler": "Hauler", "barrow.toml": "Barrow"} {
		if r, err := Find(name); err != nil || r.Title != want {
			t.Errorf("%s: %v, %v", name, r, err)
		}
	}
	if _, err := Find("wagon"); err == nil || !strings.Contains(err.Error(), "barrow, hauler, sifter") {
		t.Errorf("wagon: %v", err)
	}
}

// A reference left out is the only part of its kind.
func TestPartsFindEachOther(t *testing.T) {
	r, err := OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	intake, scorer, claw := r.Parts[0].Intake, r.Parts[3].Scorer, r.Parts[4].Claw
	if intake.Into != 1 || scorer.From != 1 || scorer.Clamp != 2 || scorer.Lift != 5 || claw.Lift != 5 || claw.Gives != 1 {
		t.Errorf("intake %+v, scorer %+v, claw %+v", intake, scorer, claw)
	}
	if o := r.Odometry; o.Method != ByEncodersInertial || o.Inertial != 2 || r.Sensors[o.Across].Name != "across" {
		t.Errorf("odometry %+v", o)
	}
}

func TestTrackingWheelsAreSortedByDirection(t *testing.T) {
	r := parse(t, minimal+`
[[sensors]]
name = "side"
tracking_wheel = { at = ["-50 mm", "0 mm"], direction = "90 deg" }
[[sensors]]
name = "fore"
tracking_wheel = { at = ["0 mm", "50 mm"] }
[[sensors]]
name = "turn"
inertial = {}
[odometry]
method = "tracking wheels and inertial"
`)
	if o := r.Odometry; len(o.Along) != 1 || o.Along[0] != 1 || o.Across != 0 || o.Inertial != 2 {
		t.Errorf("%+v", o)
	}
}

// Every mistake gives one clear error with its place in the file. The texts go after the minimal file (17 lines).
func TestMistakesAreNamedWithTheirPlace(t *testing.T) {
	const lift = "[[parts]]\nname = \"arm\"\n[parts.lift]\nlow = \"-10 deg\"\nhigh = \"60 deg\"\n"
	const belt = "[[parts]]\nname = \"belt\"\n[parts.conveyor]\nlength = \"400 mm\"\nslots = 3\nexit = [\"200 mm\", \"0 " +
		"mm\"]\nout = [\"-200 mm\", \"0 mm\"]\n"
	belt2 := strings.Replace(belt, `"belt"`, `"bin"`, 1)
	eye := func(key string) string {
		return "[[sensors]]\nname = \"x\"\noptical = { along = \"10 mm\", " + key + " }\n"
	}
	gate := func(keys string) string { return "[[parts]]\nname = \"gate\"\n[parts.gate]\n" + keys }
	tests := []struct{ name, text, want string }{
		{"unknown key", "[drive]\npower = 3\n", `robot.toml:19:1: drive.power: there is no key "power" here`},
		{"bare number", "[drive]\ncreep = 0.03\n", `robot.toml:19:9: drive.creep: 0.03 has no unit`},
		{"wrong unit", "[drive]\ncreep = \"3 kg\"\n", `"kg" is not a unit of a speed`},
		{"out of range", "[drive]\nper_side = 0\n", `robot.toml:19:12: drive.per_side: 0 is out of range: write a whole ` +
			`number from 1 to 8`},
		{"a resolution that no sensor has", "[[sensors]]\nname = \"x\"\nencoder = { train = \"left\", resolution = " +
			"\"1e-308 mm\" }\n",
			`sensors[0].encoder.resolution: 1e-308 mm is out of range: write a value from "0.0001 mm" to "200 mm", or "0 mm" ` +
				`for an ideal sensor`},
		{"a lift that hardly moves", lift[:strings.Index(lift, "high")] + "high = \"-9.9 deg\"\n",
			`parts[0].lift.high: the lift would hardly move: write a value of at least "-9 deg"`},
		{"a gain beyond sense", lift + "gains = { p = \"1e300 V/deg\" }\n",
			`parts[0].lift.gains.p: 1e300 V/deg is out of range: write a value from "0 V/deg" to "10000 V/deg"`},
		{"out of range with unit", "[battery]\nopen = \"900 V\"\n",
			`900 V is out of range: write a value from "1 V" to "60 V"`},
		{"not finite", "[drive]\ngear = nan\n", `drive.gear: nan is no usable number`},
		{"unknown motor", "[drive]\nmotor = \"turbo\"\n", `drive.motor: "turbo" is no motor of this file`},
		{"two motors of a name", "[[motors]]\nname = \"m\"\nstall_torque = \"1 N m\"\nfree_speed = \"200 " +
			"rpm\"\n[[motors]]\nname = \"m\"\nstall_torque = \"1 N m\"\nfree_speed = \"200 rpm\"\n",
			`motors[1].name: there is already a motor named "m"`},
		{"free current too high", "[[motors]]\nname = \"m\"\nstall_torque = \"1 N m\"\nfree_speed = \"200 " +
			"rpm\"\nstall_current = \"2.5 A\"\nfree_current = \"2 A\"\n", `more than half of the stall current "2.5 A"`},
		{"lasting current too low", "[[motors]]\nname = \"m\"\nstall_torque = \"0.8 N m\"\nfree_speed = \"480 " +
			"rpm\"\nlasting_current = \"0.3 A\"\n", `hot, the motor could not even turn freely: write at least "0.4 A"`},
		{"lasting current beyond all", "[[motors]]\nname = \"m\"\nstall_torque = \"0.8 N m\"\nfree_speed = \"480 " +
			"rpm\"\nlimit = \"2 A\"\nlasting_current = \"2 A\"\n", `the motor takes "2 A" at most, so it would never get hot`},
		{"heat without a lasting current", "[[motors]]\nname = \"m\"\nstall_torque = \"0.8 N m\"\nfree_speed = \"480 " +
			"rpm\"\nheat_time = \"20 s\"\n", `write lasting_current too`},
		{"motor that makes energy", "[[motors]]\nname = \"m\"\nstall_torque = \"0.7 N m\"\nfree_speed = \"600 " +
			"rpm\"\nstall_current = \"2.5 A\"\nfree_current = \"0.15 A\"\n",
			`robot.toml:22:17: motors[0].stall_current: this motor would give more power than it takes: with that torque, ` +
				`speed and voltage it needs at least "3.96 A"; or leave the key out`},
		{"wheel on no train", "[[wheels]]\nat = [\"0 mm\", \"0 mm\"]\ntrain = \"middle\"\n",
			`"middle" is no train: write one of left, right, free`},
		{"wheel outside", "[[wheels]]\nat = [\"500 mm\", \"0 mm\"]\ntrain = \"left\"\n",
			`wheels[4].at: this wheel stands outside the chassis`},
		{"wheels of two radii", "[[wheels]]\nat = [\"0 mm\", \"120 mm\"]\ntrain = \"left\"\nradius = \"30 mm\"\n",
			`wheels[4].radius: the wheels of a train turn together`},
		{"kind of wheel", "[[wheels]]\nat = [\"0 mm\", \"120 mm\"]\ntrain = \"left\"\nkind = \"rubber\"\n",
			`"rubber" is no kind of wheel: write one of omni, traction`},
		{"part without a kind", "[[parts]]\nname = \"x\"\n", `parts[0]: this part has no kind`},
		{"part of two kinds", belt + "[parts.lift]\nlow = \"0 deg\"\nhigh = \"9 deg\"\n",
			`a part is of one kind, but this one has the tables [conveyor lift]`},
		{"name that Lua cannot say", "[[parts]]\nname = \"Big Belt\"\n",
			`"Big Belt" cannot be written in a routine: write a name of small letters, digits and _, such as "big_belt"`},
		{"name that is taken", "[[parts]]\nname = \"drive\"\n", `"drive" has a meaning of its own in routines`},
		{"two parts of a name", belt + belt, `there is already a part named "belt"`},
		{"intake into nothing", "[[parts]]\nname = \"mouth\"\n[parts.intake]\nmouth = [[\"0 mm\", \"0 mm\"], [\"10 mm\", " +
			"\"0 mm\"], [\"10 mm\", \"10 mm\"]]\n", `parts[0].intake.into: this robot has no conveyor: add a part with a ` +
			`table [parts.conveyor]`},
		{"reference of the wrong kind", belt + lift + "[[parts]]\nname = \"top\"\n[parts.scorer]\nfrom = \"arm\"\nat = " +
			"[\"0 mm\", \"0 mm\"]\n", `"arm" is no conveyor of this robot`},
		{"piston without air", "[[parts]]\nname = \"jaw\"\n[parts.clamp]\nat = [\"-200 mm\", \"0 mm\"]\n",
			`a piston needs air, and this robot has none`},
		{"flat mouth", belt + "[[parts]]\nname = \"mouth\"\n[parts.intake]\nmouth = [[\"0 mm\", \"0 mm\"], [\"10 mm\", \"0 " +
			"mm\"], [\"20 mm\", \"0 mm\"]]\n", `this mouth has no area or crosses itself`},
		{"mouth that crosses itself", belt + "[[parts]]\nname = \"mouth\"\n[parts.intake]\nmouth = [[\"0 mm\", \"0 mm\"], " +
			"[\"90 mm\", \"90 mm\"], [\"90 mm\", \"0 mm\"], [\"0 mm\", \"40 mm\"]]\n",
			`this mouth has no area or crosses itself`},
		{"intake that is never fast enough", belt + "[[parts]]\nname = \"mouth\"\n[parts.intake]\ngear = 100\nmouth = " +
			"[[\"0 mm\", \"0 mm\"], [\"10 mm\", \"0 mm\"], [\"10 mm\", \"10 mm\"]]\n", `its rollers turn at 13 mm/s at most`},
		{"length on an arm", strings.Replace(lift, "60 deg", "200 mm", 1),
			`parts[0].lift.high: an arm's positions are angles`},
		{"angle on an elevator", lift + "elevator = true\n", `an elevator's positions are lengths`},
		{"stops the wrong way round", strings.Replace(lift, "-10 deg", "70 deg", 1),
			`the upper end stop is not above the lower one`},
		{"height beyond a stop", lift + "heights = [{ name = \"moon\", at = \"80 deg\" }]\n",
			`parts[0].lift.heights[0].at: out of range: write a value from "-10 deg" to "60 deg"`},
		{"gain of an elevator", lift + "gains = { p = \"1 V/mm\" }\n", `give the gain per deg`},
		{"no gain at all", lift + "gains = { p = \"1 V\" }\n",
			`"1 V" is neither an arm's gain nor an elevator's gain: write "0.4 V/deg" or "0.1 V/mm"`},
		{"sensor without a name", "[[sensors]]\nencoder = { train = \"left\" }\n",
			`the key "name" is missing: write, for example, name = "left_encoder"`},
		{"sensor without a kind", "[[sensors]]\nname = \"x\"\n", `a sensor has one table of its kind, this one has 0`},
		{"optical without a conveyor", "[[sensors]]\nname = \"x\"\noptical = { along = \"10 mm\" }\n",
			`sensors[0].optical.on: this robot has no conveyor`},
		{"optical beyond the belt", belt + "[[sensors]]\nname = \"x\"\noptical = { along = \"500 mm\" }\n",
			`500 mm is beyond the conveyor: write a value from "0 mm" to "400 mm"`},
		{"mistakes of a sensor that tells nothing", belt + eye("mistakes = 0.1"),
			`a sensor that tells only whether a piece is there makes no mistakes: write tells = "piece" too`},
		{"sensor that tells something else", belt + eye("tells = \"colour\""),
			`"colour" is no thing that it tells: write one of presence, piece`},
		{"gate without a conveyor", gate("along = \"10 mm\"\nout = [\"0 mm\", \"300 mm\"]\nmotor = {}\n"),
			`parts[0].gate.on: this robot has no conveyor`},
		{"gate beyond the belt", belt + gate("along = \"500 mm\"\nout = [\"0 mm\", \"300 mm\"]\nmotor = {}\n"),
			`parts[1].gate.along: 500 mm is beyond the conveyor: write a value from "0 mm" to "400 mm"`},
		{"gate to nowhere", belt + gate("along = \"100 mm\"\nmotor = {}\n"), `say where thrown-out pieces go`},
		{"gate to two places", belt + belt2 + gate("on = \"belt\"\nalong = \"100 mm\"\nout = [\"0 mm\", "+
			"\"300 mm\"]\ninto = \"bin\"\nmotor = {}\n"), `pieces go to one place: leave out or into out`},
		{"gate into its own belt", belt + gate("along = \"100 mm\"\ninto = \"belt\"\nmotor = {}\n"),
			`a gate throws pieces off its conveyor`},
		{"gate on a piston without air", belt + gate("along = \"100 mm\"\nout = [\"0 mm\", \"300 mm\"]\n"),
			`a piston needs air, and this robot has none`},
		{"gate that two things move", "[air]\nvolume = \"400 ml\"\n" + belt + gate("along = \"100 mm\"\nout = [\"0 mm\", "+
			"\"300 mm\"]\npiston = {}\nmotor = {}\n"), `a gate has a piston or a motor, not both`},
		{"gate on a motor that is none", belt + gate("along = \"100 mm\"\nout = [\"0 mm\", \"300 mm\"]\nmotor = { motor = "+
			"\"turbo\" }\n"), `"turbo" is no motor of this file`},
		{"rotation on a belt", belt + lift + "[[sensors]]\nname = \"x\"\nrotation = { on = \"belt\" }\n",
			`"belt" is no lift of this robot`},
		{"range that ends before it begins", "[[sensors]]\nname = \"x\"\ndistance = { at = [\"0 mm\", \"0 mm\"], low " +
			"= \"3 m\" }\n", `the range ends before it begins`},
		{"marks seen nowhere", "[[sensors]]\nname = \"x\"\n[sensors.mark]\nat = [\"0 mm\", \"0 mm\"]\nlow = \"5 m\"\n",
			`sensors[0].mark.high: the range ends before it begins: write more than low, "5000 mm"`},
		{"a view of nothing", "[[sensors]]\nname = \"x\"\nmark = { at = [\"0 mm\", \"0 mm\"], view = \"0 deg\" }\n",
			`sensors[0].mark.view: 0 deg is out of range: write a value from "1 deg" to "360 deg"`},
		{"a spot without a place", "[[sensors]]\nname = \"x\"\nline = {}\n",
			`the key "at" is missing: write, for example, at = ["150 mm", "0 mm"]`},
		{"encoder of no train", "[[sensors]]\nname = \"x\"\nencoder = { train = \"free\" }\n", `"free" is no driven train`},
		{"unknown method", "[odometry]\nmethod = \"magic\"\n", `"magic" is no method of odometry`},
		{"unknown sensor", "[odometry]\ninertial = \"gyro\"\n", `odometry.inertial: "gyro" is no sensor of this robot`},
		{"no tracking wheel", "[odometry]\nmethod = \"tracking wheels and inertial\"\n",
			`needs a tracking wheel along the robot`},
		{"nothing measures the heading", "[[sensors]]\nname = \"fore\"\ntracking_wheel = { at = [\"0 mm\", \"50 mm\"] " +
			"}\n[odometry]\nmethod = \"tracking wheels and inertial\"\n", `nothing measures the heading`},
		{"encoders crossed", "[[sensors]]\nname = \"a\"\nencoder = { train = \"left\" }\n[[sensors]]\nname = " +
			"\"b\"\nencoder = { train = \"right\" }\n[odometry]\nalong = [\"b\", \"a\"]\n", `"b" is on the other train`},
		{"spread too wide", "[spread]\nmotors = 2\n", `spread.motors: 2 is out of range`},
	}
	for _, test := range tests {
		_, err := Parse("robot.toml", []byte(minimal+test.text))
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s:\n got %v\nwant %s", test.name, err, test.want)
		}
	}
}

// A stall current left out is that of a motor without losses but its friction: torque per ampere = volts per rad/s, so
// that the best efficiency is (1 - sqrt(I0/Is))^2 (see sim/power).
func TestAStallCurrentLeftOutIsComputed(t *testing.T) {
	r := parse(t, minimal+"[[motors]]\nname = \"m\"\nstall_torque = \"0.7 N m\"\nfree_speed = \"600 rpm\"\nfree_current "+
		"= \"0.15 A\"\n")
	m := r.Motors[0]
	near(t, "stall current", m.StallCurrent, 3.959509, 1e-6)
	near(t, "torque per ampere", m.TorquePerAmp(), m.VoltsPerSpeed(), 1e-12)
}

func TestMistakesOfTheBase(t *testing.T) {
	tests := []struct{ name, old, new, want string }{
		{"no mass", `mass = "4 kg"`, ``, `the key "mass" is missing: write, for example, mass = "6.2 kg"`},
		{"trains swapped", `train = "left"`, `train = "right"`, `no wheel is on the left train`},
		{"left on the right", `"120 mm"]`, `"-125 mm"]`, `the left train does not stand left of the right one`},
		{"centre beyond the wheels", `mass = "4 kg"`, "mass = \"4 kg\"\ncentre = [\"120 mm\", \"0 mm\"]",
			`the centre of mass lies outside the wheels' contact points`},
		{"centre beyond the chassis", `mass = "4 kg"`, "mass = \"4 kg\"\ncentre = [\"200 mm\", \"0 mm\"]",
			`the centre of mass lies outside the chassis`},
		{"inertia", `mass = "4 kg"`, "mass = \"4 kg\"\ninertia = \"50 kg m^2\"",
			`far from what this mass and size allow: write a value near "0.06 kg m^2"`},
	}
	for _, test := range tests {
		_, err := Parse("robot.toml", []byte(strings.ReplaceAll(minimal, test.old, test.new)))
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s:\n got %v\nwant %s", test.name, err, test.want)
		}
	}
}

// Whatever a file holds, it is a robot or an error, never a panic; and a robot has a usable model.
func FuzzParse(f *testing.F) {
	for _, name := range Embedded() {
		data, err := EmbeddedSource(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(minimal))
	f.Add([]byte(minimal + "[odometry]\nmethod = \"tracking wheels and inertial\"\nalong = [\"x\"]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		property.Bounded(t, func() {
			r, err := Parse("robot.toml", data)
			if err != nil {
				return
			}
			m := r.Model()
			for _, x := range []float64{m.KV, m.KA, m.TurnKV, m.TurnKA, m.TurnKS, m.Track, m.Grip, m.SideGrip, m.FreeSpeed} {
				if !(x >= 0 && x < 1e9) {
					t.Errorf("model %+v", m)
				}
			}
		})
	})
}
