package testdrive

import (
	"context"
	"strings"
	"testing"

	"chalkfield/sim/robot"
)

// odd is the smallest robot file, with a part of its own.
func odd(t *testing.T, rest string) *robot.Robot {
	t.Helper()
	spec, err := robot.Parse("odd.toml", []byte(`title = "odd\n| one"
[chassis]
length = "420 mm"
width = "400 mm"
mass = "6.2 kg"
`+rest))
	if err != nil {
		t.Fatal(err)
	}
	return spec
}

const twoWheels = `
[[wheels]]
at = ["0 mm", "160 mm"]
train = "left"
kind = "traction"
[[wheels]]
at = ["0 mm", "-160 mm"]
train = "right"
kind = "traction"
[[wheels]]
at = ["-150 mm", "0 mm"]
train = "free"
[[wheels]]
at = ["150 mm", "0 mm"]
train = "free"
`

// A robot whose motors hardly turn it has no square, and the plan says so. Its title stays on one line.
func TestARobotThatHardlyTurns(t *testing.T) {
	weak := odd(t, twoWheels+`
[[motors]]
name = "tired"
stall_torque = "0.02 N m"
free_speed = "40 rpm"
free_current = "10 mA"
`)
	p, err := Make(context.Background(), weak, Room{2.4, 1.6})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range p.Drives {
		if strings.HasPrefix(d.Name, "square") {
			t.Errorf("%s is planned", d.Name)
		}
	}
	if len(p.Left) != 2 || !strings.HasPrefix(p.Left[0], "square_left: ") || p.Title() != "Test drives for odd | one" {
		t.Errorf("%s: left out %q", p.Title(), p.Left)
	}
}
