package scene

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene/scenetest"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// labels are all label words of a scene, numbers left out.
func labels(s *Scene) map[string]int {
	words := map[string]int{}
	for _, layer := range s.Layers {
		for _, l := range layer.Labels {
			words[l.Words]++
		}
	}
	return words
}

func layerOf(s *Scene, o Overlay) *Layer {
	for i := range s.Layers {
		if s.Layers[i].Overlay == o {
			return &s.Layers[i]
		}
	}
	return nil
}

func TestGoalsTellThePiecesInThem(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 1}.Record()
	for at, want := range map[float64]string{0: "0/5", 4.5: "2/5", 9.9: "4/5"} { // pieces go in at 3, 4, 5 and 6 s
		s := Build(Input{Field: f, Record: rec, T: at})
		var got string
		for _, l := range layerOf(s, Goals).Labels {
			if l.Rank == RankCount {
				got = l.Words // the goals of a kind are drawn in order
				break
			}
		}
		if got != want {
			t.Errorf("at %v s the first goal says %q, want %q", at, got, want)
		}
	}
}

func TestPiecesAreDrawnWhereTheyAre(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 1}.Record()
	count := func(at float64) int {
		discs := 0
		for _, item := range layerOf(Build(Input{Field: f, Record: rec, T: at}), Pieces).Items {
			if item.Kind == Disc && item.Fill.A != 0 {
				discs++
			}
		}
		return discs
	}
	if got := count(0); got != len(f.Pieces) {
		t.Errorf("%d pieces on the floor at the start, want %d", got, len(f.Pieces))
	}
	if got := count(10); got != len(f.Pieces)-6 { // the run takes six
		t.Errorf("%d pieces on the floor at the end, want %d", got, len(f.Pieces)-6)
	}
}

func TestSceneShowsTheSampleAtOrBefore(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 1}.Record()
	s := Build(Input{Field: f, Record: rec, T: 5.0199})
	body := layerOf(s, Robots).Items[0].Points
	want := rec.Samples[250].Robots[0].True.Geom()
	var middle geom.Vec
	for _, v := range body {
		middle.X += v.X / float64(len(body))
		middle.Y += v.Y / float64(len(body))
	}
	if distance(middle, want.At()) > 1e-9 {
		t.Errorf("the robot is drawn at %v, want %v", middle, want.At())
	}
}

func TestWholeRunShowsStartAndEnd(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 1, Drift: 0.1}.Record()
	s := Build(Input{Field: f, Record: rec, Options: Options{Whole: true}})
	outline, solid := layerOf(s, Robots).Items[0], layerOf(s, Robots).Items[2]
	if outline.Fill.A != 0 || outline.Pen.Dash != Dotted || solid.Fill.A == 0 {
		t.Errorf("want the start as a dotted outline, then the end solid: %+v, %+v", outline, solid)
	}
	if words := labels(s); words["belief off 100 mm, 2.3 deg"] != 1 { // 0.1 m and 0.04 rad
		t.Errorf("no label tells the belief's error: %v", words)
	}
	if !strings.HasPrefix(s.Furniture.Time, "whole run, 10.00 s") {
		t.Errorf("time: %q", s.Furniture.Time)
	}
}

func TestSheetIsShownAtTheEndAndTheRunningScoreBefore(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 1}.Record()
	if s := Build(Input{Field: f, Record: rec, T: 10}); s.Furniture.Scored == nil || s.Furniture.Running != "" {
		t.Error("no sheet at the end")
	}
	s := Build(Input{Field: f, Record: rec, T: 5})
	if s.Furniture.Scored != nil || s.Furniture.Running != "ochre 2, teal 0" {
		t.Errorf("before the end: sheet %v, running score %q", s.Furniture.Scored, s.Furniture.Running)
	}
	if s := Build(Input{Field: f, Record: rec, T: 0.1}); s.Furniture.Running != "nothing yet" {
		t.Errorf("before the first change: %q", s.Furniture.Running)
	}
	if s := Build(Input{Field: f, Record: rec, T: 10,
		Options: Options{Show: Everything &^ ScoreBox}}); s.Furniture.Scored != nil {
		t.Error("the score box is off and there is a sheet")
	}
}

func TestAnOverlayThatIsOffIsNotThere(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 2, Drift: 0.1}.Record()
	for i := range layerCount {
		off := Overlay(1 << i)
		s := Build(Input{Field: f, Record: rec, T: 8, Options: Options{Show: Everything &^ off}})
		if layerOf(s, off) != nil {
			t.Errorf("%v is off and drawn", off)
		}
		if len(s.Layers) != layerCount-1 {
			t.Errorf("without %v: %d layers, want %d", off, len(s.Layers), layerCount-1)
		}
	}
	s := Build(Input{Field: f, Record: rec, T: 8, Options: Options{Show: Everything &^ Events}})
	for _, row := range s.Furniture.Events {
		if row.Kind != record.Contact {
			t.Errorf("events are off and %q is listed", row.Words)
		}
	}
	s = Build(Input{Field: f, Record: rec, T: 8, Options: Options{Show: Everything &^ Labels}})
	if words := labels(s); words["camp"] != 0 || words["0/5"] == 0 {
		t.Errorf("with labels off want counts and no names: %v", words)
	}
}

// Scrubbing back and forth with one Builder must give what a fresh one gives.
func TestAKeptBuilderGivesTheSameScenes(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 3, Robots: 2, Drift: 0.2}.Record()
	hook := scenetest.Hook()
	other := scenetest.Run{Field: hook, Seconds: 4, Robots: 1}.Record()
	var kept Builder
	property.Check(t, func(t *rapid.T) {
		in := Input{Field: f, Record: rec, T: rapid.Float64Range(-1, 4).Draw(t, "t")}
		if rapid.IntRange(0, 4).Draw(t, "other") == 0 {
			in.Field, in.Record = hook, other
		}
		in.From = rapid.Float64Range(0, 2).Draw(t, "from")
		in.Whole = rapid.Bool().Draw(t, "whole")
		in.Focus = rapid.IntRange(-1, 3).Draw(t, "focus")
		in.Show = Overlay(rapid.Uint32Range(0, uint32(Everything)).Draw(t, "show"))
		if want, got := Build(in), kept.Build(in); !same(want, got) {
			t.Fatalf("a kept Builder gives another scene for %+v:\n%s", in.Options, cmp.Diff(want, got, cmpopts.EquateEmpty()))
		}
	})
}

// A change of one option alone must be seen, too.
func TestAKeptBuilderSeesEachOption(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 3, Robots: 2, Drift: 0.2}.Record()
	other := scenetest.Run{Field: f, Seconds: 3, Robots: 2, Drift: 0.4}.Record()
	plain := Input{Field: f, Record: rec, T: 2}
	for name, change := range map[string]func(*Input){
		"time":   func(in *Input) { in.T = 1 },
		"from":   func(in *Input) { in.From = 1 },
		"focus":  func(in *Input) { in.Focus = 1 },
		"show":   func(in *Input) { in.Show = Everything &^ Legend },
		"whole":  func(in *Input) { in.Whole = true },
		"mounts": func(in *Input) { in.Mounts = []Mount{{Rays: []RayMount{{Sensor: 2}}}} },
		"record": func(in *Input) { in.Record = other },
		"field":  func(in *Input) { in.Field = scenetest.Hook() },
	} {
		var kept Builder
		changed := plain
		change(&changed)
		kept.Build(plain)
		want := Build(changed)
		if same(want, Build(plain)) {
			t.Errorf("%s: the change makes no difference: the test is idle", name)
		}
		if got := kept.Build(changed); !same(want, got) {
			t.Errorf("%s: %s", name, cmp.Diff(want, got, cmpopts.EquateEmpty()))
		}
	}
}

func TestEventsAreNumberedInOrderOfTime(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 1, Events: 50}.Record() // appended out of order
	s := Build(Input{Field: f, Record: rec, T: 10})
	last := 0.0
	for i, row := range s.Furniture.AllEvents {
		if row.Number != i+1 || row.T < last {
			t.Fatalf("row %d has number %d at %v s after %v s", i, row.Number, row.T, last)
		}
		last = row.T
		if row.Kind == record.ScoreChange || row.Kind == record.MotionStart {
			t.Errorf("%v is listed", row.Kind)
		}
	}
	early := Build(Input{Field: f, Record: rec, T: 4, Options: Options{From: 2}})
	for _, row := range early.Furniture.Events {
		if row.T < 2 || row.T > 4 || s.Furniture.AllEvents[row.Number-1].Words != row.Words {
			t.Errorf("from 2 to 4 s: row %+v", row)
		}
	}
	if len(early.Furniture.Events) == 0 {
		t.Error("no events between 2 and 4 s")
	}
}

func TestEveryMarkHasAShape(t *testing.T) {
	for _, k := range record.Kinds() {
		if _, known := shapes[k.Mark.Shape]; !known && k.Mark.Shape != "" {
			t.Errorf("%s: no shape is called %q", k.Kind, k.Mark.Shape)
		}
	}
}

// A reader of records refuses most of this; a picture must not be what falls over.
func TestOddRecordsGiveAScene(t *testing.T) {
	f := scenetest.Station()
	whole := func() *record.Record { return scenetest.Run{Field: f, Seconds: 1, Robots: 2}.Record() }
	nan, huge := math.NaN(), 1e300
	for name, change := range map[string]func(*record.Record){
		"no samples":          func(r *record.Record) { r.Samples = nil },
		"no robots in sample": func(r *record.Record) { r.Samples[30].Robots = nil },
		"no header robots":    func(r *record.Record) { r.Header.Robots = nil },
		"no header bodies":    func(r *record.Record) { r.Header.Bodies = nil },
		"no outline":          func(r *record.Record) { r.Header.Robots[0].Outline = nil },
		"huge outline": func(r *record.Record) {
			r.Header.Robots[0].Outline = [][2]float64{{huge, 0}, {0, huge},
				{-huge, 0}}
		},
		"unknown side":       func(r *record.Record) { r.Header.Robots[0].Side = 9; r.Header.Robots[1].Side = -3 },
		"unknown kinds":      func(r *record.Record) { r.Header.Bodies[0].Kind = "?"; r.Header.Bodies[44].Kind = "?" },
		"more parts":         func(r *record.Record) { r.Samples[50].Robots[0].Parts = make([]record.PartSample, 20) },
		"pose of nothing":    func(r *record.Record) { r.Samples[50].Robots[0].True = record.Pose{nan, huge, nan} },
		"belief of nothing":  func(r *record.Record) { r.Samples[50].Robots[0].Belief = record.Pose{nan, nan, nan} },
		"belief far away":    func(r *record.Record) { r.Samples[50].Robots[0].Belief = record.Pose{huge, -huge, huge} },
		"holders of nothing": func(r *record.Record) { r.Samples[0].Bodies[0].In = 99; r.Samples[0].Bodies[1].In = -9999 },
		"short sheet": func(r *record.Record) {
			r.Sheet.Rows[0].Points, r.Sheet.Total, r.Sheet.Winner = nil, nil, 7
		},
		"event of nobody": func(r *record.Record) {
			r.Events = append(r.Events,
				record.Event{Kind: record.Scored, Robot: 77})
		},
		"event nowhere": func(r *record.Record) {
			r.Events = append(r.Events, record.Event{Kind: record.Scored, At: &[2]float64{nan, huge}})
		},
	} {
		rec := whole()
		change(rec)
		s := Build(Input{Field: f, Record: rec, T: 1, Options: Options{Show: Everything}})
		if len(s.Layers) != layerCount || !(s.High.X > s.Low.X) {
			t.Errorf("%s: %d layers, extents %v %v", name, len(s.Layers), s.Low, s.High)
		}
	}
}

func TestWithoutARecordTheFieldIsAsLaidOut(t *testing.T) {
	f := scenetest.Hook()
	s := Build(Input{Field: f})
	if n := len(layerOf(s, Pieces).Items); n < 2*len(f.Pieces) {
		t.Errorf("%d items for %d pieces", n, len(f.Pieces))
	}
	if s.Furniture.Time != "as laid out" || s.Furniture.Title != "Hook yard" {
		t.Errorf("furniture: %+v", s.Furniture)
	}
	for _, v := range f.Floor {
		if v.X < s.Low.X || v.X > s.High.X || v.Y < s.Low.Y || v.Y > s.High.Y {
			t.Errorf("corner %v of the floor is not in the extents", v)
		}
	}
}

func TestTicksJoinTheSecondsOfAStand(t *testing.T) {
	rec := &record.Record{Header: record.Header{Robots: make([]record.Robot, 1)}}
	for i := range 501 {
		at := float64(i) / 50
		x := math.Min(at, 3) + math.Max(0, at-7) // stands from 3 to 7 s
		rec.Samples = append(rec.Samples, record.Sample{T: record.Round(at),
			Robots: []record.RobotSample{{True: record.Pose{x}}}})
	}
	var words []string
	for _, k := range newTicks(rec, 0) {
		words = append(words, k.words)
	}
	if got := strings.Join(words, ", "); got != "1 s, 2 s, 3-7 s, 8 s, 9 s, 10 s" {
		t.Errorf("ticks: %s", got)
	}
}

func TestTrailIsShadedBySpeed(t *testing.T) {
	rec := &record.Record{Header: record.Header{Robots: make([]record.Robot, 1)}}
	for i := range 121 {
		v := 1.2 * float64(i) / 120
		rec.Samples = append(rec.Samples, record.Sample{T: float64(i) / 50,
			Robots: []record.RobotSample{{True: record.Pose{float64(i) * 0.01}, Velocity: [3]float64{v}}}})
	}
	p := newPath(rec, 0)
	if math.Abs(p.top-1.2) > 1e-9 {
		t.Errorf("top speed %v, want 1.2", p.top)
	}
	for _, tint := range tints {
		seen := map[Colour]bool{}
		b := Builder{tint: tint}
		shades := b.shaded(p.steps)
		for i, shade := range shades {
			seen[shade] = true
			if i > 0 && Luminance(shade) < Luminance(shades[i-1]) {
				t.Errorf("point %d is darker than the slower one before", i)
			}
		}
		if len(seen) != speedSteps {
			t.Errorf("%d shades, want %d", len(seen), speedSteps)
		}
	}
}

func BenchmarkBuild(b *testing.B) {
	f := scenetest.Station() // 49 bodies, filled up to 60
	for len(f.Pieces)+len(f.Goals) < 60 {
		f.Pieces = append(f.Pieces, f.Pieces[0])
	}
	rec := scenetest.Run{Field: f, Seconds: 60, Robots: 4, Drift: 0.2}.Record()
	var builder Builder
	in := Input{Field: f, Record: rec, Index: record.NewIndex(rec), Options: Options{Show: Everything}}
	builder.Build(in)
	b.ReportAllocs()
	for b.Loop() {
		in.T = math.Mod(in.T+7.3, 60)
		builder.Build(in)
	}
}

func BenchmarkNewIndex(b *testing.B) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 60, Robots: 4}.Record()
	for b.Loop() {
		record.NewIndex(rec)
	}
}

func BenchmarkIndexBodies(b *testing.B) {
	f := scenetest.Station()
	x := record.NewIndex(scenetest.Run{Field: f, Seconds: 60, Robots: 1}.Record())
	for b.Loop() {
		for id := range x.Record.Header.Bodies {
			x.Body(id, 2500)
		}
	}
}

func TestPhasesAndButtonsHaveMarksOfTheirOwn(t *testing.T) {
	for _, own := range []record.Kind{record.PhaseStart, record.PressedKey} {
		mark := own.Traits().Mark
		if len(ParseShape(mark.Shape).Corners()) < 3 {
			t.Errorf("%s has no mark", own)
		}
		for _, k := range record.Kinds() {
			if k.Kind != own && k.Mark.Shape == mark.Shape {
				t.Errorf("%s has the mark of %s", k.Kind, own)
			}
		}
	}
}

func TestAButtonIsMarkedInThePicture(t *testing.T) {
	run := scenetest.Run{Field: scenetest.Station(), Seconds: 2, Robots: 1}.Record()
	run.Events = append(run.Events, record.Event{T: 1, Kind: record.PressedKey, What: "a"})
	picture := Build(Input{Record: run, T: 2, Options: Options{Show: Everything, Focus: 0}})
	row := slices.IndexFunc(picture.Furniture.AllEvents, func(row EventRow) bool { return row.Kind == record.PressedKey })
	explained := slices.ContainsFunc(picture.Furniture.Legend, func(row LegendRow) bool {
		return row.Words == "button" &&
			row.Shape == Keycap
	})
	if row < 0 || picture.Furniture.AllEvents[row].Words != "button a" || !explained {
		t.Errorf("events %+v, legend %+v", picture.Furniture.AllEvents, picture.Furniture.Legend)
	}
}

// same tells whether two scenes are equal, a list of nothing being as good as none: so are their texts.
func same(a, b *Scene) bool { return fmt.Sprintf("%+v", *a) == fmt.Sprintf("%+v", *b) }

// What a robot holds lies on its conveyor, each piece once.
func TestHeldPiecesLieOnTheConveyor(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 1}.Record()
	var b Builder
	s := b.Build(Input{Field: f, Record: rec, T: 4.9})
	part := slices.IndexFunc(b.robots[0].parts, func(p record.Part) bool { return p.Kind == "conveyor" })
	belt := b.robots[0].mount.Parts[part]
	state, _ := b.index.Robot(0, b.sample)
	frame := state.True.Geom().Compose(belt.At)
	var on int
	for _, item := range layerOf(s, Robots).Items {
		if item.Kind != Disc || item.Fill != b.bodies[0].fill {
			continue
		}
		if at := frame.ToLocal(item.At); math.Abs(at.Y) > 1e-9 || at.X < 0 || at.X > belt.Length {
			t.Errorf("a piece lies at %v of a belt %.2f m long", at, belt.Length)
		}
		on++
	}
	if held := len(b.robots[0].held); on != held || held < 2 {
		t.Errorf("%d pieces lie there, %d are held", on, held)
	}
}
