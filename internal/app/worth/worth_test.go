package worth

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

const yard = `title = "Yard"
tile = "500 mm"
size = ["5 m", "3 m"]

[[sides]]
name = "chalk"
colour = "#e8e4d8"
mark = "square"

[[zones]]
name = "bay"
kind = "bay"
side = "chalk"
box = [["3 m", "1 m"], ["4 m", "2 m"]]

[[piece_kinds]]
name = "ball"
across = "100 mm"
mass = "100 g"

[[goal_kinds]]
name = "cart"
size = ["300 mm", "300 mm"]
mass = "1 kg"
room = 2
takes = ["ball"]

[[goals]]
kind = "cart"
name = "cart"
at = ["2 m", "2.4 m"]

[[pieces]]
kind = "ball"
name = "ball"
at = ["1 m", "600 mm"]

[[phases]]
name = "all"
length = "30 s"
control = "autonomous"

[[sessions]]
name = "all"
phases = ["all"]

[[rules]]
name = "ball in cart"
kind = "piece in goal"
points = 2

[[rules]]
name = "cart in bay"
kind = "goal in zone"
zone = "bay"
points = 1
times = 3

[[rules]]
name = "ball in bay"
kind = "piece in zone"
zone = "bay"
points = 5

[[rules]]
name = "parked"
kind = "formula"
points = "3*robots_in('bay') + 1"
when = "robots_in('bay') > 0"
`

const tug = `title = "Tug"
[chassis]
length = "400 mm"
width = "400 mm"
mass = "6 kg"
[[motors]]
name = "motor"
stall_torque = "0.8 N m"
free_speed = "480 rpm"
[[wheels]]
at = ["130 mm", "160 mm"]
train = "left"
[[wheels]]
at = ["-130 mm", "160 mm"]
train = "left"
[[wheels]]
at = ["130 mm", "-160 mm"]
train = "right"
[[wheels]]
at = ["-130 mm", "-160 mm"]
train = "right"
[control]
speed = "1 m/s"
accel = "1.5 m/s^2"
[spread]
start_at = "10 mm"
`

const tugParts = `[[parts]]
name = "jaw"
[parts.clamp]
at = ["-370 mm", "0 mm"]
offset = "20 mm"
force = "60 N"
`

func find(t *testing.T, machine string) *Result {
	t.Helper()
	f, err := fields.Parse("yard.toml", []byte(yard))
	if err != nil {
		t.Fatal(err)
	}
	r, err := robot.Parse("tug.toml", []byte(machine))
	if err != nil {
		t.Fatal(err)
	}
	found, err := Find(context.Background(), f, r, Options{Start: &geom.Pose{X: 0.5, Y: 1.5}})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func task(t *testing.T, r *Result, begins string) *Task {
	t.Helper()
	for _, one := range r.Tasks {
		if strings.HasPrefix(one.What, begins) {
			return one
		}
	}
	t.Fatalf("no task begins with %q: %+v", begins, r.Tasks)
	return nil
}

// Computed by hand: parked in the bay the formula gives 3 x 1 + 1 = 4; its centre is in the bay after 2.5 m straight
// ahead, 30 mm more make sure, and with 1 m/s and 1.5 m/s^2 that takes d/v + v/a = 3.197 s (Lynch & Park, 9.2).
// A ball in the bay is 5, in the cart 2; the cart in the bay is 1, and makes 3 x 2 of each ball in it: 4 more, so full
// with two balls 1 + 8 = 9.
func TestWorthComputedByHand(t *testing.T) {
	found := find(t, tug+tugParts)
	parked := task(t, found, "robot in bay")
	seconds := 2.53 + 1/1.5
	if parked.Points != 4 || math.Abs(parked.Drive.Length-2.53) > 2*march || math.Abs(parked.Seconds()-seconds) > 0.02 ||
		math.Abs(parked.PerSecond-4/parked.Seconds()) > 1e-9 || parked.Chance != 1 {
		t.Errorf("parked: %+v; %g s by hand", parked, seconds)
	}
	cart := task(t, found, "cart into bay, with 2 in it")
	if cart.Points != 9 || cart.Each != 4 || cart.Not != "" {
		t.Errorf("the cart: %+v", cart)
	}
	for begins, points := range map[string]float64{"ball into cart": 2, "ball into bay": 5} {
		if one := task(t, found, begins); one.Points != points || !strings.Contains(one.Not, "the robot has nothing") ||
			one.PerSecond != 0 {
			t.Errorf("%s without an intake: %+v", begins, one)
		}
	}
	if found.Tasks[0] != parked && found.Tasks[0] != cart {
		t.Errorf("what cannot be done comes first: %+v", found.Tasks[0])
	}
	if len(found.Cycles) != 0 || len(found.Alone) != 0 {
		t.Errorf("cycles %v, rules of no thing %v", found.Cycles, found.Alone)
	}
}

// A robot is in a zone as soon as its rule has it, by the shortest way, also backwards, and turns for nothing. By hand
// with the bay from x = 3 m on, its middle at y = 1.5 m, and a robot 400 mm long that makes 30 mm sure: its centre is
// in from the left after 2.53 - x; all of it 200 mm later, any of it 200 mm sooner; from the right, at 4.5 m and facing
// away, 530 mm backwards. Where it counts already it needs no way, is first, and is said to.
func TestWaysIntoAZone(t *testing.T) {
	const parked = "kind = \"formula\"\npoints = \"3*robots_in('bay') + 1\"\nwhen = \"robots_in('bay') > 0\"\n"
	r, err := robot.Parse("tug.toml", []byte(tug))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		inside string
		start  geom.Pose
		length float64
		call   string
	}{
		{"centre", geom.Pose{X: 0.5, Y: 1.5}, 2.53, "ahead(25"},
		{"all", geom.Pose{X: 0.5, Y: 1.5}, 2.73, "ahead(27"},
		{"any", geom.Pose{X: 0.5, Y: 1.5}, 2.33, "ahead(23"},
		{"centre", geom.Pose{X: 4.5, Y: 1.5}, 0.53, "ahead(-53"},
		{"centre", geom.Pose{X: 3.1, Y: 1.5}, 0, ""},
		{"all", geom.Pose{X: 3.1, Y: 1.5}, 0.13, "ahead(13"},
	} {
		text := strings.Replace(yard, parked, "kind = \"robot in zone\"\nzone = \"bay\"\npoints = 4\ninside = \""+c.inside+
			"\"\n", 1)
		f, err := fields.Parse("yard.toml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		found, err := Find(context.Background(), f, r, Options{Start: &c.start})
		if err != nil {
			t.Fatal(err)
		}
		in := task(t, found, "robot in bay")
		if in.Points != 4 || math.Abs(in.Drive.Length-c.length) > 2*march || in.Already != (c.call == "") ||
			found.Tasks[0] != in {
			t.Errorf("%s from %v: %+v, by hand %g m", c.inside, c.start, in, c.length)
		}
		if moves := in.Drive.Moves; c.call != "" && (len(moves) != 1 || !strings.HasPrefix(moves[0].Call, c.call)) {
			t.Errorf("%s from %v: %v, not %s...", c.inside, c.start, moves, c.call)
		}
	}
}

// By hand: the clamp takes 20 mm any way, two standard deviations of a start that is 10 mm off along x and y. Of two
// normal deviations 1 - exp(-2) lie within twice their own (Rayleigh's distribution), of each 0.997300 within three,
// where it is cut (erf(3/sqrt 2)); the mean of 2,000 draws is good to 1 %. The angle counts for nothing here.
func TestChanceOfAClampByHand(t *testing.T) {
	r, err := robot.Parse("tug.toml", []byte(tug+strings.Replace(tugParts, "offset", "softness = 0\noffset", 1)))
	if err != nil {
		t.Fatal(err)
	}
	f, err := fields.Parse("yard.toml", []byte(yard))
	if err != nil {
		t.Fatal(err)
	}
	m, err := newMachine(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	end := geom.Pose{X: 2.37, Y: 2.4} // the cart stands at 2 m
	v := Way{End: end, Poses: []geom.Pose{end}, Moves: make([]Move, 1)}
	w := &finder{f: f, machine: m, start: geom.Pose{X: 1, Y: 2.4}, left: map[geom.Pose]geom.Pose{end: {}}}
	w.draw()
	takes, err := w.serverPuts(&v, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	if want := (1 - math.Exp(-2)) / (0.997300 * 0.997300); math.Abs(takes.mean()-want) > 0.01 {
		t.Errorf("the clamp takes the cart by a chance of %g, by hand %g", takes.mean(), want)
	}
	w.left[end] = geom.Pose{Y: 0.03} // motions that always end 30 mm beside: fewer than half
	if takes, _ = w.serverPuts(&v, nil, 0); takes.mean() > 0.2 {
		t.Errorf("30 mm beside it takes the cart by a chance of %g", takes.mean())
	}
}

// Where a robot truly ends that drives 2 m ahead, by hand: trains that roll 1 % farther end 20 mm farther; a start
// turned by 10 mrad ends 20 mm beside; where only trains tell the heading, and one rolls 1 % farther, it turns by
// 20 mm/track, half of it on the way on average.
func TestWhereARobotTrulyEnds(t *testing.T) {
	const track = 0.4
	end := geom.Pose{X: 2}
	v := Way{End: end, Poses: []geom.Pose{end}, Moves: make([]Move, 1)}
	r := &robot.Robot{}
	w := &finder{machine: &machine{spec: r}}
	r.Odometry.Track = track
	for _, c := range []struct {
		method robot.OdometryMethod
		d      drawn
		want   geom.Pose
	}{
		{robot.ByEncodersInertial, drawn{trains: [2]float64{0.01, 0.01}}, geom.Pose{X: 2.02}},
		{robot.ByEncodersInertial, drawn{trains: [2]float64{0, 0.01}}, geom.Pose{X: 2.01}},
		{robot.ByEncodersInertial, drawn{start: geom.Pose{Heading: 0.01}}, geom.Pose{X: 2, Y: 0.02, Heading: 0.01}},
		{robot.ByEncoders, drawn{trains: [2]float64{0, 0.01}}, geom.Pose{X: 2.01, Y: 0.05, Heading: 0.02 / track}},
	} {
		r.Odometry.Method = c.method
		got := w.truly(&v, &c.d)
		if off := c.want.Relative(got); geom.Norm(off.At()) > 0.002 || math.Abs(off.Heading) > 1e-9 {
			t.Errorf("%s, %+v: %v, by hand %v", c.method, c.d, got, c.want)
		}
	}
}

// Without a clamp no goal is moved.
func TestWorthWithoutClamp(t *testing.T) {
	for _, one := range find(t, tug).Tasks {
		if strings.HasPrefix(one.What, "cart") {
			t.Errorf("%+v", one)
		}
	}
}

// The way round a goal between two places is longer than the straight one, touches it nowhere, and is symmetric.
func TestWayRoundAGoal(t *testing.T) {
	f, err := fields.Parse("yard.toml", []byte(strings.Replace(yard, `at = ["2 m", "2.4 m"]`, `at = ["2 m", "1.5 m"]`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	r, err := robot.Parse("tug.toml", []byte(tug))
	if err != nil {
		t.Fatal(err)
	}
	l := newLand(f, r)
	length := func(a, b geom.Vec) (sum float64) {
		at := a
		for _, p := range l.between(a, b) {
			if !l.free(at, p) {
				t.Errorf("from %v to %v it meets the cart", at, p)
			}
			sum += geom.Norm(geom.Vec{X: p.X - at.X, Y: p.Y - at.Y})
			at = p
		}
		return sum
	}
	a, b := geom.Vec{X: 0.5, Y: 1.5}, geom.Vec{X: 3.5, Y: 1.5}
	there, back := length(a, b), length(b, a)
	if !(there > 3.02) || there > 3.4 || math.Abs(there-back) > 1e-9 {
		t.Errorf("%g m there and %g back, 3 m straight", there, back)
	}
	if l.between(a, geom.Vec{X: 9, Y: 9}) != nil {
		t.Error("there is a way through the wall")
	}
}

// On every field every figure is a number that makes sense, the best comes first, and the order is the same again.
func TestWorthOfEveryField(t *testing.T) {
	for i, name := range fields.Embedded() {
		if i%property.Cases(4, 2) != 0 {
			continue
		}
		f, err := fields.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, machine := range robot.Embedded() {
			r, err := robot.OpenEmbedded(machine)
			if err != nil {
				t.Fatal(err)
			}
			found, err := Find(context.Background(), f, r, Options{})
			if err != nil {
				t.Logf("%s, %s: %v", name, machine, err) // a robot that is too large, or holds what the field has not
				continue
			}
			before := math.Inf(1)
			for _, one := range found.Tasks {
				good := one.Chance >= 0 && one.Chance <= 1 && one.Seconds() >= 0 && one.Seconds() < 1000 && one.PerSecond >= 0 &&
					(one.PerSecond <= before || one.Already) && one.Points > 0 && one.Drive.Length >= 0
				if one.Already {
					good = good && before == math.Inf(1) && one.Seconds() == 0
					continue
				}
				if !good || one.Not != "" && one.PerSecond != 0 {
					t.Errorf("%s, %s: %+v", name, machine, one)
				}
				before = one.PerSecond
			}
			first, err := json.Marshal(found)
			if err != nil {
				t.Fatal(err)
			}
			again, err := Find(context.Background(), f, r, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if second, _ := json.Marshal(again); !bytes.Equal(first, second) {
				t.Errorf("%s, %s: other figures at the second time", name, machine)
			}
		}
	}
}
