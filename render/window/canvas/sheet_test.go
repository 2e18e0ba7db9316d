package canvas

import (
	"image"
	"slices"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// patched is what is drawn of a frame after one that was drawn before, both 320 x 320 pixels: the tiles are 32 wide.
func patched(t *testing.T, before, after func(*Pen)) []image.Rectangle {
	t.Helper()
	p := begun(t, 1)
	picture := ebiten.NewImage(320, 320)
	p.BeginAgain(picture, 1)
	before(p)
	p.End()
	p.BeginAgain(picture, 1)
	after(p)
	p.sheet.take(&p.Drawing)
	return p.sheet.patches()
}

func TestOnlyWhatDiffersIsDrawn(t *testing.T) {
	ground := func(p *Pen) { p.Rect(0, 0, 320, 320, red) }
	disc := func(x float64) func(*Pen) {
		return func(p *Pen) {
			ground(p)
			p.Disc(geom.Vec{X: x, Y: 48}, 10, red)
		}
	}
	words := func(text string) func(*Pen) {
		return func(p *Pen) {
			ground(p)
			p.Write(text, 36, 90, Plain, 13, red)
		}
	}
	way := func(n int) func(*Pen) {
		return func(p *Pen) {
			var line []geom.Vec
			for i := range n {
				line = append(line, geom.Vec{X: 10 + 3*float64(i), Y: 16})
			}
			p.Stroke([][]geom.Vec{line}, false, 2, red)
		}
	}
	tiles := func(x0, y0, x1, y1 int) image.Rectangle { return image.Rect(32*x0, 32*y0, 32*x1, 32*y1) }
	for name, c := range map[string]struct {
		before, after func(*Pen)
		want          []image.Rectangle
	}{
		"the same":          {disc(48), disc(48), nil},
		"moved":             {disc(48), disc(112), []image.Rectangle{tiles(1, 1, 2, 2), tiles(3, 1, 4, 2)}},
		"gone":              {disc(48), ground, []image.Rectangle{tiles(1, 1, 2, 2)}},
		"over a border":     {ground, disc(64), []image.Rectangle{tiles(1, 1, 3, 2)}},
		"other words":       {words("1.2"), words("1.3"), []image.Rectangle{tiles(0, 2, 4, 4)}},
		"a line that grows": {way(65), way(70), []image.Rectangle{tiles(6, 0, 7, 1)}},
		"of another colour": {ground, func(p *Pen) { p.Rect(0, 0, 320, 320, blue) }, []image.Rectangle{tiles(0, 0, 10, 10)}},
		"clipped elsewhere": {clipped(0), clipped(32), []image.Rectangle{tiles(0, 0, 2, 1)}},
		"taller than a tile": {ground, func(p *Pen) { ground(p); p.Rect(33, 33, 5, 90, blue) },
			[]image.Rectangle{tiles(1, 1, 2, 4)}},
	} {
		if got := patched(t, c.before, c.after); !slices.Equal(got, c.want) {
			t.Errorf("%s: drawn in %v, want %v", name, got, c.want)
		}
	}
}

// What is kept and drawn again is as what is drawn now: no tile differs, and of a change those that have it.
func TestWhatIsKeptIsAsIfDrawnNow(t *testing.T) {
	ground := func(p *Pen) {
		p.Rect(0, 0, 320, 320, red)
		p.Clip(0, 64, 320, 64)
		p.Write("kept", 36, 90, Plain, 13, blue)
		p.Disc(geom.Vec{X: 48, Y: 80}, 10, blue)
		p.Unclip()
	}
	disc := func(p *Pen) { p.Disc(geom.Vec{X: 240, Y: 240}, 10, blue) }
	kept := func(draw func(*Pen)) func(*Pen) {
		return func(p *Pen) {
			var d Drawing
			p.Keep(&d, func() { draw(p) })
			p.Again(&d)
		}
	}
	if got := patched(t, ground, kept(ground)); got != nil {
		t.Errorf("kept it differs in %v", got)
	}
	if got := patched(t, kept(ground), kept(kept(ground))); got != nil {
		t.Errorf("kept within what is kept it differs in %v", got)
	}
	both := func(p *Pen) { ground(p); disc(p) }
	want := patched(t, ground, both)
	if got := patched(t, kept(ground), kept(both)); len(want) != 1 || !slices.Equal(got, want) {
		t.Errorf("with a disc more it differs in %v, want %v", got, want)
	}
	hidden := func(p *Pen) {
		ground(p)
		p.Keep(&Drawing{}, func() { disc(p) })
	}
	if got := patched(t, ground, hidden); got != nil {
		t.Errorf("what is kept and not drawn shows in %v", got)
	}
}

var blue = scene.Colour{B: 255, A: 255}

func clipped(x float64) func(*Pen) {
	return func(p *Pen) {
		p.Clip(x, 0, 32, 32)
		p.Rect(0, 0, 320, 320, red)
		p.Unclip()
	}
}

// In a picture of another size, and after Forget, everything is drawn.
func TestAllIsDrawnWhereNothingIsKnown(t *testing.T) {
	p := begun(t, 1)
	first, second := ebiten.NewImage(64, 64), ebiten.NewImage(64, 64)
	for name, to := range map[string]*ebiten.Image{"another": second, "the first": first} {
		p.BeginAgain(to, 1)
		if got := p.sheet.patches(); len(got) != 1 || got[0] != image.Rect(0, 0, 64, 64) {
			t.Errorf("%s: %v", name, got)
		}
		p.End()
	}
	p.Forget()
	p.BeginAgain(first, 1)
	if got := p.sheet.patches(); len(got) != 1 {
		t.Errorf("forgotten: %v", got)
	}
}

// Many pieces are drawn as one.
func TestManyPatchesBecomeOne(t *testing.T) {
	got := patched(t, func(*Pen) {}, func(p *Pen) {
		for y := 0; y < 10; y++ {
			for x := y % 2; x < 10; x += 2 {
				p.Rect(float64(32*x), float64(32*y), 1, 1, red)
			}
		}
	})
	if len(got) != 1 || got[0] != image.Rect(0, 0, 320, 320) {
		t.Errorf("%v", got)
	}
}
