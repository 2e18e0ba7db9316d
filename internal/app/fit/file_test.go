package fit

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"

	"pgregory.net/rapid"
)

// ours is a robot file as a team writes one: comments, tables in braces, keys left out.
const ours = `title = "Ours" # "2nd robot"
[chassis]
length = "420 mm"
width  = "16 in"
mass   = "6.2 kg"   # weighed on Monday

[drive]
gear = 1.5
creep = "60 mm/s"
drag = '0.03 N m'  # guessed # fitted, 95 % between 0.02 and 0.04 N m, log 00000000
`

func team(crlf bool) string {
	text := ours + `
[[wheels]]
at = ["130 mm", "160 mm"]
train = "left"
radius = "1.75 in"
[[wheels]]
at = ["130 mm", "-160 mm"]
train = "right"
[[parts]]
name = "arm"
lift = { gear = 30.0, low = "-30 deg", high = "70 deg", load = "0.3 kg" } # { "braces" }
`
	if crlf {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	return text
}

func told() *Result {
	one := func(path, unit string, before, after, low, high float64) Parameter {
		return Parameter{Key: path, Unit: unit, Before: before, After: after, Low: low, High: high, State: Fitted,
			Settings: []Setting{{path, after, unit}}}
	}
	radius := one("wheels.radius left", "", 1, 1.02, 1.01, 1.03)
	radius.Settings = []Setting{{"wheels[0].radius", 0.04445 * 1.02, "m"}, {"wheels[1].radius", 0.045 * 1.02, "m"}}
	held := one("chassis.mass", "kg", 6.2, 7, 6.9, 7.1)
	held.State = Held
	stall := one("drive.creep", "m/s", 0.06, 0.0712345678, 0, 0)
	stall.State = Derived
	current := one("motors[0].stall_current", "A", 3.5, 4, 0, 0)
	current.State = Derived
	return &Result{Logs: []Source{{SHA256: "1a2b3c4d5e"}}, Parameters: []Parameter{held, current,
		one("drive.drag", "N m", 0.03, 0.0412345, 0.0388, 0.0437),
		one("drive.viscous", "N m s", 0.001, 0.00052, 0.0001, 0.0009),
		stall, radius, one("parts[0].lift.load", "kg", 0.3, 0.4567, 0.45, 0.463),
		one("parts[0].lift.friction", "N m", 0, 0.2, 0.1, 0.3),
		one("spread.start_at", "m", 0, 0.0123, 0.009, 0.02), one("motors[0].stall_torque", "N m", 0.8, 0.91, 0.9, 0.92)}}
}

func TestTheNewFileHasTheFittedValuesAndAllElseAsItWas(t *testing.T) {
	want := strings.NewReplacer(
		"'0.03 N m'  # guessed # fitted, 95 % between 0.02 and 0.04 N m, log 00000000",
		"'0.0412 N m'  # guessed; fitted, 95 % between 0.0388 and 0.0437 N m, log 1a2b3c4d\n"+
			"viscous = \"0.00052 N m s\"  # fitted, 95 % between 0.00010 and 0.00090 N m s, log 1a2b3c4d",
		`creep = "60 mm/s"`, `creep = "71.2346 mm/s"  # fitted with others, log 1a2b3c4d`,
		`"1.75 in"`, `"1.785 in"  # fitted, 95 % between 1.767 and 1.802 in, log 1a2b3c4d`,
		`train = "right"`, `train = "right"`+"\n"+
			`radius = "45.90 mm"  # fitted, 95 % between 45.45 and 46.35 mm, log 1a2b3c4d`,
		`load = "0.3 kg" } # { "braces" }`, `load = "0.4567 kg", friction = "0.20 N m" } # { "braces" }; fitted, `+
			`95 % between parts[0].lift.load 0.4500 and 0.4630 kg, parts[0].lift.friction 0.10 and 0.30 N m, log 1a2b3c4d`,
	).Replace(team(false)) + `
[[motors]]
name = "usual"
stall_torque = "0.910 N m"  # fitted, 95 % between 0.900 and 0.920 N m, log 1a2b3c4d
free_speed = "480 rpm"
inertia = "0.4 kg cm^2"

[spread]
start_at = "12.3 mm"  # fitted, 95 % between 9.0 and 20.0 mm, log 1a2b3c4d
`
	for _, crlf := range []bool{false, true} {
		spec, err := robot.Parse("ours.toml", []byte(team(crlf)))
		if err != nil {
			t.Fatal(err)
		}
		file, err := told().Into(spec)
		if err != nil {
			t.Fatal(err)
		}
		if crlf {
			want = strings.ReplaceAll(want, "\n", "\r\n")
		}
		if string(file.Text) != want {
			t.Errorf("got\n%s\nwant\n%s", file.Text, want)
		}
		again, err := robot.Parse("ours.toml", file.Text)
		if err != nil {
			t.Fatal(err)
		}
		if file, err = told().Into(again); err != nil || string(file.Text) != want {
			t.Errorf("once more: %v\n%s", err, file.Text)
		}
	}
}

// Whatever is fitted is what the written file gives: within a twentieth of half the interval, where there is one.
func TestTheNewFileGivesTheSettings(t *testing.T) {
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	read := map[string]func(*robot.Robot) float64{
		"chassis.friction":   func(r *robot.Robot) float64 { return r.Chassis.Friction },
		"chassis.inertia":    func(r *robot.Robot) float64 { return r.Chassis.Inertia },
		"drive.efficiency":   func(r *robot.Robot) float64 { return r.Drive.Efficiency },
		"drive.viscous":      func(r *robot.Robot) float64 { return r.Drive.Viscous },
		"wheels[2].rolling":  func(r *robot.Robot) float64 { return r.Wheels[2].Rolling },
		"wheels[3].across":   func(r *robot.Robot) float64 { return r.Wheels[3].Across },
		"battery.resistance": func(r *robot.Robot) float64 { return r.Battery.Resistance },
		"odometry.track":     func(r *robot.Robot) float64 { return r.Odometry.Track },
		"spread.reaction":    func(r *robot.Robot) float64 { return r.Spread.Reaction },
	}
	unit := map[string]string{"chassis.inertia": "kg m^2", "drive.viscous": "N m s",
		"battery.resistance": "ohm", "odometry.track": "m", "spread.reaction": "s"}
	property.Check(t, func(t *rapid.T) {
		r := &Result{Logs: []Source{{SHA256: strings.Repeat("a", 64)}, {SHA256: strings.Repeat("b", 64)}}}
		var paths []string
		for path := range read {
			paths = append(paths, path)
		}
		slices.Sort(paths)
		for _, path := range paths {
			if !rapid.Bool().Draw(t, path) {
				continue
			}
			value := rapid.Float64Range(0.21, 0.29).Draw(t, "value")
			p := Parameter{Key: path, State: Fitted, After: value, Settings: []Setting{{path, value, unit[path]}}}
			if rapid.Bool().Draw(t, "interval") {
				off := math.Pow(10, rapid.Float64Range(-7, -1).Draw(t, "off"))
				p.Low, p.High = value-off, value+off
			}
			r.Parameters = append(r.Parameters, p)
		}
		file, err := r.Into(spec)
		if err != nil {
			t.Fatal(err)
		}
		got, err := robot.Parse("hauler.toml", file.Text)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Parameters {
			most := math.Max((p.High-p.Low)/40*1.000001, 1e-14)
			if p.Low == p.High {
				most = 5e-6 * p.After
			}
			if off := math.Abs(read[p.Key](got) - p.After); off > most {
				t.Fatalf("%s is %g, written %g: %g off, at most %g", p.Key, p.After, read[p.Key](got), off, most)
			}
		}
		if before := withoutRemarks(file.Text, spec.Text, r.From()); before != "" {
			t.Fatalf("a line that nothing changed is another: %s", before)
		}
	})
}

// withoutRemarks finds a line of the new file that has no remark and is none of the old file's.
func withoutRemarks(text []byte, old, from string) string {
	known := map[string]bool{}
	for _, line := range strings.Split(old, "\n") {
		known[line] = true
	}
	for _, line := range strings.Split(string(text), "\n") {
		if !known[line] && !strings.HasSuffix(line, ", "+from) {
			return line
		}
	}
	return ""
}

// A stall current that the file gives goes along with the torque, whatever rounding does to both.
func TestAMotorMayAlwaysTakeWhatItNeeds(t *testing.T) {
	text := team(false) + "[[motors]]\nname = \"m\"\nstall_torque = \"0.8 N m\"\nfree_speed = \"480 rpm\"\n" +
		"stall_current = \"4 A\"\n"
	spec, err := robot.Parse("ours.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	computed := func(torque float64) float64 {
		out, err := robot.Parse("ours.toml", []byte(strings.Replace(strings.Replace(text, "stall_current = \"4 A\"\n", "", 1),
			"0.8 N m", fmt.Sprintf("%.17g N m", torque), 1)))
		if err != nil {
			t.Fatal(err)
		}
		return out.Motors[0].StallCurrent
	}
	for torque := 0.9; torque < 1; torque += 0.00123 {
		r := &Result{Logs: []Source{{SHA256: "1a2b3c4d"}}, Parameters: []Parameter{{Key: "t", Unit: "N m", State: Fitted,
			After: torque, Low: torque * 0.9, High: torque * 1.1,
			Settings: []Setting{{"motors[0].stall_torque", torque, "N m"}}},
			{Key: "c", Unit: "A", State: Derived, After: computed(torque),
				Settings: []Setting{{"motors[0].stall_current", computed(torque), "A"}}}}}
		file, err := r.Into(spec)
		if err != nil {
			t.Fatal(err)
		}
		got, _ := robot.Parse("ours.toml", file.Text)
		if share := got.Motors[0].StallCurrent / computed(torque); share < 0.999 || share > 1.012 {
			t.Errorf("%g N m: %g of the current", torque, share)
		}
	}
}
