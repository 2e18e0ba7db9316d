package picture

import (
	"bytes"
	"encoding/xml"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/scene/scenetest"
)

func wholeRun() *scene.Scene {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 20, Robots: 2, Drift: 0.15, Events: 20}.Record()
	return scene.Build(scene.Input{Field: f, Record: rec, Options: scene.Options{Whole: true, Show: scene.Everything}})
}

func oddField() *scene.Scene {
	f := scenetest.Hook()
	return scene.Build(scene.Input{Field: f, Record: scenetest.Run{Field: f, Seconds: 8, Robots: 3, Drift: 4,
		Long: true}.Record(), T: 6})
}

func TestTheSameSceneGivesTheSameBytes(t *testing.T) {
	for name, write := range map[string]func(io.Writer, Drawing, int) error{"png": WritePNG, "svg": WriteSVG} {
		var first, second bytes.Buffer
		for _, out := range []*bytes.Buffer{&first, &second} {
			if err := write(out, Of(wholeRun(), 700), 700); err != nil { // built anew, too
				t.Fatal(err)
			}
		}
		if !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Errorf("%s: two writings of one scene differ", name)
		}
	}
}

func TestPNGIsAsWideAsAsked(t *testing.T) {
	for _, width := range []int{200, 333, 601, 1200, 1501} {
		img := pixels(t, oddField(), width)
		if got := img.Bounds().Dx(); got != width {
			t.Errorf("%d pixels wide, want %d", got, width)
		}
		corner := img.Bounds().Max
		for _, at := range []image.Point{{}, {X: corner.X - 1}, {Y: corner.Y - 1}, {X: corner.X - 1, Y: corner.Y - 1}} {
			if got := color.NRGBAModel.Convert(img.At(at.X, at.Y)); got != scene.Slate {
				t.Errorf("width %d: corner %v is %v, want the page's ground", width, at, got)
			}
		}
	}
}

func pixels(t *testing.T, s *scene.Scene, width int) *image.RGBA {
	t.Helper()
	var out bytes.Buffer
	if err := WritePNG(&out, Of(s, width), width); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	opaque, is := img.(*image.RGBA)
	if !is {
		t.Fatalf("the picture decodes as %T: it is not opaque", img)
	}
	return opaque
}

// What a text says it stands on (the check of contrast goes by it) is what is most seen around its letters, and the
// colour of its letters is there too.
func TestTextStandsOnTheGroundThatItNames(t *testing.T) {
	for name, s := range map[string]*scene.Scene{"whole run": wholeRun(), "odd field": oddField()} {
		img := pixels(t, s, 1200)
		var r paint.Recorder
		NewPage(s, 1200).Draw(&r)
		if len(r.Texts) < 50 {
			t.Fatalf("%s: only %d texts", name, len(r.Texts))
		}
		for _, text := range r.Texts {
			if text.Words == "" {
				continue
			}
			box := text.Box()
			seen, nearest := map[color.NRGBA]int{}, math.Inf(1)
			for y := int(math.Ceil(box.Top)); y < int(box.Bottom); y++ {
				for x := int(math.Ceil(box.Left)); x < int(box.Right); x++ {
					c := color.NRGBA(img.RGBAAt(x, y)) // the same, because the picture is opaque
					seen[c]++
					nearest = math.Min(nearest, apart(c, text.Colour))
				}
			}
			most := text.On
			for c, n := range seen {
				if n > seen[most] {
					most = c
				}
			}
			if most != text.On {
				t.Errorf("%s: %q stands on %v, not on %v", name, text.Words, most, text.On)
			}
			if nearest > 60 { // thin strokes are mixed with the ground at their edges
				t.Errorf("%s: no pixel of %q is near its colour %v (nearest %.0f off)", name, text.Words, text.Colour, nearest)
			}
		}
	}
}

func apart(a, b color.NRGBA) float64 {
	d := func(x, y uint8) float64 { return math.Abs(float64(x) - float64(y)) }
	return math.Max(d(a.R, b.R), math.Max(d(a.G, b.G), d(a.B, b.B)))
}

// A robot that leaves the field must not be drawn over the page around it.
func TestNothingIsDrawnBesideTheFieldsPart(t *testing.T) {
	f := scenetest.Hook()
	s := scene.Build(scene.Input{Field: f, Record: scenetest.Run{Field: f, Seconds: 8, Robots: 3}.Record(),
		Options: scene.Options{Whole: true}})
	view := NewPage(s, 1200).View
	img := pixels(t, s, 1200)
	y := int(view.Area.Top) - 3 // between the heading and the field: nothing stands there
	for x := range 1200 {
		if got := color.NRGBA(img.RGBAAt(x, y)); got != scene.Slate {
			t.Fatalf("pixel %d, %d is %v, want the page's ground", x, y, got)
		}
	}
}

// Words that begin and end with H have ink from its left to its right edge: their measured width less what an H alone
// has beside its ink.
func TestLettersStandWhereTheyWereMeasured(t *testing.T) {
	for _, bold := range []bool{false, true} {
		ink := func(words string) float64 {
			r := newRaster(1400, 160, 1)
			r.Text(paint.Text{Words: words, At: geom.Vec{X: 20, Y: 120}, Size: 100, Bold: bold, Colour: scene.Chalk})
			left, right := math.Inf(1), 0.0
			for x := range 1400 {
				most := 0
				for y := range 160 {
					most = max(most, int(r.to.RGBAAt(x, y).A))
				}
				if most > 0 { // the share of a column that is covered is the place of an upright edge in it
					left, right = math.Min(left, float64(x+1)-float64(most)/255), float64(x)+float64(most)/255
				}
			}
			return right - left
		}
		bearings := paint.Width("H", 100, bold) - ink("H")
		for _, words := range []string{"HH", "Hauler to the rackH", "H12.34 m/sH", "HäöüßéЖH"} {
			// a letter stands to 1/64 pixel
			if got, want := ink(words), paint.Width(words, 100, bold)-bearings; math.Abs(got-want) > 0.3 {
				t.Errorf("bold %v, %q: %.2f of ink, want %.2f", bold, words, got, want)
			}
		}
	}
}

// All words of a picture are in its SVG as words, each as wide as it was measured, so that they can be searched and
// none grows into its neighbour, whatever fonts a reader has.
func TestSVGHoldsWordsAsWords(t *testing.T) {
	for name, d := range map[string]Drawing{"whole run": Of(wholeRun(), 1200), "odd field": Of(oddField(), 1200)} {
		var r paint.Recorder
		d.Draw(&r)
		var words []string
		for _, e := range elements(t, d) {
			if e.XMLName.Local != "text" {
				continue
			}
			words = append(words, e.Words)
			bold := e.Weight != ""
			if want := paint.Width(e.Words, e.Size, bold); math.Abs(e.Length-want) > 0.06 {
				t.Errorf("%s: %q is %g long, want %g", name, e.Words, e.Length, want)
			}
		}
		var want []string
		for _, text := range r.Texts {
			if text.Words != "" {
				want = append(want, text.Words)
			}
		}
		if !slices.Equal(words, want) {
			t.Errorf("%s: %d texts, want %d", name, len(words), len(want))
		}
	}
}

// element is one of an SVG's.
type element struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Words   string     `xml:",chardata"`
	Size    float64    `xml:"font-size,attr"`
	Length  float64    `xml:"textLength,attr"`
	Weight  string     `xml:"font-weight,attr"`
}

func elements(t *testing.T, d Drawing) []element {
	t.Helper()
	var out bytes.Buffer
	if err := WriteSVG(&out, d, 1200); err != nil {
		t.Fatal(err)
	}
	var root struct {
		XMLName xml.Name
		Inside  []element `xml:",any"`
	}
	if err := xml.Unmarshal(out.Bytes(), &root); err != nil {
		t.Fatal(err)
	}
	if root.XMLName != (xml.Name{Space: "http://www.w3.org/2000/svg", Local: "svg"}) {
		t.Errorf("the root is %v", root.XMLName)
	}
	return root.Inside
}

func TestSVGIsWellFormedAndOnItsOwn(t *testing.T) {
	for name, s := range map[string]*scene.Scene{"whole run": wholeRun(), "odd field": oddField()} {
		paths := 0
		for _, e := range elements(t, Of(s, 1200)) {
			switch e.XMLName.Local {
			case "path":
				paths++
			case "rect", "circle", "text":
			default:
				t.Errorf("%s: element %q may need something from outside", name, e.XMLName.Local)
			}
			for _, a := range e.Attrs {
				if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") || strings.Contains(a.Value, "url(") {
					t.Errorf("%s: attribute %s=%.60q", name, a.Name.Local, a.Value)
				}
			}
		}
		if paths < 200 {
			t.Errorf("%s: only %d paths", name, paths)
		}
	}
}

func TestWriteFileChoosesByExtension(t *testing.T) {
	dir := t.TempDir()
	for name, magic := range map[string]string{"a.png": "\x89PNG", "b.SVG": "<svg"} {
		path := filepath.Join(dir, name)
		if err := WriteFile(path, Of(oddField(), 480), 480); err != nil {
			t.Fatal(err)
		}
		content, err := os.ReadFile(path)
		if err != nil || !strings.HasPrefix(string(content), magic) {
			t.Errorf("%s begins with %.10q (%v)", name, content, err)
		}
	}
	for name, want := range map[string]string{
		"c.jpeg": "cannot write .jpeg pictures: use .png or .svg", "d": "needs the extension .png or .svg",
		"none/e.png": "no such file",
	} {
		err := WriteFile(filepath.Join(dir, name), Of(oddField(), 480), 480)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: error %v, want %q", name, err, want)
		}
	}
}

func TestAFailedWriteLeavesWhatWasThere(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.png")
	if err := os.WriteFile(path, []byte("before"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, width := range []int{0, -5, Narrowest - 1, Widest + 1} {
		if err := WriteFile(path, Of(oddField(), width), width); err == nil ||
			!strings.Contains(err.Error(), "write a width from 200 to 8000") {
			t.Errorf("width %d: error %v", width, err)
		}
	}
	entries, err := os.ReadDir(dir)
	content, _ := os.ReadFile(path)
	if err != nil || len(entries) != 1 || string(content) != "before" {
		t.Errorf("after failed writes: %v, %q", entries, content)
	}
}

func BenchmarkPNG1200(b *testing.B) {
	s := wholeRun()
	for b.Loop() {
		if err := WritePNG(io.Discard, Of(s, 1200), 1200); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSVG1200(b *testing.B) {
	s := wholeRun()
	for b.Loop() {
		if err := WriteSVG(io.Discard, Of(s, 1200), 1200); err != nil {
			b.Fatal(err)
		}
	}
}
