package logfile

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
)

// column is one that a test spoils.
func column(t testing.TB, list []reading, name string) *reading {
	t.Helper()
	i := slices.IndexFunc(list, func(r reading) bool { return r.name == name })
	if i < 0 {
		t.Fatalf("no column %q", name)
	}
	return &list[i]
}

func scaled(name string, factor float64) func(testing.TB, []reading) []reading {
	return func(t testing.TB, list []reading) []reading {
		r := column(t, list, name)
		r.step, r.noise = r.step*math.Abs(factor), r.noise*math.Abs(factor)
		r.signal = slices.Clone(r.signal)
		for i := range r.signal {
			r.signal[i] *= factor
		}
		return list
	}
}

func named(name, other string) func(testing.TB, []reading) []reading {
	return func(t testing.TB, list []reading) []reading {
		column(t, list, name).name = other
		return list
	}
}

func without(names ...string) func(testing.TB, []reading) []reading {
	return func(_ testing.TB, list []reading) []reading {
		return slices.DeleteFunc(list, func(r reading) bool { return slices.Contains(names, r.name) })
	}
}

func exchanged(a, b string) func(testing.TB, []reading) []reading {
	return func(t testing.TB, list []reading) []reading {
		p, q := column(t, list, a), column(t, list, b)
		p.signal, q.signal = q.signal, p.signal
		return list
	}
}

func dead(name string, from int) func(testing.TB, []reading) []reading {
	return func(t testing.TB, list []reading) []reading {
		r := column(t, list, name)
		r.signal = slices.Clone(r.signal)
		for i := from; i < len(r.signal); i++ {
			r.signal[i] = r.signal[from]
		}
		return list
	}
}

// rates adds columns of the left side's speed and of the turning.
func rates(t testing.TB, list []reading) []reading {
	rec, err := simulated()
	if err != nil {
		t.Fatal(err)
	}
	return append(list,
		reading{"left speed mm/s", 1, 5, trace(rec, func(s record.RobotSample) float64 { return s.Wheels[0] * 1000 })},
		reading{"turning deg/s", 0.1, 0.5, trace(rec, func(s record.RobotSample) float64 {
			return s.Velocity[2] * 180 / math.Pi
		})})
}

// wrapped keeps a column within half a period of 0.
func wrapped(name string, period float64) spoiling {
	return func(t testing.TB, list []reading) []reading {
		r := column(t, list, name)
		r.signal = slices.Clone(r.signal)
		for i, x := range r.signal {
			r.signal[i] = x - period*math.Round(x/period)
		}
		return list
	}
}

// straight keeps what is before the first spin.
func straight(_ testing.TB, list []reading) []reading {
	for i := range list {
		list[i].signal = list[i].signal[:430]
	}
	return list
}

// hardlyBent is two arcs whose sides get the same volts, so that these do not tell whose they are.
func hardlyBent(_ testing.TB, list []reading) []reading {
	at := func(name string) *reading {
		return &list[slices.IndexFunc(list, func(r reading) bool { return r.name == name })]
	}
	var volts, way [2][]float64
	sum := [2]float64{}
	var heading []float64
	for i := range 600 {
		u := 0.0
		if i >= 100 && i < 200 {
			u = 6
		} else if i >= 300 && i < 400 {
			u = -6
		}
		for side := range 2 {
			weak := 0.0
			if (side == 0) == (u > 0) {
				weak = 1
			}
			volts[side] = append(volts[side], u)
			way[side] = append(way[side], sum[side])
			sum[side] += u * (1.4 - 0.3*weak) // something drags
		}
		heading = append(heading, (way[1][i]-way[0][i])/300*180/math.Pi)
	}
	at("left V").signal, at("right V").signal = volts[0], volts[1]
	at("left travel mm").signal, at("right travel mm").signal, at("heading deg").signal = way[0], way[1], heading
	kept := only(append(sides, "heading deg")...)
	return kept(nil, list)
}

type spoiling = func(testing.TB, []reading) []reading

// only leaves the named columns.
func only(names ...string) spoiling {
	return func(_ testing.TB, list []reading) []reading {
		return slices.DeleteFunc(list, func(r reading) bool { return !slices.Contains(names, r.name) })
	}
}

var sides = []string{"left V", "right V", "left travel mm", "right travel mm"}

// Each bad log has its message, and only that; a log without a fault has none.
func TestWhatIsSuspiciousIsNamed(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil []spoiling
		want  string
	}{
		{"nothing wrong", nil, ""},
		{"nothing wrong, no heading", []spoiling{without("heading deg")}, ""},
		{"nothing wrong, no volts", []spoiling{without("left V", "right V")}, ""},
		{"nothing wrong, sides alone", []spoiling{only(sides...)}, ""},
		{"volts in percent", []spoiling{scaled("left V", 100/12.6), scaled("right V", 100/12.6)},
			"if it is percent of the battery, call it \"left %\""},
		{"volts as a share", []spoiling{scaled("left V", 1/12.6), scaled("right V", 1/12.6)},
			"if it is a share of the battery"},
		{"metres in a mm column", []spoiling{scaled("left travel mm", 1e-3), scaled("right travel mm", 1e-3)},
			"is travel in m, and its column says mm?"},
		{"metres in a mm column, sides alone",
			[]spoiling{only(sides...), scaled("left travel mm", 1e-3), scaled("right travel mm", 1e-3)},
			"is it in m, and its column says mm?"},
		{"metres in a mm column, x and y",
			[]spoiling{without("heading deg"), scaled("left travel mm", 1e-3), scaled("right travel mm", 1e-3)},
			"as m and mm do"},
		{"inches in a mm column, x and y",
			[]spoiling{without("heading deg"), scaled("left travel mm", 1/25.4), scaled("right travel mm", 1/25.4)},
			"as inches and mm do"},
		{"inches in a mm column", []spoiling{scaled("left travel mm", 1/25.4), scaled("right travel mm", 1/25.4)},
			"is travel in cm or inches, and its column says mm?"},
		{"cm in a mm column", []spoiling{scaled("left travel mm", 0.1), scaled("right travel mm", 0.1)},
			"is travel in cm or inches, and its column says mm?"},
		{"cm in a mm column, straight", []spoiling{straight, only(sides...), scaled("left travel mm", 0.1),
			scaled("right travel mm", 0.1)}, "is it in cm or inches, and its column says mm?"},
		{"nothing changes", []spoiling{only(sides...), dead("left travel mm", 0), dead("right travel mm", 0),
			dead("left V", 0), dead("right V", 0)}, "no reading changes in 15"},
		{"degrees in a rad column", []spoiling{named("heading deg", "heading rad")},
			"is the heading in degrees, and its column says rad?"},
		{"heading in radians", []spoiling{scaled("heading deg", math.Pi/180)}, "is the heading in radians"},
		{"a dead encoder", []spoiling{dead("left travel mm", 0)},
			"left travel stands still although its motors get up to 6 V: a dead encoder?"},
		{"heading in radians that wrap", []spoiling{scaled("heading deg", 10*math.Pi/180), wrapped("heading deg", 2*math.Pi)},
			"the heading goes from -3.0"},
		{"both encoders dead", []spoiling{only(sides...), dead("left travel mm", 0), dead("right travel mm", 0)},
			"right travel stands still although"},
		{"nothing wrong, rates too", []spoiling{rates}, ""},
		{"turning clockwise", []spoiling{rates, scaled("turning deg/s", -1)}, "heading and turning have opposite signs"},
		{"turning in rad/s", []spoiling{rates, scaled("turning deg/s", math.Pi/180)}, "heading changes 57."},
		{"speed in m/s in a mm/s column", []spoiling{rates, scaled("left speed mm/s", 1e-3)},
			"times as fast as left speed says, as m and mm do"},
		{"speed reversed", []spoiling{rates, scaled("left speed mm/s", -1)},
			"left travel and left speed have opposite signs"},
		{"a dead encoder, sides alone", []spoiling{only(sides...), dead("right travel mm", 0)},
			"right travel stands still although"},
		{"an encoder that fails", []spoiling{dead("left travel mm", 350)}, "left travel stands still from 8.7 s to"},
		{"travel swapped", []spoiling{exchanged("left travel mm", "right travel mm")},
			"left and right travel are swapped: volts and heading both say so"},
		{"volts swapped", []spoiling{exchanged("left V", "right V")},
			"left and right volts are swapped: travel and heading agree"},
		{"sides swapped, no heading", []spoiling{without("heading deg"), exchanged("left V", "right V")},
			"left and right are swapped, either of volts or of travel"},
		{"left travel reversed", []spoiling{scaled("left travel mm", -1)},
			"left travel has a reversed sign: it goes against its volts and against the heading"},
		{"left volts reversed", []spoiling{scaled("left V", -1)}, "left volts has a reversed sign: travel and heading agree"},
		{"right volts or travel reversed", []spoiling{only(sides...), scaled("right V", -1)},
			"right travel or right volts has a reversed sign"},
		{"right travel reversed, no volts", []spoiling{without("left V", "right V"), scaled("right travel mm", -1)},
			"right travel has a reversed sign: the heading"},
		{"right volts reversed, straight", []spoiling{straight, scaled("right V", -1)},
			"right volts has a reversed sign: travel and heading agree"},
		{"left volts reversed, straight", []spoiling{straight, scaled("left V", -1)},
			"left volts has a reversed sign: travel and heading agree"},
		{"left travel reversed, straight", []spoiling{straight, scaled("left travel mm", -1)},
			"left travel has a reversed sign: it goes against its volts and against the heading"},
		{"right volts reversed, straight, no heading", []spoiling{straight, without("heading deg"), scaled("right V", -1)},
			"right travel or right volts has a reversed sign"},
		{"right side mirrored, straight", []spoiling{straight, scaled("right travel mm", -1), scaled("right V", -1)},
			"travel and volts of one side both have a reversed sign, of the right one most often"},
		{"nothing wrong, straight", []spoiling{straight}, ""},
		{"nothing wrong, straight, wheels unlike",
			[]spoiling{straight, scaled("left travel mm", 0.9), scaled("right V", 0.9)}, ""},
		{"both travels reversed", []spoiling{scaled("left travel mm", -1), scaled("right travel mm", -1)},
			"left and right travel have a reversed sign"},
		{"both volts reversed", []spoiling{scaled("left V", -1), scaled("right V", -1)},
			"left and right volts have a reversed sign"},
		{"heading clockwise", []spoiling{scaled("heading deg", -1)},
			"the heading rises clockwise: the sides turn the robot the other way"},
		{"heading clockwise, no place", []spoiling{without("x mm", "y mm"), scaled("heading deg", -1)},
			"the heading rises clockwise, or left and right travel and volts are swapped"},
		{"volts and travel swapped",
			[]spoiling{exchanged("left V", "right V"), exchanged("left travel mm", "right travel mm")},
			"left and right travel and volts are swapped: heading, x and y say so"},
		{"volts and travel swapped, no place", []spoiling{without("x mm", "y mm"), exchanged("left V", "right V"),
			exchanged("left travel mm", "right travel mm")},
			"the heading rises clockwise, or left and right travel and volts are swapped"},
		{"travel swapped, arcs that hardly bend", []spoiling{hardlyBent, exchanged("left travel mm", "right travel mm")},
			"the heading rises clockwise, or left and right travel are swapped"},
		{"heading clockwise, no volts", []spoiling{without("left V", "right V"), scaled("heading deg", -1)},
			"the heading rises clockwise"},
		{"heading clockwise, x and y only", []spoiling{without(sides...), scaled("heading deg", -1)},
			"along x and y the robot turns the other way"},
	} {
		t.Run(c.name, func(t *testing.T) {
			list := readings(t, 1)
			for _, spoil := range c.spoil {
				list = spoil(t, list)
			}
			l := read(t, written(list, ",", "."), Settings{})
			got, worthless := l.suspicious(l.onGrid())
			all := strings.Join(got, "\n")
			if strings.Contains(c.want, "reversed sign") && len(worthless) == 0 {
				t.Errorf("%s: not worthless for a fit", all)
			}
			if c.want == "" && all != "" || !strings.Contains(all, c.want) || len(got) > 2 {
				t.Errorf("got\n%s\nwant %q", all, c.want)
			}
		})
	}
}

// A side that friction holds while the other creeps is no dead encoder that makes the log worthless; where the robot
// turns on, it is.
func TestASideThatIsStuckIsDoubtedAlone(t *testing.T) {
	for _, way := range []float64{4, 400} { // mm, of the other side
		var text strings.Builder
		text.WriteString("time s, left V, right V, left travel mm, right travel mm\n")
		for i := range 200 {
			at, volts := float64(i)*0.02, 0.0
			if i >= 50 && i < 150 {
				volts = 3.5
			}
			fmt.Fprintf(&text, "%.2f, %.1f, %.1f, %.1f, 0\n", at, -volts, volts, -way*max(0, min(at-1, 2))/2)
		}
		l, err := Read("spin.csv", strings.NewReader(text.String()), Settings{})
		if err != nil {
			t.Fatal(err)
		}
		said := Describe(l)
		if all := strings.Join(said.Suspicious, "\n"); !strings.Contains(all, "right travel stands still although") ||
			(len(said.Worthless) > 0) != (way > 20) {
			t.Errorf("%g mm: %q, worthless %q", way, said.Suspicious, said.Worthless)
		}
	}
}

// A base that hardly turns on the spot creeps, and x and y have nothing but their noise: neither is taken for a slip of
// units that would make the log worthless.
func TestASpinThatHardlyTurnsIsDoubtedAlone(t *testing.T) {
	var text strings.Builder
	text.WriteString("time s, left V, right V, left travel mm, right travel mm, x mm, y mm\n")
	for i := range 250 {
		at, volts := float64(i)*0.02, 0.0
		if i >= 50 && i < 200 {
			volts = 3.5
		}
		moved := max(0, min(at-1, 3))
		noise := []float64{0, 2, -1, 1, -2}
		fmt.Fprintf(&text, "%.2f, %.1f, %.1f, %.2f, %.2f, %.1f, %.1f\n", at, volts, -volts, 5*moved, -1.5*moved,
			noise[i%5], noise[(i+2)%5])
	}
	l, err := Read("spin.csv", strings.NewReader(text.String()), Settings{})
	if err != nil {
		t.Fatal(err)
	}
	said := Describe(l)
	if len(said.Worthless) > 0 || !strings.Contains(strings.Join(said.Suspicious, "\n"), "goes up to 5 mm/s only") {
		t.Errorf("worthless for %q, suspicious %q", said.Worthless, said.Suspicious)
	}
}
