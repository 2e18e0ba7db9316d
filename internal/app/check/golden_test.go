package check

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
)

func bytesOf(t *testing.T, g *golden) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := g.write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestGoldenFileIsReadBackAsWritten(t *testing.T) {
	data := bytesOf(t, goldenOf(made(3, true)))
	g, err := readGolden("g", data)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(bytesOf(t, g), data) {
		t.Error("reading and writing changes it")
	}
	if lines := bytes.Count(data, []byte("\n")); lines != 1+41+3+1 || len(data) > 4000 {
		t.Errorf("%d lines, %d bytes; want a head, 41 poses, 3 events, a sheet, short enough to review", lines, len(data))
	}
	if first := string(data[:bytes.IndexByte(data, '\n')]); !strings.Contains(first, `"chalkfield golden"`) ||
		!strings.Contains(string(data), `{"pose":{"t":0.1,"at":[50,1000,5.73]}}`) {
		t.Errorf("%s", data[:300])
	}
}

func TestGoldenTellsTheFirstDeparture(t *testing.T) {
	strict := Tolerances{Place: 0.001, Heading: 0.1 * math.Pi / 180, Time: 0.02}
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		within Tolerances
		want   []string // of each shortfall: what happened, and where
	}{
		{"nothing", func(*record.Record) {}, strict, nil},
		{"within the tolerance", func(r *record.Record) { bend(r, 1, 0.0009, 0) }, strict, nil},
		{"the way bends off", func(r *record.Record) { bend(r, 1, 0.02, 0) }, strict,
			[]string{"departs by 20.0 mm and 0.00 deg, while line 12 ran; farthest 20 mm at 1.0 s | at 1.00 s, mine.lua:12"}},
		{"the heading", func(r *record.Record) { bend(r, 3, 0, 0.02) }, strict,
			[]string{"departs by 0.0 mm and 1.15 deg | at 3.00 s, mine.lua:17"}},
		{"the way bends off slowly: the line where it began", slowly, strict,
			[]string{"departs by 1.2 mm and 0.00 deg at 1.60 s, after a beginning at 1.30 s, while line 13 ran; farthest 8 mm " +
				"at 4.0 s | at 1.30 s, mine.lua:13"}},
		{"where one line gave way to the next", func(r *record.Record) { bend(r, 2, 0.02, 0) }, strict,
			[]string{"departs by 20.0 mm and 0.00 deg, while line 14 gave way to line 15; farthest 20 mm at 2.0 s | at 2.00 " +
				"s, mine.lua:15"}},
		{"the line of the motion that drove, of whatever task", func(r *record.Record) {
			slowly(r)
			start := record.Event{T: 1.1, Kind: record.MotionStart, Task: 1, File: "drive.lua", Line: 7, What: "ahead"}
			r.Events = append(r.Events[:2:2], append([]record.Event{start}, r.Events[2:]...)...)
		}, strict, []string{"after a beginning at 1.30 s, while drive.lua:7 ran | at 1.30 s, drive.lua:7"}},
		{"just beyond the tolerance: as many digits as tell the two apart",
			func(r *record.Record) { bend(r, 3, 0.0011, 0) }, Tolerances{Place: 0.00108, Heading: 1, Time: 1},
			[]string{"departs by 1.10 mm"}},
		{"after the routine's end", func(r *record.Record) { bend(r, 3.8, 0.02, 0) }, strict,
			[]string{"departs by 20.0 mm and 0.00 deg; farthest | at 3.80 s, mine.lua:27 (the routine had ended)"}},
		{"a wider tolerance lets it pass", func(r *record.Record) { bend(r, 1, 0.02, 0.02) },
			Tolerances{Place: 0.03, Heading: 0.03}, nil},
		{"an event later", func(r *record.Record) { r.Events[3].T = 2.3 }, strict,
			[]string{"clamped near sled +0.30 s off (golden: 2.00 s) | at 2.30 s, mine.lua:15"}},
		{"a little later", func(r *record.Record) { r.Events[3].T = 2.02 }, strict, nil},
		{"another event", func(r *record.Record) { r.Events[3].Kind, r.Events[3].What = record.Missed, "clamp" }, strict,
			[]string{"missed clamp instead of clamped near sled (golden: 2.00 s) | at 2.00 s"}},
		{"an event lacking", func(r *record.Record) { r.Events = append(r.Events[:4], r.Events[5:]...) }, strict,
			[]string{"no scored near sled (golden: 3.00 s), nothing more is done"}},
		{"an event more", func(r *record.Record) { r.Events = append(r.Events, did(3.9, record.Jammed, "intake", 3)) },
			strict, []string{"jammed intake, which the golden record does not have"}},
		{"the score", func(r *record.Record) { r.Sheet.Rows[1].Points = []float64{8, 3}; r.Sheet.Total = []float64{10, 3} },
			strict, []string{"sled in camp: 8 points for ochre, golden 10"}},
		{"the score within a tolerance", func(r *record.Record) {
			r.Sheet.Rows[1].Points = []float64{8,
				3}
			r.Sheet.Total = []float64{10, 3}
		}, Tolerances{Score: 2}, nil},
		{"another seed", func(r *record.Record) { r.Header.Seed = 9 }, strict,
			[]string{"another rehearsal: mine.lua, session autonomous, seed 9"}},
		{"a shorter session", func(r *record.Record) { r.Samples = r.Samples[:150]; r.Events = r.Events[:5] }, strict,
			[]string{"2.9 s long, the golden record 4.0 s"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			g, err := readGolden("g", bytesOf(t, goldenOf(made(3, false))))
			if err != nil {
				t.Fatal(err)
			}
			r := made(3, false)
			c.change(r)
			j := &judgement{record: r, words: wordsOf(r, yard)}
			j.wish("golden", "")
			j.departures(g, c.within)
			if len(j.short) != len(c.want) {
				t.Fatalf("%+v, want %v", j.short, c.want)
			}
			for i, want := range c.want {
				happened, place, _ := strings.Cut(want, " | ")
				if s := j.short[i]; !strings.Contains(s.Happened, happened) || !strings.Contains(s.Place(), place) {
					t.Errorf("%q %q, want %q", s.Happened, s.Place(), want)
				}
			}
		})
	}
}

// slowly bends the way off from 1.2 s on, 3 mm a second.
func slowly(r *record.Record) {
	for i := range r.Samples {
		if t := r.Samples[i].T; t > 1.2 {
			r.Samples[i].Robots[0].True[1] += 0.003 * (t - 1.2)
		}
	}
}

// bend moves the way from a time on.
func bend(r *record.Record, from, place, turned float64) {
	for i := range r.Samples {
		if r.Samples[i].T >= from {
			p := &r.Samples[i].Robots[0].True
			p[1], p[2] = p[1]+place, p[2]+turned
		}
	}
}

func TestABrokenGoldenFileIsAnErrorWithItsLine(t *testing.T) {
	good := string(bytesOf(t, goldenOf(made(3, true))))
	lines := strings.SplitAfter(good, "\n")
	for _, c := range []struct{ text, want string }{
		{"", "g:0: the golden file is cut"},
		{strings.Join(lines[:10], ""), "g:10: the golden file is cut"},
		{good[:len(good)-20], "g:46: not a line of a golden file"},
		{"something\n", "g:1: not a line of a golden file"},
		{lines[1] + good, "the head must come first"},
		{good + lines[1], "the sheet last"},
		{lines[0] + lines[2] + lines[1] + lines[45], "times must rise"},
		{strings.Replace(good, `"version":1`, `"version":2`, 1), "this program reads"},
		{strings.Replace(good, `"pose"`, `"pause"`, 1), "unknown field"},
	} {
		if _, err := readGolden("g", []byte(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.60q: error %v, want %q", c.text, err, c.want)
		}
	}
}
