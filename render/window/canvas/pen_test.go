package canvas

import (
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// begun is a pen at work; without a display nothing comes of the pixels, but what it hands over is known.
func begun(t *testing.T, scale float64) *Pen {
	t.Helper()
	p, err := NewPen()
	if err != nil {
		t.Fatal(err)
	}
	p.Begin(ebiten.NewImage(400, 300), scale)
	return p
}

var red = scene.Colour{R: 255, A: 255}

// area is the area of the triangles gathered, pixels, each counted by the mean of its corners' cover.
func (p *Pen) area() float64 {
	var sum float64
	for i := 0; i+2 < len(p.indices); i += 3 {
		a, b, c := p.vertices[p.indices[i]], p.vertices[p.indices[i+1]], p.vertices[p.indices[i+2]]
		twice := float64((b.DstX-a.DstX)*(c.DstY-a.DstY) - (b.DstY-a.DstY)*(c.DstX-a.DstX))
		cover := float64(a.ColorA+b.ColorA+c.ColorA) / 3
		sum += max(twice, -twice) / 2 * cover
	}
	return sum
}

// What is inked is as much as the shape has, whatever its form: the fringe takes inside what it gives outside.
func TestShapesCoverTheirArea(t *testing.T) {
	for name, c := range map[string]struct {
		draw func(*Pen)
		want float64 // square points
		off  float64 // share
	}{
		"rectangle": {func(p *Pen) { p.Rect(10, 20, 60, 40, red) }, 2400, 0.001},
		"square": {func(p *Pen) {
			p.Fill([]geom.Vec{{X: 10, Y: 10}, {X: 60, Y: 10}, {X: 60, Y: 60},
				{X: 10, Y: 60}}, red)
		}, 2500, 0.01},
		"the same, turned": {func(p *Pen) {
			p.Fill([]geom.Vec{{X: 10, Y: 60}, {X: 60, Y: 60}, {X: 60, Y: 10},
				{X: 10, Y: 10}}, red)
		}, 2500, 0.01},
		"bent": {func(p *Pen) {
			p.Fill([]geom.Vec{{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 100, Y: 100}, {X: 50, Y: 30}, {X: 0, Y: 100}}, red)
		}, 6500, 0.02},
		"disc":     {func(p *Pen) { p.Disc(geom.Vec{X: 100, Y: 100}, 40, red) }, 5026.5, 0.01},
		"ring":     {func(p *Pen) { p.Ring(geom.Vec{X: 100, Y: 100}, 40, 4, red) }, 1005.3, 0.02},
		"line":     {func(p *Pen) { p.Segment(10, 10, 110, 10, 4, red) }, 400, 0.02},
		"hairline": {func(p *Pen) { p.Segment(10, 10, 110, 10, 0.2, red) }, 20, 0.06},
		"outline": {func(p *Pen) {
			p.Stroke([][]geom.Vec{{{X: 10, Y: 10}, {X: 110, Y: 10}, {X: 110, Y: 110}, {X: 10, Y: 110}}}, true, 3, red)
		}, 1200, 0.02},
		"nothing": {func(p *Pen) {
			p.Fill([]geom.Vec{{X: 1}, {X: 2}}, red)
			p.Stroke([][]geom.Vec{{{X: 1}}}, false, 3, red)
			p.Segment(0, 0, 10, 0, 0, red)
		}, 0, 0},
	} {
		for _, scale := range []float64{1, 2} {
			p := begun(t, scale)
			c.draw(p)
			got := p.area() / scale / scale
			if d := got - c.want; d > c.off*c.want || -d > c.off*c.want {
				t.Errorf("%s at %g pixels a point: %.1f square points, want %.1f", name, scale, got, c.want)
			}
			p.Flush()
			if len(p.vertices) != 0 || len(p.indices) != 0 {
				t.Errorf("%s: %d corners stay after the hand-over", name, len(p.vertices))
			}
		}
	}
}

// Clip draws on a part of the picture, in whole pixels that take all of it in; Unclip on all of it again.
func TestClipTakesAPartOfThePicture(t *testing.T) {
	p := begun(t, 1.5)
	p.Clip(10.1, 20, 100, 50)
	if got := p.target.Bounds(); got.Min.X != 15 || got.Min.Y != 30 || got.Max.X != 166 || got.Max.Y != 105 {
		t.Errorf("clipped to %v", got)
	}
	p.Rect(0, 0, 400, 300, red)
	p.Unclip()
	if p.target != p.whole || len(p.vertices) != 0 {
		t.Error("the whole picture is not drawn on again")
	}
}

// Words go after the shapes under them, in every face, and a face of a size is made once.
func TestWordsComeAfterWhatIsUnderThem(t *testing.T) {
	p := begun(t, 1)
	p.Rect(0, 0, 50, 20, red)
	p.Write("", 0, 10, Plain, 13, red)
	if len(p.vertices) == 0 {
		t.Error("no words, yet the shapes were handed over")
	}
	p.Text(paint.Text{Words: "bold", At: geom.Vec{X: 4, Y: 10}, Size: 13, Bold: true, Colour: red})
	if len(p.vertices) != 0 {
		t.Error("the shapes under the words are still waiting")
	}
	for range 2 {
		for _, kind := range []Type{Plain, Bold, Mono, MonoBold} {
			p.Write("words Ж", 4, 10, kind, 13, red)
		}
	}
	p.Text(paint.Text{Words: "plain", At: geom.Vec{X: 4, Y: 10}, Size: 13, Colour: red})
	if len(p.faces.made) != 4 {
		t.Errorf("%d faces of one size, want 4", len(p.faces.made))
	}
}
