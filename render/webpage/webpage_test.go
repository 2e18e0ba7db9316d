package webpage

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/record"
	"chalkfield/internal/study/part"
	"chalkfield/internal/study/trial"

	"golang.org/x/net/html"
)

// hostile is a name that a page must not take for markup.
const hostile = `<script>alert("x")</script>&'"`

var plan = trial.Result{
	Total: []float64{10, 0}, Count: []float64{2}, Points: []float64{10}, Done: 12, Last: 9, Path: []int{600, 450, 900, 0, 0, 500},
	Did: []trial.Moment{{T: 3, Kind: record.Pickup, What: "core 1", Line: 5}, {T: 9, Kind: record.Scored, What: hostile, Line: 9}},
}

// made is a study of some kind, some rehearsals of which are not good.
func made(kind part.Kind, count int) *part.File {
	v := part.Variant{Name: hostile, Replay: hostile, Drawn: []string{"grip"}, Plan: plan, Robots: []record.Robot{{File: record.File{Name: "robot.toml", Title: hostile, SHA256: "abcdef"}}}}
	h := part.Header{
		Format: part.Format, Version: part.Version, Kind: kind, Count: count, Seed: 1, Need: 10, Seconds: 20, Session: "autonomous",
		Field: record.File{Name: "core_haul.toml"}, Sides: []string{"ochre", "teal"}, Rules: []string{hostile}, Variants: []part.Variant{v}, Shard: part.Whole,
	}
	switch kind {
	case part.Compare:
		h.Variants = append(h.Variants, v)
	case part.Sweep:
		h.Axes = []part.Axis{{Name: "param:" + hostile, Values: []float64{1, 2}, Labels: []string{"1", hostile}}, {Name: "robot:chassis.mass", Unit: "kg", Values: []float64{5, 6, 7}, Labels: []string{"5 kg", "6 kg", "7 kg"}}}
	}
	f := &part.File{Header: h, Results: make([]*trial.Result, h.Jobs())}
	for job := range f.Results {
		r := plan
		r.Seed, r.Drawn = h.SeedOf(job), []float64{float64(job%7) - 3}
		if job%7 == 0 || kind == part.Sweep && h.Point(job) == 0 {
			r.Did = []trial.Moment{r.Did[0], {T: 8, Kind: record.Missed, What: "clamp", Line: 8, At: &[2]float64{1.5, 1}}}
			r.Total, r.Points, r.Count = []float64{4, 0}, []float64{4}, []float64{1}
		}
		f.Results[job] = &r
	}
	return f
}

func haul(t *testing.T) *fields.Field {
	t.Helper()
	f, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func reports(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, kind := range []part.Kind{part.Trials, part.Compare, part.Sweep} {
		var page bytes.Buffer
		if err := WriteStudy(&page, made(kind, 70), haul(t)); err != nil {
			t.Fatal(err)
		}
		out[string(kind)] = page.Bytes()
	}
	var page bytes.Buffer
	if err := WriteRun(&page, run(), haul(t), nil); err != nil {
		t.Fatal(err)
	}
	out["run"] = page.Bytes()
	return out
}

// run is a record of one robot that drives across the field.
func run() *record.Record {
	r := &record.Record{
		Header: record.Header{
			Format: record.Format, Version: record.Version, Session: "autonomous", Seed: 3, Phases: []record.Phase{{Name: "autonomous", Seconds: 2}},
			Robots: []record.Robot{{File: record.File{Name: "r", Title: hostile}, Routine: record.File{Name: "mine.lua", Title: hostile}, Outline: [][2]float64{{-.2, -.2}, {.2, -.2}, {.2, .2}, {-.2, .2}}}},
		},
		Sheet:  record.Sheet{Sides: []string{"ochre", "teal"}, Total: []float64{2, 0}, Winner: 0, Rows: []record.Row{{Rule: hostile, Count: []float64{1, 0}, Points: []float64{2, 0}}}},
		Events: []record.Event{{T: 1, Kind: record.Note, Text: hostile, File: "mine.lua", Line: 3, At: &[2]float64{1, 1}}},
	}
	for i := range 101 {
		r.Samples = append(r.Samples, record.Sample{T: record.Round(float64(i) * 0.02), Robots: []record.RobotSample{{True: record.Pose{0.6 + float64(i)*0.01, 1, 0}, Doing: record.Moving}}})
	}
	return r
}

// One file, no network, nothing that runs: every reference must lead into the page itself.
func TestReportsAreSelfContainedAndRunNothing(t *testing.T) {
	for name, data := range reports(t) {
		tree, err := html.Parse(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for n := range tree.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			switch n.Data {
			case "script", "link", "iframe", "object", "embed", "img", "audio", "video", "base", "form":
				t.Errorf("%s: has a <%s>", name, n.Data)
			}
			for _, a := range n.Attr {
				switch {
				case strings.HasPrefix(a.Key, "on"), a.Key == "src", a.Key == "srcset":
					t.Errorf("%s: <%s %s=%q>", name, n.Data, a.Key, a.Val)
				case a.Key == "href" && !strings.HasPrefix(a.Val, "#"):
					t.Errorf("%s: leads out of the page: %q", name, a.Val)
				}
			}
		}
		for _, out := range []string{"url(", "@import", "http:", "https:"} {
			if bytes.Contains(data, []byte(out)) {
				t.Errorf("%s: has %q", name, out)
			}
		}
	}
}

// The parser mends what is broken, so a page that it gives back with the same elements was whole.
func TestReportsAreWellFormed(t *testing.T) {
	for name, data := range reports(t) {
		in := html.NewTokenizer(bytes.NewReader(data))
		var open []string
		for in.Next() != html.ErrorToken {
			token := in.Token()
			switch token.Type {
			case html.StartTagToken:
				if token.Data != "meta" && token.Data != "br" {
					open = append(open, token.Data)
				}
			case html.EndTagToken:
				if len(open) == 0 || open[len(open)-1] != token.Data {
					t.Fatalf("%s: </%s> closes %v", name, token.Data, open)
				}
				open = open[:len(open)-1]
			}
		}
		if len(open) > 0 {
			t.Errorf("%s: %v never closed", name, open)
		}
		if bytes.Contains(data, []byte("ZgotmplZ")) || bytes.Contains(data, []byte("NaN")) || bytes.Contains(data, []byte("Inf")) {
			t.Errorf("%s: a value was refused by the template or is no number", name)
		}
	}
}

func TestReportsTellWhatTheyMust(t *testing.T) {
	pages := reports(t)
	common := []string{"at low speed", "disable switch", "eye protection", "air released", "SHA-256", `name="viewport"`, "@media print"}
	for name, want := range map[string][]string{
		"trials":  {"86 %", "Where they first left the plan", "clamp misses (line 8)", "Steps of the plan", "Worst rehearsals", "chalkfield open", `id="ways"`, `class="way bad"`},
		"compare": {"no difference that 70 pairs could show", "sign flips", "Difference in score, pair by pair"},
		"sweep":   {"Greatest mean score", "Map of the mean score", "robot:chassis.mass", "picked for it"},
		"run":     {"2 points", "Where the time went", "Timeline", "lines of mine.lua", "Score sheet"},
	} {
		for _, w := range append(want, common...) {
			if !bytes.Contains(pages[name], []byte(w)) {
				t.Errorf("%s: %q is lacking", name, w)
			}
		}
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
	if err := WriteStudy(&page, made(part.Trials, 5000), haul(t)); err != nil {
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
	for _, kind := range []part.Kind{part.Trials, part.Compare, part.Sweep} {
		f := made(kind, 20)
		for job := len(f.Results) / 2; job < len(f.Results); job++ {
			f.Results[job] = nil
		}
		var page bytes.Buffer
		if err := WriteStudy(&page, f, nil); err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(page.Bytes(), []byte(`<p class="warn">Not`)) {
			t.Errorf("%s: does not say that it is unfinished", kind)
		}
	}
}
