package canvas

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/hajimehoshi/ebiten/v2/text/v2"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

var arrow = []geom.Vec{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 5, Y: 3}, {X: 0, Y: 10}}

func TestConvexTellsABentPolygonFromASquare(t *testing.T) {
	square := []geom.Vec{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}
	if !convex(square) || convex(arrow) {
		t.Errorf("square %v, arrow %v; want true, false", convex(square), convex(arrow))
	}
}

// Triangles of an ear cut have together the polygon's area (shoelace), and none turns the wrong way.
func TestEarsCoverThePolygon(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for trial := range 200 {
		n := 4 + trial%20
		star := make([]geom.Vec, n)
		for i := range star {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r := 1 + 9*random.Float64()
			star[i] = geom.Vec{X: r * c, Y: r * s}
		}
		var sum float64
		for _, cut := range ears(star) {
			area := cross(star[cut[0]], star[cut[1]], star[cut[2]])
			if area < 0 {
				t.Fatalf("trial %d: triangle %v turns the wrong way", trial, cut)
			}
			sum += area
		}
		if want := turning(star); math.Abs(sum-want) > 1e-9*want {
			t.Fatalf("trial %d: triangles cover %g of %g", trial, sum, want)
		}
	}
}

func TestEarsEndOnAPolygonThatCrossesItself(t *testing.T) {
	if got := ears([]geom.Vec{{X: 0, Y: 0}, {X: 10, Y: 10}, {X: 10, Y: 0}, {X: 0, Y: 10}, {X: 5, Y: -5}}); len(got) == 0 {
		t.Error("no triangles")
	}
}

// The miter of a right-angled corner moves both edges by one: it is (1, -1) long for edges going right, then down.
func TestMiterMovesBothEdgesByOne(t *testing.T) {
	got := miter(geom.Vec{X: 0, Y: 0}, geom.Vec{X: 10, Y: 0}, geom.Vec{X: 10, Y: 10})
	if math.Abs(got.X-1) > 1e-12 || math.Abs(got.Y+1) > 1e-12 {
		t.Errorf("got %v, want {1 -1}", got)
	}
	if got := miter(geom.Vec{X: 0, Y: 0}, geom.Vec{X: 10, Y: 0}, geom.Vec{X: 0, Y: 0}); math.Hypot(got.X, got.Y) > 1.0001 {
		t.Errorf("at a reversal the miter is %v: longer than the half width", got)
	}
}

func TestStrokeIsAsWideAsAsked(t *testing.T) {
	p := &Pen{Scale: 2}
	p.Segment(0, 10, 100, 10, 3, scene.Colour{A: 255}) // 6 px about y 20
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range p.vertices {
		if v.ColorA == 1 {
			low, high = math.Min(low, float64(v.DstY)), math.Max(high, float64(v.DstY))
		}
	}
	if low != 17.5 || high != 22.5 { // full cover, and half of the one-pixel fringe on both sides: 6 px
		t.Errorf("full cover from %g to %g px, want 17.5 to 22.5", low, high)
	}
}

// The width of the mono face is the font file's own.
func TestMonoWidthIsTheFonts(t *testing.T) {
	parsed, err := sfnt.Parse(gomono.TTF)
	if err != nil {
		t.Fatal(err)
	}
	var buffer sfnt.Buffer
	units := int(parsed.UnitsPerEm())
	for _, letter := range "iW0.~" {
		glyph, err := parsed.GlyphIndex(&buffer, letter)
		if err != nil {
			t.Fatal(err)
		}
		advance, err := parsed.GlyphAdvance(&buffer, glyph, fixed.I(units), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(advance.Round()) / float64(units); math.Abs(got-MonoWidth) > 1e-9 {
			t.Errorf("%q is %g em wide, want %g", letter, got, MonoWidth)
		}
	}
}

// Words are never drawn wider than the page planned for them (paint.Width), by more than a tenth of a letter, at any
// density of the screen.
func TestWordsAreDrawnWithinTheirPlannedWidth(t *testing.T) {
	faces, err := loadFaces()
	if err != nil {
		t.Fatal(err)
	}
	for scale := 0.75; scale < 4; scale += 0.05 {
		p := &Pen{Scale: scale, faces: faces}
		for _, size := range []float64{11, 12, 13, 16} {
			for kind, words := range map[Type]string{Plain: "Speed along the heading (mm/s)",
				Bold: "belief off 143 mm, 4.2 deg"} {
				drawn := text.Advance(words, p.face(kind, size)) / scale
				if planned := paint.Width(words, size, kind == Bold); drawn > planned+0.1*size {
					t.Fatalf("%q at %g pt, scale %g: drawn %g wide, planned %g", words, size, scale, drawn, planned)
				}
			}
			const code = "bot.drive:arcade(pad.left_y, pad.right_x)"
			if got, want := text.Advance(code, p.face(Mono, size))/scale,
				float64(len(code))*MonoAdvance(size, scale); math.Abs(got-want) > 0.05*size {
				t.Fatalf("mono at %g pt, scale %g: %g wide, planned %g", size, scale, got, want)
			}
		}
	}
}
