package paint_test

import (
	"fmt"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/scene/scenetest"
	"pgregory.net/rapid"
)

// texts draws a scene and gives its labels.
func texts(s *scene.Scene, v paint.View) []paint.Text {
	var r paint.Recorder
	var d paint.Drawer
	d.Draw(&r, s, v)
	return r.Texts
}

func check(t interface{ Fatalf(string, ...any) }, texts []paint.Text, area paint.Box) {
	for i, a := range texts {
		if !a.Box().Within(area) {
			t.Fatalf("%q at %+v reaches out of %+v", a.Words, a.Box(), area)
		}
		for _, b := range texts[:i] {
			if a.Box().Meets(b.Box()) {
				t.Fatalf("%q at %+v lies over %q at %+v", a.Words, a.Box(), b.Words, b.Box())
			}
		}
	}
}

func TestLabelsNeverMeetNorLeaveTheArea(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		area := paint.Box{Left: 40, Top: 30, Right: 40 + rapid.Float64Range(50, 900).Draw(t, "width"), Bottom: 30 +
			rapid.Float64Range(50, 700).Draw(t, "height")}
		layer := scene.Layer{}
		for i := range rapid.IntRange(0, 80).Draw(t, "labels") {
			l := scene.Label{At: geom.Vec{X: rapid.Float64Range(-0.2, 4.2).Draw(t, "x"),
				Y: rapid.Float64Range(-0.2, 3.2).Draw(t, "y")},
				Size: 12, Rank: scene.Rank(i % 5), Centred: i%7 == 0, Mark: scene.Shape(i % 4)}
			if i%3 == 0 {
				l.Number = i + 1
			} else {
				l.Words = fmt.Sprintf("label %d", i*i*i)
			}
			layer.Labels = append(layer.Labels, l)
		}
		s := &scene.Scene{Layers: []scene.Layer{layer}}
		check(t, texts(s, paint.FitView(geom.Vec{}, geom.Vec{X: 4, Y: 3}, area)), area)
	})
}

// What will be covered afterwards has no label, not half of one.
func TestLabelsKeepOffWhatWillBeCovered(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		area := paint.Box{Right: 500, Bottom: 300}
		left, top := rapid.Float64Range(0, 400).Draw(t, "left"), rapid.Float64Range(0, 250).Draw(t, "top")
		cover := paint.Box{Left: left, Top: top, Right: left + rapid.Float64Range(20, 300).Draw(t, "width"), Bottom: top + 80}
		layer := scene.Layer{}
		for i := range 40 {
			l := scene.Label{At: geom.Vec{X: rapid.Float64Range(0, 4).Draw(t, "x"), Y: rapid.Float64Range(0, 3).Draw(t, "y")},
				Size: 12, Rank: scene.Rank(i % 5), Centred: i%7 == 0, Words: fmt.Sprintf("label %d", i)}
			if i%5 == 0 {
				l.Beside = geom.Vec{Y: 1}
			}
			layer.Labels = append(layer.Labels, l)
		}
		var r paint.Recorder
		d := paint.Drawer{Covered: []paint.Box{cover}}
		d.Draw(&r, &scene.Scene{Layers: []scene.Layer{layer}}, paint.FitView(geom.Vec{}, geom.Vec{X: 4, Y: 3}, area))
		if len(r.Texts) == 0 {
			t.Fatalf("no label is left")
		}
		for _, text := range r.Texts {
			if text.Box().Meets(cover) {
				t.Fatalf("%q at %+v meets what covers it, %+v", text.Words, text.Box(), cover)
			}
		}
	})
}

func TestALonelyLabelIsPlacedBesideItsThing(t *testing.T) {
	area := paint.Box{Right: 400, Bottom: 300}
	v := paint.FitView(geom.Vec{}, geom.Vec{X: 4, Y: 3}, area)
	at := geom.Vec{X: 2, Y: 1.5}
	s := &scene.Scene{Layers: []scene.Layer{{Labels: []scene.Label{{Words: "goal", At: at, Clear: scene.Size{Pixels: 20},
		Size: 12}}}}}
	got := texts(s, v)
	if len(got) != 1 {
		t.Fatalf("%d labels, want 1", len(got))
	}
	box, pixel := got[0].Box(), v.Pixel(at)
	if box.Meets(paint.Box{Left: pixel.X - 19, Right: pixel.X + 19, Top: pixel.Y - 19, Bottom: pixel.Y + 19}) {
		t.Errorf("the label at %+v covers its thing at %v", box, pixel)
	}
	if far := box.Left - pixel.X; far > 40 {
		t.Errorf("the label stands %v px off", far)
	}
}

// A zone's name stays on its zone, also on one that is narrower than the name: beside it the name could belong to
// anything. A piece in the zone moves it, no farther than within the zone.
func TestAZonesNameStaysOnItsZone(t *testing.T) {
	area := paint.Box{Right: 400, Bottom: 300}
	v := paint.FitView(geom.Vec{}, geom.Vec{X: 4, Y: 3}, area)
	at, half := geom.Vec{X: 2, Y: 1.5}, 0.35
	zone := scene.Layer{Labels: []scene.Label{{Words: "plum drying floor", At: at, Centred: true,
		Clear: scene.Size{Metres: half}, Size: 13, Rank: scene.RankZone}}}
	piece := scene.Layer{Items: []scene.Item{{Kind: scene.Disc, At: at, Radius: scene.Size{Metres: 0.06}, Avoid: true}}}
	for name, layers := range map[string][]scene.Layer{"empty": {zone}, "with a piece": {zone, piece}} {
		got := texts(&scene.Scene{Layers: layers}, v)
		if len(got) != 1 {
			t.Fatalf("%s: %d labels, want 1", name, len(got))
		}
		box, pixel := got[0].Box(), v.Pixel(at)
		if box.Width() < 2*half*v.Scale {
			t.Fatalf("%s: the name is no wider than the zone: nothing is tested", name)
		}
		if box.Top < pixel.Y-half*v.Scale || box.Bottom > pixel.Y+half*v.Scale || box.Left > pixel.X || box.Right < pixel.X {
			t.Errorf("%s: the name at %+v is off its zone about %v", name, box, pixel)
		}
		if covered := box.Top < pixel.Y+4 && box.Bottom > pixel.Y-4; covered != (name == "empty") {
			t.Errorf("%s: the name at %+v, the middle at %v", name, box, pixel)
		}
	}
}

func TestALabelWithoutRoomIsLeftOut(t *testing.T) {
	area := paint.Box{Right: 60, Bottom: 40}
	s := &scene.Scene{Layers: []scene.Layer{{Labels: []scene.Label{{Words: "much too long for this", Size: 12},
		{Words: "fits", Size: 12, At: geom.Vec{X: 0.5, Y: 0.5}, Centred: true}}}}}
	got := texts(s, paint.FitView(geom.Vec{}, geom.Vec{X: 1, Y: 1}, area))
	if len(got) != 1 || got[0].Words != "fits" {
		t.Errorf("labels: %+v", got)
	}
}

func TestNumbersOfOnePlaceShareALabel(t *testing.T) {
	for _, c := range []struct {
		numbers []int
		want    string
	}{
		{[]int{4}, "4"}, {[]int{4, 5}, "4, 5"}, {[]int{6, 4, 5, 7}, "4-7"}, {[]int{1, 3, 4, 5, 9}, "1, 3-5, 9"},
		{[]int{1, 3, 5, 7, 8, 20}, "1, 3, 5 +3"},
	} {
		var layer scene.Layer
		for _, n := range c.numbers {
			layer.Labels = append(layer.Labels, scene.Label{Number: n, Size: 12, At: geom.Vec{X: 0.5, Y: 0.5}})
		}
		got := texts(&scene.Scene{Layers: []scene.Layer{layer}}, paint.FitView(geom.Vec{}, geom.Vec{X: 1, Y: 1},
			paint.Box{Right: 300, Bottom: 300}))
		if len(got) != 1 || got[0].Words != c.want {
			t.Errorf("%v: %+v, want %q", c.numbers, got, c.want)
		}
	}
}

// A Drawer that is kept must draw like a new one.
func TestAKeptDrawerDrawsTheSame(t *testing.T) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 10, Robots: 2, Drift: 0.2, Events: 60}.Record()
	var kept paint.Drawer
	var b scene.Builder
	for k := range 12 {
		s := b.Build(scene.Input{Field: f, Record: rec, T: float64(k*7%11) + 0.5,
			Options: scene.Options{Show: scene.Everything}})
		v := paint.FitView(s.Low, s.High, paint.Box{Right: 500 + 30*float64(k), Bottom: 500})
		var got, want paint.Recorder
		kept.Draw(&got, s, v)
		new(paint.Drawer).Draw(&want, s, v)
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("drawing %d differs", k)
		}
	}
}

// nothing is a painter without a cost of its own.
type nothing struct{}

func (nothing) Fill([]geom.Vec, scene.Colour)                    {}
func (nothing) Stroke([][]geom.Vec, bool, float64, scene.Colour) {}
func (nothing) Disc(geom.Vec, float64, scene.Colour)             {}
func (nothing) Ring(geom.Vec, float64, float64, scene.Colour)    {}
func (nothing) Text(paint.Text)                                  {}

func BenchmarkDraw(b *testing.B) {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 60, Robots: 4, Drift: 0.2, Events: 100}.Record()
	s := scene.Build(scene.Input{Field: f, Record: rec, T: 50, Options: scene.Options{Show: scene.Everything}})
	v := paint.FitView(s.Low, s.High, paint.Box{Right: 1200, Bottom: 900})
	var d paint.Drawer
	d.Draw(nothing{}, s, v)
	b.ReportAllocs()
	for b.Loop() {
		d.Draw(nothing{}, s, v)
	}
}

// A name steps back from a robot: to a place off it, by a line if need be; where there is none it is left
// out, and the robot's own name never is.
func TestNamesStepBackFromARobot(t *testing.T) {
	area := paint.Box{Right: 400, Bottom: 300}
	view := paint.View{Scale: 100, Origin: geom.Vec{Y: 300}, Area: area}
	robot := scene.Around{At: geom.Vec{X: 2, Y: 1.5}, Radius: 0.3}
	name := scene.Label{Words: "a sled", At: robot.At, Clear: scene.Size{Pixels: 2}, Size: 12, Colour: scene.Chalk,
		Rank: scene.RankGoal, Centred: true}
	drawn := func(l scene.Label, robots ...scene.Around) []paint.Text {
		t.Helper()
		var r paint.Recorder
		d := paint.Drawer{OffRobots: true}
		d.Draw(&r, &scene.Scene{Layers: []scene.Layer{{Labels: []scene.Label{l}}}, Robots: robots}, view)
		return r.Texts
	}
	about := paint.Box{Left: 170, Top: 120, Right: 230, Bottom: 180}
	if at := drawn(name); len(at) != 1 || !at[0].Box().Meets(about) {
		t.Errorf("without a robot it stands at %+v", at)
	}
	if at := drawn(name, robot); len(at) != 1 || at[0].Box().Meets(about) {
		t.Errorf("it stands at %+v", at)
	}
	wide := scene.Around{At: robot.At, Radius: 2.5}
	if at := drawn(name, wide); len(at) != 0 {
		t.Errorf("with nowhere to go it is drawn: %+v", at)
	}
	name.Rank = scene.RankRobot
	if at := drawn(name, wide); len(at) != 1 {
		t.Errorf("the robot's own name is drawn %d times", len(at))
	}
}

// The number at the end of an axis stands, though its middle would be too near to the edge.
func TestTheLastNumberOfAnAxisStands(t *testing.T) {
	area := paint.Box{Right: 400, Bottom: 300}
	view := paint.View{Scale: 100, Origin: geom.Vec{Y: 300}, Area: area}
	for _, l := range []scene.Label{{At: geom.Vec{X: 3.95, Y: 1}, Beside: geom.Vec{Y: 1}},
		{At: geom.Vec{X: 1, Y: 2.97}, Beside: geom.Vec{X: -1}}} {
		l.Words, l.Size, l.Colour, l.Rank = "4200", 11, scene.Dust, scene.RankGrid
		if got := texts(&scene.Scene{Layers: []scene.Layer{{Labels: []scene.Label{l}}}}, view); len(got) != 1 {
			t.Errorf("%v: %d numbers stand", l.At, len(got))
		}
	}
}
