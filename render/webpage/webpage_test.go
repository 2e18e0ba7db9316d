package webpage

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
)

// hostile is a name that a page must not take for markup.
const hostile = `<script>alert("x")</script>&'"`

var plan = results.Result{
	Total: []float64{10, 0}, Count: []float64{2}, Points: []float64{10}, Done: 12, Last: 9,
	Path: []int{600, 450, 900, 0, 0, 500},
	Did: []results.Moment{{T: 3, Kind: record.Pickup, What: "core 1", Line: 5}, {T: 9, Kind: record.Scored, What: hostile,
		Line: 9}},
}

// made is a study of some kind, some rehearsals of which are not good.
func made(kind results.Kind, count int) *results.File {
	v := results.Variant{Name: hostile, Replay: hostile, Drawn: []string{"grip"}, Plan: plan,
		Robots: []record.Robot{{File: record.File{Name: "robot.toml", Title: hostile, SHA256: "abcdef"}}}}
	h := results.Header{
		Format: results.Format, Version: results.Version, Kind: kind, Count: count, Seed: 1, Need: 10, Seconds: 20,
		Session: "autonomous",
		Field:   record.File{Name: "core_haul.toml"}, Sides: []string{"ochre", "teal"}, Rules: []string{hostile},
		Variants: []results.Variant{v}, Shard: results.Whole,
	}
	switch kind {
	case results.Compare:
		h.Variants = append(h.Variants, v)
	case results.Sweep:
		h.Axes = []results.Axis{{Name: "param:" + hostile, Values: []float64{1, 2}, Labels: []string{"1", hostile}},
			{Name: "robot:chassis.mass", Unit: "kg", Values: []float64{5, 6, 7}, Labels: []string{"5 kg", "6 kg", "7 kg"}}}
	}
	f := &results.File{Header: h, Results: make([]*results.Result, h.Jobs())}
	for job := range f.Results {
		r := plan
		r.Seed, r.Drawn = h.SeedOf(job), []float64{float64(job%7) - 3}
		if job%7 == 0 || kind == results.Sweep && h.Point(job) == 0 {
			r.Did = []results.Moment{r.Did[0], {T: 8, Kind: record.Missed, What: "clamp", Line: 8, At: &[2]float64{1.5, 1}}}
			r.Total, r.Points, r.Count = []float64{4, 0}, []float64{4}, []float64{1}
		}
		if kind == results.Sweep {
			slim(&h, job, &r)
		}
		f.Results[job] = &r
	}
	return f
}

// slim leaves what a sweep keeps.
func slim(h *results.Header, job int, r *results.Result) {
	if !h.Good(&h.Variants[0], r) {
		left := results.Blame(plan, *r, h.Rules, h.Seconds)
		r.Left = &left
	}
	r.Path = nil
	if point := h.Point(job); job < h.Points() {
		r.Path = []int{600, 450, 900, 100 * point}
	}
	r.Did, r.Drawn = nil, nil
}

func haul(t *testing.T) *fields.Field {
	t.Helper()
	f, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// writeStudy writes what a study tells.
func writeStudy(w io.Writer, f *results.File, field *fields.Field) error {
	told, err := report.Study(units.Metric, f)
	if err != nil {
		return err
	}
	return WriteStudy(w, told, f, field)
}

func reports(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, kind := range []results.Kind{results.Trials, results.Compare, results.Sweep} {
		var page bytes.Buffer
		if err := writeStudy(&page, made(kind, 70), haul(t)); err != nil {
			t.Fatal(err)
		}
		out[string(kind)] = page.Bytes()
	}
	var page bytes.Buffer
	if err := WriteRun(&page, units.Metric, run(), nil, haul(t), nil); err != nil {
		t.Fatal(err)
	}
	out["run"], out["fit"] = page.Bytes(), fitPage(t)
	return out
}

// A robot has its preload on board; that of a side without a robot lies on the floor.
func TestStudiesDrawNoPieceThatARobotHasOnBoard(t *testing.T) {
	without := func(sides ...int) *fields.Field {
		f := *haul(t)
		f.Pieces = slices.DeleteFunc(slices.Clone(f.Pieces),
			func(p fields.Piece) bool { return slices.Contains(sides, p.Robot) })
		return &f
	}
	for _, kind := range []results.Kind{results.Trials, results.Compare, results.Sweep} {
		drawn := func(field *fields.Field) string {
			var page bytes.Buffer
			if err := writeStudy(&page, made(kind, 14), field); err != nil {
				t.Fatal(err)
			}
			return page.String()
		}
		got := drawn(haul(t))
		if got != drawn(without(0)) {
			t.Errorf("%s: ochre's preload lies on the floor", kind)
		}
		if got == drawn(without(0, 1)) {
			t.Errorf("%s: teal has no robot, and its piece is not on the floor", kind)
		}
	}
}

// run is a record of one robot that drives across the field.
func run() *record.Record {
	r := &record.Record{
		Header: record.Header{
			Format: record.Format, Version: record.Version, Session: "autonomous", Seed: 3,
			Phases: []record.Phase{{Name: "autonomous", Seconds: 2}},
			Robots: []record.Robot{{File: record.File{Name: "r", Title: hostile},
				Routine: record.File{Name: "mine.lua", Title: hostile}, Outline: [][2]float64{{-.2, -.2}, {.2, -.2}, {.2, .2},
					{-.2, .2}}}},
		},
		Sheet: record.Sheet{Sides: []string{"ochre", "teal"}, Total: []float64{2, 0}, Winner: 0,
			Rows: []record.Row{{Rule: hostile, Count: []float64{1, 0}, Points: []float64{2, 0}}}},
		Events: []record.Event{{T: 1, Kind: record.Note, Text: hostile, File: "mine.lua", Line: 3, At: &[2]float64{1, 1}}},
	}
	for i := range 101 {
		r.Samples = append(r.Samples, record.Sample{T: record.Round(float64(i) * 0.02),
			Robots: []record.RobotSample{{True: record.Pose{0.6 + float64(i)*0.01, 1, 0}, Doing: record.Moving}}})
	}
	return r
}

// One file, no network, nothing that runs: every reference must lead into the page itself. Pages are XML too, whose
// parser repairs nothing: what it reads was whole.
func TestReportsAreSelfContainedAndRunNothing(t *testing.T) {
	for name, data := range reports(t) {
		elements := 0
		for in := xml.NewDecoder(bytes.NewReader(data)); ; {
			token, err := in.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			e, is := token.(xml.StartElement)
			if !is {
				continue
			}
			elements++
			switch e.Name.Local {
			case "script", "link", "iframe", "object", "embed", "img", "audio", "video", "base", "form":
				t.Errorf("%s: has a <%s>", name, e.Name.Local)
			}
			for _, a := range e.Attr {
				switch key := a.Name.Local; {
				case strings.HasPrefix(key, "on"), key == "src", key == "srcset":
					t.Errorf("%s: <%s %s=%q>", name, e.Name.Local, key, a.Value)
				case key == "href" && !strings.HasPrefix(a.Value, "#"):
					t.Errorf("%s: leads out of the page: %q", name, a.Value)
				}
			}
		}
		if elements < 100 {
			t.Errorf("%s: only %d elements", name, elements)
		}
		for _, out := range []string{"url(", "@import", "http:", "https:", "ZgotmplZ", "NaN", "Inf"} {
			if bytes.Contains(data, []byte(out)) {
				t.Errorf("%s: has %q", name, out)
			}
		}
	}
}

func TestReportsTellWhatTheyMust(t *testing.T) {
	pages := reports(t)
	common := []string{"at low speed", "disable switch", "eye protection", "air released", "SHA-256", `name="viewport"`,
		"@media print"}
	for name, want := range map[string][]string{
		"trials": {"86 %", "Where the 10 that were not good first left the plan", "clamp misses (line 8)",
			"Steps of the plan", "see it: <code>", "chalkfield open", `id="ways"`, `class="way bad"`},
		"compare": {"sign flips", "Difference in score, pair by pair", `id="ways-a"`, `id="ways-b"`,
			"Where a first left its plan",
			"Where b first left its plan", "clamp misses (line 8)", "Timeline: steps of the plans", "<em>a</em>", "<em>b</em>"},
		"sweep": {"Greatest mean score", "Map of the mean score", "robot:chassis.mass", "picked for it", `id="ways"`,
			`class="way point1"`, `class="way point6"`,
			"A: param:", ", the best", "Where they first left the plan", "clamp misses (line 8)", "6 of 6",
			"Timeline: the last piece scored", `class="column bad"`},
		"run": {"2 points", "Where the time went", "Timeline", "mine.lua:3", "Numbers as on the picture", "Score sheet",
			`class="ramp"`, "0 to 0.2 m/s"},
		"fit": {"the predicted speed is off by less than 2.3 %", "by 8.1 %", "3 % weaker", "1.010 and 1.030",
			"held: you weighed it", "drive hard_start", "not noise in step_brake.csv", "41 / 6.0 / 7.2",
			"chalkfield run mine.lua --robot fitted.toml"},
	} {
		for _, w := range append(want, common...) {
			if !bytes.Contains(pages[name], []byte(w)) {
				t.Errorf("%s: %q is lacking", name, w)
			}
		}
	}
}

// Whatever a report says, it says of one and of many.
func TestReportsCountOneAsOne(t *testing.T) {
	for _, kind := range []results.Kind{results.Trials, results.Sweep} {
		f := made(kind, 1)
		var page bytes.Buffer
		if err := writeStudy(&page, f, haul(t)); err != nil {
			t.Fatal(err)
		}
		if wrong := regexp.MustCompile(`[ >"]1 (paths|rehearsals|points|pairs)\b`).Find(page.Bytes()); wrong != nil {
			t.Errorf("%s: %q", kind, wrong)
		}
	}
}

// A share of good rehearsals must not stand over a routine that fails.
func TestReportOfARoutineThatFailsSaysSoFirst(t *testing.T) {
	f := made(results.Trials, 20)
	broken := []results.Error{{T: 1, File: "mine.lua", Line: 3, Text: "mine.lua:3: x is nil"}}
	f.Header.Variants[0].Plan.Errors = broken
	for _, r := range f.Results {
		r.Errors = broken
		r.Did = append(r.Did, results.Moment{T: 8.5, Kind: record.Failure, Why: broken[0].Text, Line: 3})
	}
	var page bytes.Buffer
	if err := writeStudy(&page, f, haul(t)); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`<p class="big bad">The routine fails with an error</p>`, "mine.lua:3: x is nil",
		"0 of 20"} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("%q is lacking", want)
		}
	}
	if strings.Contains(page.String(), `class="way good" stroke-opacity`) ||
		!strings.Contains(page.String(), `class="way bad" stroke-opacity`) {
		t.Error("a rehearsal that failed with an error is drawn as a good one")
	}
}

// The same path drawn six times is one line under six letters.
func TestASweepDrawsTheSamePathOnce(t *testing.T) {
	f := made(results.Sweep, 2)
	for _, r := range f.Results[:f.Header.Points()] {
		r.Path = []int{600, 450, 900, 0}
	}
	s, err := analysis.OfSweep(f)
	if err != nil {
		t.Fatal(err)
	}
	if shown := analysis.ShownPoints(f, s); len(shown) != 1 || shown[0].Point != s.Best {
		t.Errorf("shown: %+v, best %d", shown, s.Best)
	}
}

func TestASweepShowsTheBestAndTheWorstPath(t *testing.T) {
	f := made(results.Sweep, 30) // point 0 is the worst
	s, err := analysis.OfSweep(f)
	if err != nil {
		t.Fatal(err)
	}
	f.Header.Axes[1].Values = f.Header.Axes[1].Values[:3]
	shown := analysis.ShownPoints(f, s)
	if len(shown) != 6 || shown[0].Point != s.Best || shown[5].Point != 0 {
		t.Errorf("shown: %+v, best %d", shown, s.Best)
	}
	f.Results[0].Path = nil
	if shown = analysis.ShownPoints(f, s); len(shown) != 5 ||
		slices.ContainsFunc(shown, func(p analysis.Shown) bool { return p.Point == 0 }) {
		t.Errorf("a point without a path is shown: %+v", shown)
	}
}

// The page's picture is the one that --map writes, in a size for a desk and one for a phone.
func TestASweepsPictureIsTheOneOfMap(t *testing.T) {
	f := made(results.Sweep, 30)
	s, err := analysis.OfSweep(f)
	if err != nil {
		t.Fatal(err)
	}
	var page bytes.Buffer
	if err := writeStudy(&page, f, haul(t)); err != nil {
		t.Fatal(err)
	}
	for _, width := range []float64{widePicture, narrowPicture} {
		var drawn picture.SVG
		picture.Sweep(s, width).Draw(&drawn)
		if drawn.Len() == 0 || !strings.Contains(page.String(), drawn.String()) {
			t.Errorf("the picture %g wide is not on the page", width)
		}
	}
}

func TestAReportOfAGreatGridStaysSmall(t *testing.T) {
	f := made(results.Sweep, 1)
	axis := results.Axis{Name: "param:gain"}
	for i := range 100 {
		axis.Values, axis.Labels = append(axis.Values, float64(i)), append(axis.Labels, fmt.Sprint(i))
	}
	f.Header.Axes = []results.Axis{axis, axis}
	f.Results = make([]*results.Result, f.Header.Jobs())
	for job := range f.Results {
		r := plan
		r.Total = []float64{float64(job % 20), 0}
		slim(&f.Header, job, &r)
		f.Results[job] = &r
	}
	var page bytes.Buffer
	if err := writeStudy(&page, f, haul(t)); err != nil {
		t.Fatal(err)
	}
	if page.Len() > 2<<20 || !strings.Contains(page.String(), "Of the 10000 points only those on the field") {
		t.Errorf("%d bytes", page.Len())
	}
}

func TestReportsOfTheSameStudyAreTheSameBytes(t *testing.T) {
	first, second := reports(t), reports(t)
	for name := range first {
		if !bytes.Equal(first[name], second[name]) {
			t.Errorf("%s differs from one time to the next", name)
		}
	}
}

func TestAReportOfManyRehearsalsStaysSmall(t *testing.T) {
	var page bytes.Buffer
	if err := writeStudy(&page, made(results.Trials, 5000), haul(t)); err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(page.Bytes(), []byte(`class="way `)); n != mostWays+1+3 || page.Len() > 1<<20 {
		t.Errorf("%d paths, %d bytes", n, page.Len())
	}
	if !bytes.Contains(page.Bytes(), []byte(fmt.Sprintf("%d of the 5000 paths", mostWays))) {
		t.Error("the page must say that it does not show every path")
	}
}

func TestAReportOfAnUnfinishedStudySaysSo(t *testing.T) {
	for _, kind := range []results.Kind{results.Trials, results.Compare, results.Sweep} {
		f := made(kind, 20)
		for job := len(f.Results) / 2; job < len(f.Results); job++ {
			f.Results[job] = nil
		}
		var page bytes.Buffer
		if err := writeStudy(&page, f, nil); err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(page.Bytes(), []byte(`<p class="warn">Not`)) {
			t.Errorf("%s: does not say that it is unfinished", kind)
		}
	}
}
