package webpage

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// way is one rehearsal's path on the field picture.
type way struct {
	class  string // its look, from the style sheet
	points []geom.Vec
}

// spot is a place on the field picture, with the number by which the text calls it.
type spot struct {
	at     geom.Vec
	number int // 0: a mark without a number
}

// fieldPicture is the field with ways and spots on it, in two sizes: letters do not shrink with the picture, so a phone gets
// one of its own. The ways are written once and used by both.
type fieldPicture struct {
	field *fields.Field
	ways  []way
	spots []spot
	title string
}

// The widths, in pixels, for which the two pictures place their letters.
const (
	widePicture   = 960
	narrowPicture = 400
)

// mostWays is how many paths are drawn; more only make a browser slow.
const mostWays = 500

func (f fieldPicture) svg() template.HTML {
	out := &strings.Builder{}
	out.WriteString(`<svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs>`)
	f.writeWays(out)
	out.WriteString(`</defs></svg>`)
	f.write(out, "wide", widePicture)
	f.write(out, "narrow", narrowPicture)
	return template.HTML(out.String()) // every text in it is escaped where it is written
}

// writeWays writes the paths in millimetres, y down.
func (f fieldPicture) writeWays(out *strings.Builder) {
	count := map[string]int{}
	for _, w := range f.ways {
		count[w.class]++
	}
	out.WriteString(`<g id="ways">`)
	for _, w := range f.ways {
		fmt.Fprintf(out, `<path class="way %s" stroke-opacity="%.2f" d="`, w.class, opacity(count[w.class]))
		for i, v := range w.points {
			letter := "L"
			if i == 0 {
				letter = "M"
			}
			fmt.Fprintf(out, "%s%.0f %.0f", letter, 1000*v.X, -1000*v.Y)
		}
		out.WriteString(`"/>`)
	}
	out.WriteString(`</g>`)
}

// opacity lets many paths of a kind lie over each other without becoming one blot.
func opacity(paths int) float64 { return math.Max(0.1, math.Min(1, 15/float64(paths))) }

// write writes one picture: the ground, the ways, then marks and letters on top.
func (f fieldPicture) write(out *strings.Builder, class string, width float64) {
	s := scene.Build(scene.Input{Field: f.field, Options: scene.Options{Show: scene.Floor | scene.Zones | scene.Lines | scene.Walls | scene.Goals | scene.Pieces | scene.Labels}})
	height := width * (s.High.Y - s.Low.Y) / (s.High.X - s.Low.X)
	view := paint.FitView(s.Low, s.High, paint.Box{Right: width, Bottom: height})
	fmt.Fprintf(out, `<svg class="field %s" viewBox="0 0 %s %s" role="img" aria-label="%s" stroke-linecap="round" stroke-linejoin="round">`,
		class, short(width), short(height), template.HTMLEscapeString(f.title))
	fmt.Fprintf(out, `<rect width="100%%" height="100%%" %s/>`, fill(s.Ground))
	ground, letters := *s, *s
	ground.Layers, letters.Layers = nil, nil
	for _, layer := range s.Layers {
		ground.Layers = append(ground.Layers, scene.Layer{Overlay: layer.Overlay, Items: layer.Items})
		letters.Layers = append(letters.Layers, scene.Layer{Overlay: layer.Overlay, Labels: named(layer)})
	}
	letters.Layers = append(letters.Layers, f.marks())
	var drawer paint.Drawer
	drawer.Draw(ink{out}, &ground, view)
	fmt.Fprintf(out, `<use href="#ways" transform="translate(%s %s) scale(%.5f)"/>`, short(view.Origin.X), short(view.Origin.Y), view.Scale/1000)
	drawer.Draw(ink{out}, &letters, view)
	out.WriteString(`</svg>`)
}

// named leaves the names of zones and goals; a piece's name is lost among many paths.
func named(layer scene.Layer) []scene.Label {
	var kept []scene.Label
	for _, l := range layer.Labels {
		if l.Rank == scene.RankZone || l.Rank == scene.RankGoal {
			kept = append(kept, l)
		}
	}
	return kept
}

// marks draws the spots: a cross each, and the number of each group once.
func (f fieldPicture) marks() scene.Layer {
	layer := scene.Layer{Overlay: scene.Events}
	named := map[int]bool{}
	for _, s := range f.spots {
		layer.Items = append(layer.Items, scene.Item{
			Kind: scene.Mark, Shape: scene.Cross, At: s.at, Radius: scene.Size{Pixels: 4.5}, Fill: troubleColour, Pen: scene.Pen{Width: 1, Colour: scene.Slate},
		})
		if s.number > 0 && !named[s.number] {
			named[s.number] = true
			layer.Labels = append(layer.Labels, scene.Label{
				Number: s.number, Words: fmt.Sprint(s.number), At: s.at, Clear: scene.Size{Pixels: 6}, Size: 14, Bold: true, Colour: scene.Chalk, Rank: scene.RankEvent,
			})
		}
	}
	return layer
}

// troubleColour is of what went wrong, beside the accent of what went well: lighter or darker in grey too, and never the
// only sign.
var troubleColour = scene.Colour{R: 0xff, G: 0x9e, B: 0x7a, A: 0xff}
