package webpage

import (
	"bytes"
	"context"
	"fmt"
	"image/color"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// demo is the demo's run, rehearsed.
func demo(t *testing.T) scene.Input {
	t.Helper()
	program, err := scripting.LoadFS(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		t.Fatal(err)
	}
	hauler, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	setup := rehearse.Setup{Field: haul(t), Seed: 1, Entrants: []rehearse.Entrant{{Robot: hauler, Routine: program}}}
	rec, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		t.Fatal(err)
	}
	return scene.Input{Field: setup.Field, Record: rec, Mounts: []scene.Mount{scene.MountOf(hauler)}}
}

func replayed(t *testing.T, in scene.Input) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := WriteReplay(&out, in, paint.Slate); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// scoreAt is the score at a time as the record has it: of the last change by then, at the end of the score sheet.
func scoreAt(rec *record.Record, t float64) string {
	if t >= rec.Samples[len(rec.Samples)-1].T {
		return rec.Sheet.Totals().String()
	}
	score := "nothing yet"
	for _, e := range rec.Events {
		if e.Kind == record.ScoreChange && e.T <= t {
			score = e.Totals.String()
		}
	}
	return score
}

func TestAReplayIsSmallAndTheSameTwice(t *testing.T) {
	in := demo(t)
	first, second := replayed(t, in), replayed(t, in)
	if !bytes.Equal(first, second) {
		t.Error("two replays of one run differ")
	}
	if size := len(first); size > 300_000 {
		t.Errorf("the demo's replay has %d bytes: it is to be sent in a chat", size)
	}
	if links := regexp.MustCompile(`(https?:)?//[a-z]+\.[^"\s]*`).FindAll(first, -1); len(links) > 1 ||
		len(links) == 1 && !bytes.Equal(links[0], []byte("http://www.w3.org/2000/svg")) {
		t.Errorf("the page names places of the network: %q", links)
	}
}

// In another theme nothing on the page keeps the slate's colours or those of the field's file.
func TestAReplayHasTheColoursOfItsTheme(t *testing.T) {
	in := demo(t)
	own := []string{"#1b2126", "#2b343b", "#151a1e", "#f0ece0", "#b4b7b3", in.Field.Sides[0].Colour}
	for _, theme := range paint.Themes {
		var out bytes.Buffer
		if err := WriteReplay(&out, in, theme); err != nil {
			t.Fatal(err)
		}
		for _, colour := range own {
			if has := strings.Contains(out.String(), colour); has != theme.Own() {
				t.Errorf("%s: the page has %s: %v", theme.Words, colour, has)
			}
		}
	}
}

func TestAReplayOfNothingIsRefused(t *testing.T) {
	in := demo(t)
	in.Record = &record.Record{Header: in.Record.Header}
	err := WriteReplay(io.Discard, in, paint.Slate)
	if err == nil || !strings.Contains(err.Error(), "nothing was recorded") {
		t.Errorf("a record without samples: %v", err)
	}
}

// Names and texts of people's files are words on the page, never markup.
func TestAReplayEscapesWhatPeopleWrote(t *testing.T) {
	in := demo(t)
	rec := *in.Record
	in.Record = &rec
	rec.Header.Robots[0].Routine.Title, rec.Header.Robots[0].File.Title = hostile, hostile
	rec.Sources = []record.Source{{Of: rec.Header.Robots[0].Routine.SHA256, Name: rec.Header.Robots[0].Routine.Name,
		Text: "</script>" + hostile}}
	rec.Events = append(rec.Events, record.Event{T: 3, Kind: record.Note, Text: hostile},
		record.Event{T: 4, Kind: record.ScoreChange, Totals: record.Totals{{Name: "</script>" + hostile}}})
	page := string(replayed(t, in))
	if got := strings.Count(page, "<script"); got != 2 {
		t.Errorf("%d scripts begin on the page, not its own two", got)
	}
	if got := strings.Count(page, "</script>"); got != 2 {
		t.Errorf("%d scripts end on the page, not its own two", got)
	}
}

// shownTime is the time that the page says it shows, in samples.
func shownTime(t *testing.T, b *browser) int {
	t.Helper()
	seconds, err := strconv.ParseFloat(strings.TrimSuffix(b.text(`$("scrub").getAttribute("aria-valuetext")`), " s"), 64)
	if err != nil {
		t.Fatal(err)
	}
	return int(math.Round(seconds / record.SamplePeriod))
}

// shows holds the page to the record at the sample that it says it shows.
func shows(t *testing.T, b *browser, rec *record.Record) {
	t.Helper()
	sample := shownTime(t, b)
	if got, want := b.text(`$("score").textContent`), scoreAt(rec, rec.Samples[sample].T); got != want {
		t.Errorf("sample %d: the page's score is %q, the record's %q", sample, got, want)
	}
	var lit, want []int
	b.run(`[...document.querySelectorAll("#lines li")].flatMap((l, i) => l.className === "lit" ? [i + 1] : [])`, &lit)
	for _, line := range rec.Samples[sample].Robots[0].Lines {
		if line > 0 && !slices.Contains(want, line) {
			want = append(want, line)
		}
	}
	slices.Sort(want)
	if !slices.Equal(lit, want) {
		t.Errorf("sample %d: lines %v are lit, the tasks stand at %v", sample, lit, want)
	}
}

func TestReplayInABrowser(t *testing.T) {
	in := demo(t)
	page, b := replayed(t, in), newBrowser(t)
	t.Run("plays and pauses on a desk", func(t *testing.T) { playsOnADesk(t, b, page, in.Record) })
	t.Run("scrubs on a phone", func(t *testing.T) { scrubsOnAPhone(t, b, page, in.Record) })
	t.Run("looks like the still pictures", func(t *testing.T) { looksLikeStills(t, b, page, in) })
}

func playsOnADesk(t *testing.T, b *browser, page []byte, rec *record.Record) {
	b.open(page, 1280, 800, "prefers-color-scheme", "dark")
	fits(t, b)
	b.run(`new Promise(done => { const look = () => now > 20 ? done() : requestAnimationFrame(look); look(); })`, nil)
	if got := b.text(`$("play").textContent`); got != "Pause" {
		t.Errorf("while it plays the button says %q", got)
	}
	b.press(" ", 32, 0)
	stopped := shownTime(t, b)
	b.run(`new Promise(done => setTimeout(done, 200))`, nil)
	if now := shownTime(t, b); now != stopped || b.text(`$("play").textContent`) != "Play" {
		t.Errorf("after Space it went on from sample %d to %d", stopped, now)
	}
	shows(t, b, rec)
	const shift = 8
	for _, c := range []struct {
		key             string
		code, modifiers int
		want            int
	}{
		{"Home", 36, 0, 0}, {"ArrowRight", 39, 0, 1}, {"ArrowRight", 39, shift, 51}, {"ArrowLeft", 37, 0, 50},
		{"End", 35, 0, len(rec.Samples) - 1}, {"ArrowLeft", 37, shift, len(rec.Samples) - 51},
	} {
		b.press(c.key, c.code, c.modifiers)
		if got := shownTime(t, b); got != c.want {
			t.Errorf("%s (modifiers %d): sample %d, want %d", c.key, c.modifiers, got, c.want)
		}
		shows(t, b, rec)
	}
}

func scrubsOnAPhone(t *testing.T, b *browser, page []byte, rec *record.Record) {
	b.open(page, 390, 844, "prefers-reduced-motion", "reduce")
	fits(t, b)
	if b.text("playing") != "false" || shownTime(t, b) != 0 {
		t.Error("it plays by itself for a person who wants less motion")
	}
	for _, share := range []float64{0.4, 0.62, 0.97} {
		b.tap("#scrub", share)
		b.run(`new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))`, nil)
		want := share * float64(len(rec.Samples)-1)
		if got := shownTime(t, b); math.Abs(float64(got)-want) > 40 { // the thumb is wider than a sample
			t.Errorf("a finger at %.2f of the scrub bar shows sample %d, want about %.0f", share, got, want)
		}
		shows(t, b, rec)
	}
	for _, sample := range []int{0, 250, 410, 700, len(rec.Samples) - 1} { // exact times
		b.run(fmt.Sprintf(`$("scrub").value = %d; $("scrub").dispatchEvent(new Event("input"))`, sample), nil)
		if got := shownTime(t, b); got != sample {
			t.Errorf("scrubbed to sample %d it shows %d", sample, got)
		}
		shows(t, b, rec)
	}
	var row struct{ Sample, At int }
	b.run(`(() => { const i = run.events.length >> 1; rows.events[i].click();
		return {Sample: run.events[i], At: Math.floor(now)}; })()`, &row)
	if row.Sample == 0 || row.At != row.Sample {
		t.Errorf("a row of the list at sample %d leads to %d", row.Sample, row.At)
	}
	shows(t, b, rec)
}

// fits holds the page to the window's width, and what a finger meets to a finger's size (44 pixels: WCAG 2.2, 2.5.5).
func fits(t *testing.T, b *browser) {
	t.Helper()
	if wide := b.text(`document.documentElement.scrollWidth - innerWidth`); wide != "0" && !strings.HasPrefix(wide, "-") {
		t.Errorf("the page is %s pixels wider than its window", wide)
	}
	for _, id := range []string{"play", "scrub", "speed"} {
		var high float64
		b.run(fmt.Sprintf(`$(%q).getBoundingClientRect().height`, id), &high)
		if high < 44 {
			t.Errorf("%s is %g pixels high", id, high)
		}
	}
}

// looksLikeStills compares the field of the page with the still pictures of the same times, shown by the same browser.
func looksLikeStills(t *testing.T, b *browser, page []byte, in scene.Input) {
	b.open(page, 1280, 800, "prefers-reduced-motion", "reduce")
	b.run(`$("counts").style.display = $("marks").style.display = "none"; const drawn = $("field").innerHTML`, nil)
	for _, sample := range []int{0, 220, 410, 640, len(in.Record.Samples) - 1} {
		b.run(fmt.Sprintf(`seek(%d)`, sample), nil)
		got := b.field()
		in.T = in.Record.Samples[sample].T
		in.Options = scene.Options{Show: replayGround | replayMoving | scene.Trail}
		s := scene.Build(in)
		view, height := fitted(s, replayWidth)
		still := &picture.SVG{}
		still.Begin(replayWidth, height, `xmlns="http://www.w3.org/2000/svg" id="still"`, "", s.Ground)
		new(paint.Drawer).Items(still, s, view)
		still.End()
		b.run(fmt.Sprintf(`$("field").insertAdjacentHTML("beforeend", %q)`, still.String()), nil)
		want := b.field()
		b.run(`$("still").remove()`, nil)
		off, bounds := 0, want.Bounds()
		for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
			for x := bounds.Min.X; x < bounds.Max.X; x++ {
				if differ(got.At(x, y), want.At(x, y)) {
					off++
				}
			}
		}
		share := float64(off) / float64(bounds.Dx()*bounds.Dy())
		t.Logf("sample %d: %.3f %% of the pixels differ", sample, 100*share)
		if share > 0.001 { // edges of what is turned are smoothed otherwise; a robot is 1.7 % of the field
			t.Errorf("sample %d: %.2f %% of the pixels differ from the still picture", sample, 100*share)
		}
	}
}

// differ reports whether two colours are farther from each other than smoothing moves an edge.
func differ(a, b color.Color) bool {
	const far = 0x6000 // of 0xffff
	r1, g1, b1, _ := a.RGBA()
	r2, g2, b2, _ := b.RGBA()
	return max(r1, r2)-min(r1, r2) > far || max(g1, g2)-min(g1, g2) > far || max(b1, b2)-min(b1, b2) > far
}
