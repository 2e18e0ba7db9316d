package gains

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"chalkfield/sim/robot"
)

func benchOf(t *testing.T, text string) *Bench {
	t.Helper()
	spec, err := robot.Parse("robot.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	b, err := NewBench(spec)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// elevator has no friction, and its spring bears the load: kA q” + kV q' = V, all the way.
const elevator = `title = "Elevator"
[chassis]
length = "400 mm"
width = "400 mm"
mass = "6 kg"
[[motors]]
name = "motor"
stall_torque = "0.8 N m"
free_speed = "480 rpm"
free_current = "0 A"
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
[battery]
resistance = "0 ohm"
[[parts]]
name = "mast"
[parts.lift]
gear = 1
efficiency = 1
elevator = true
radius = "100 mm"
load = "2 kg"
spring = "19.6133 N"
low = "0 mm"
high = "500 mm"
`

// A lift whose poles are placed swings as a second-order system does (Ogata, ch. 5): a damping of 0.5 at 6 rad/s
// overshoots by 16.30 %, and settles after 8.0763/6 s. The loop holds its volts for a tick and takes its rate over the
// last, which is a dead time of a tick: the 3 % allowed.
func TestPlacedPolesOfLift(t *testing.T) {
	b := benchOf(t, elevator)
	l := Loops(b.Robot)[2]
	kv, ka := b.Robot.Parts[l.Part].Lift.Volts(b.Robot)
	const z, w = 0.5, 6.0
	v := Values{P: ka * w * w, D: 2*z*w*ka - kv}
	c, err := b.Step(context.Background(), l, v, Cases[0])
	if err != nil {
		t.Fatal(err)
	}
	f := Of(c)
	near(t, "overshoot", *f.Overshoot, 0.1630, 0.08)
	near(t, "settling", *f.Settling, 8.0763/w, 0.03)
}

// Absurd gains are called what they are.
func TestAbsurdGains(t *testing.T) {
	b := benchOf(t, elevator)
	l := Loops(b.Robot)[2]
	for verdict, v := range map[Verdict]Values{Rings: {P: 900_000}, Stays: {P: 1e-6}} {
		c, err := b.Step(context.Background(), l, v, Cases[0])
		if err != nil {
			t.Fatal(err)
		}
		if f := Of(c); f.Verdict != verdict {
			t.Errorf("p = %g V/m %s, not %s", v.P, f.Verdict, verdict)
		}
	}
}

// A loop bears as much delay as it bears: later it rings, a little sooner it does not, whoever finds out.
func TestMarginsAreWhereItBeginsToRing(t *testing.T) {
	b := benchOf(t, elevator)
	l := Loops(b.Robot)[2]
	tried := &Tried{Gains: l.Computed(b.Robot)}
	if err := b.margins(context.Background(), l, tried); err != nil {
		t.Fatal(err)
	}
	if tried.Delay.More || tried.Delay.At < LeastDelay {
		t.Fatalf("no edge: %+v", tried.Delay)
	}
	for share, rings := range map[float64]bool{0.95: false, 1.1: true} {
		is, err := b.nudge(context.Background(), l, tried.Gains, Case{late: share * tried.Delay.At})
		if err != nil || is != rings {
			t.Errorf("%g of the delay until it rings: %v, %v", share, is, err)
		}
	}
}

// All that is not a gain stays, byte for byte; what is as it was is not written.
func TestInto(t *testing.T) {
	text := strings.Replace(elevator, "high = \"500 mm\"\n", "high = \"500 mm\" # mine\ngains = { p = \"0.5 V/mm\", "+
		"hold = \"0.2 V\" } # and this\n", 1)
	b := benchOf(t, text)
	l := Loops(b.Robot)[2]
	now := l.InFile(b.Robot)
	out, edits, err := l.Into([]byte(text), b.Robot, now)
	if err != nil || len(edits) > 0 || !bytes.Equal(out, []byte(text)) {
		t.Fatalf("the same gains: %v %v", edits, err)
	}
	now.P, now.D = 1234, 7
	out, edits, err = l.Into([]byte(text), b.Robot, now)
	if err != nil || len(edits) != 2 {
		t.Fatal(edits, err)
	}
	want := strings.Replace(text, `p = "0.5 V/mm", hold = "0.2 V"`,
		`p = "1.23 V/mm", hold = "0.2 V", d = "0.00700 V s/mm"`, 1)
	if string(out) != want {
		t.Errorf("got\n%s", out)
	}
}

// Of a drive whose file has no gains the table is added, at the end.
func TestIntoAddsTable(t *testing.T) {
	b := benchOf(t, elevator)
	l := Loops(b.Robot)[1]
	out, _, err := l.Into([]byte(elevator), b.Robot, Values{P: 9, D: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(out), elevator) || !strings.Contains(string(out), `heading_p = "9.00 1/s"`) {
		t.Errorf("got\n%s", out)
	}
}
