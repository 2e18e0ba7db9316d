package lesson

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/app/check"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// lane is a course along a lane: through a gate and to a rest on a mark.
var lane = []string{
	`lesson.toml: title = "Lane"
learn = "To drive ahead"
minutes = 2
kind = "course"
nominal = true
[[steps]]
picture = "end"
[[hints]]
after = 1
wrong = "wrong_1.csv"
fails = "on the mark"
missing = "end"
[course]
gates = [{ from = ["1.2 m", "400 mm"], to = ["1.2 m", "800 mm"], way = "either" }]
finish = { end = { at = ["1.7 m", "600 mm"], within = "150 mm" } }
medals = { clay = "9 s", chalk = "5 s", quartz = "4 s" }
`,
	"text.md: # Lane\n\nAhead.\n\n## Drive\n\nDrive.\n\n## Where this comes from\n\nCommon practice, no source.\n",
	"hints.md: ## Far\n\nLet go earlier.\n",
	`pass.check.toml: routine = "start.lua"
robot = "hauler"
field = "field.toml"
[[cases]]
name = "on the mark"
end = { at = ["1.7 m", "600 mm"], within = "150 mm" }
[[cases]]
name = "no wall"
never_touches = ["wall"]
`,
	`field.toml: title = "Lane"
tile = "600 mm"
size = ["3 m", "1.2 m"]
[[sides]]
name = "chalk"
colour = "#e8e4d8"
mark = "square"
[[phases]]
name = "driver"
length = "8 s"
control = "driver"
[[sessions]]
name = "driver"
phases = ["driver"]
`,
	`start.lua: return routine { title = "lane", start = {x = 500, y = 600, heading = 0}, auto = function() end,
  driver = function(bot, pad)
    while true do bot.drive:arcade(pad.left_y, pad.right_x) wait() end
  end }`,
	"solution.csv: " + head + "1,0,0.5,0,0,\n2.7,0,0,0,0,\n",
	"wrong_1.csv: " + head + "0,0,1,0,0,\n2,0,0,0,0,\n",
}

const head = "time,left_x,left_y,right_x,right_y,buttons\n"

func course(t *testing.T, changes ...string) *Lesson {
	t.Helper()
	return read(t, append(append([]string{}, lane...), changes...)...)
}

func show(t *testing.T, l *Lesson, file string) (*record.Record, Driven) {
	t.Helper()
	a, err := l.answer(file)
	if err != nil {
		t.Fatal(err)
	}
	r, d, err := l.Show(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	return r, *d
}

func TestACourseIsProvedAsOtherLessonsAre(t *testing.T) {
	for _, c := range []struct{ change, want string }{
		{"text.md: Ahead -> Straight ahead", ""},
		{"lesson.toml: quartz = \"4 s\" -> quartz = \"1 s\"", "it earns quartz: in 1.00 s or less"},
		{"lesson.toml: [\"1.2 m\", \"400 mm\"] -> [\"1.2 m\", \"700 mm\"]", "the finish: all gates in their order"},
		{"solution.csv: 2.7 -> 3.2", "on the mark: ends within 150 mm of (1700, 600)"},
	} {
		l := course(t, c.change)
		var found []string
		for _, p := range l.Proofs() {
			j, err := l.Prove(context.Background(), Judging{}, p)
			if err != nil || j.State == check.Wrong {
				t.Fatal(err, j.Error)
			}
			for _, s := range j.Shortfalls {
				found = append(found, s.Expected)
			}
		}
		got := strings.Join(found, "\n")
		if !strings.Contains(got, c.want) || c.want == "" && got != "" {
			t.Errorf("%s\n got %s\nwant %s", c.change, got, c.want)
		}
	}
}

// What looks for the finish changes nothing of the drive: until then it is the drive that nobody watches. The clock
// begins when the stick first moves, a second after the start.
func TestADriveEndsAtItsFinish(t *testing.T) {
	l := course(t)
	r, d := show(t, l, "solution.csv")
	a, err := l.answer("solution.csv")
	if err != nil {
		t.Fatal(err)
	}
	whole, err := rehearse.Run(context.Background(), l.Setup(a))
	if err != nil {
		t.Fatal(err)
	}
	n := len(r.Samples)
	if n >= len(whole.Samples) {
		t.Fatal("the drive went on to the end of the session")
	}
	cut, watched := *whole, *r // but the last sample, in which the routine has ended
	cut.Samples, cut.Events, cut.Sheet = whole.Samples[:n-1], r.Events, r.Sheet
	watched.Samples = r.Samples[:n-1]
	if written(t, &cut) != written(t, &watched) {
		t.Error("the watched drive is another")
	}
	last := r.Samples[n-1]
	if !d.Finished || d.Crossed != 1 || math.Abs(d.Clock-(last.T-1)) > 0.041 || d.Seconds != d.Clock || d.Touches != 0 {
		t.Errorf("%+v, the last sample at %.2f s", d, last.T)
	}
	if want := last.Robots[0].True[0] - 0.5; math.Abs(d.Metres-want) > 0.01 {
		t.Errorf("%.3f m driven, want %.3f", d.Metres, want)
	}
	if _, d := show(t, l, "wrong_1.csv"); d.Finished || d.Medal != "" || d.Touches == 0 ||
		d.Seconds != d.Clock+2*float64(d.Touches) {
		t.Errorf("into the wall: %+v", d)
	}
}

func written(t *testing.T, r *record.Record) string {
	t.Helper()
	var out bytes.Buffer
	if err := r.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestGatesAreCrossedTheWayTheySay(t *testing.T) {
	up := func(way Way) *Gate { return &Gate{From: geom.Vec{X: 1}, To: geom.Vec{X: 1, Y: 1}, Way: way} } // left is less x
	for _, c := range []struct {
		gate     *Gate
		from, to geom.Vec
		want     bool
	}{
		{up(Either), geom.Vec{X: 0.5, Y: 0.5}, geom.Vec{X: 1.5, Y: 0.5}, true},
		{up(Either), geom.Vec{X: 1.5, Y: 0.5}, geom.Vec{X: 0.5, Y: 0.5}, true},
		{up(Left), geom.Vec{X: 1.5, Y: 0.5}, geom.Vec{X: 0.5, Y: 0.5}, true},
		{up(Left), geom.Vec{X: 0.5, Y: 0.5}, geom.Vec{X: 1.5, Y: 0.5}, false},
		{up(Either), geom.Vec{X: 0.5, Y: 1.5}, geom.Vec{X: 1.5, Y: 1.5}, false}, // beside it
		{up(Either), geom.Vec{X: 0.5, Y: 0.5}, geom.Vec{X: 0.9, Y: 0.5}, false}, // not there yet
		{up(Either), geom.Vec{X: 1, Y: 0.2}, geom.Vec{X: 1, Y: 0.8}, false},     // along it
		{up(Either), geom.Vec{X: 1, Y: 0.5}, geom.Vec{X: 1.1, Y: 0.5}, true},    // from on it
	} {
		if got := c.gate.crosses(c.from, c.to); got != c.want {
			t.Errorf("%s from %v to %v: %v", c.gate.Way, c.from, c.to, got)
		}
	}
}

// The formula by hand: a push to 6 V and back on both trains within two seconds is half a swing up and half down, a
// train; half a swing a second: 100 / 1.5.
func TestSmoothness(t *testing.T) {
	drive := func(volts ...float64) *record.Record {
		r := &record.Record{}
		for i, v := range volts {
			r.Samples = append(r.Samples, record.Sample{T: float64(i), Robots: []record.RobotSample{{Volts: [2]float64{v, v}}}})
		}
		return r
	}
	for _, c := range []struct {
		volts []float64
		want  float64
	}{{[]float64{0, 6, 0}, 100 / 1.5}, {[]float64{0, 0, 0}, 100}, {[]float64{0, 12, -12, 12}, 100 / (1 + 5.0/3)}} {
		if got := smoothness(drive(c.volts...), 0, float64(len(c.volts)-1)); math.Abs(got-c.want) > 1e-5 {
			t.Errorf("%v: %.4f, want %.4f", c.volts, got, c.want)
		}
	}
}

func TestTouchesAreCountedOnceWhereARobotRattles(t *testing.T) {
	r := &record.Record{}
	for _, e := range []record.Event{
		{T: 1, Kind: record.Contact, What: "wall"}, {T: 1.3, Kind: record.Contact, What: "wall"},
		{T: 1.7, Kind: record.Contact, What: "wall"}, {T: 2.3, Kind: record.Contact, What: "wall"},
		{T: 2.4, Kind: record.Contact, What: "post"}, {T: 3, Kind: record.Contact, What: "sled"},
		{T: 3.1, Kind: record.Clamped, What: "sled"}, {T: 4, Kind: record.Contact, What: "wall", Robot: 1},
	} {
		r.Events = append(r.Events, e)
	}
	if got := touches(r); got != 3 { // the wall twice, the post; the sled is what was fetched
		t.Errorf("%d touches, want 3", got)
	}
}

func TestWrongCoursesAreRefused(t *testing.T) {
	for _, c := range []struct{ change, want string }{
		{"lesson.toml: chalk = \"5 s\" -> chalk = \"10 s\"", "course.medals: clay takes longer than chalk"},
		{"lesson.toml: to = [\"1.2 m\", \"800 mm\"] -> to = [\"1.2 m\", \"400 mm\"]",
			"course.gates[0]: both ends are one place"},
		{"lesson.toml: either -> onwards", `course.gates[0].way: "onwards"`},
		{"pass.check.toml: [[cases]]\nname = \"no wall\" -> [[cases]]\nname = \"no wall\"\ntrials = 20\nshare = 0.5",
			"cases[1].trials: a drive is one: leave trials and share out"},
		{"solution.csv: left_x -> links_x", "solution.csv:1: this is no pad file"},
	} {
		files := example(t, append(append([]string{}, lane...), c.change)...)
		l, err := Read(files, "class/lane")
		if err == nil {
			_, err = l.answer("solution.csv")
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\n got %v\nwant %s", c.change, err, c.want)
		}
	}
}
