package webpage

import (
	"fmt"
	"html/template"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// way is one rehearsal's path on the field picture.
type way struct {
	class  string // its look, from the style sheet
	points []geom.Vec
	letter string // by which the key calls it; "": none
}

// spot is a place on the field picture, with the number by which the text calls it.
type spot struct {
	at     geom.Vec
	number int // 0: a mark without a number
}

// fieldPicture is the field with ways and spots on it, in two sizes: letters do not shrink with the picture, so a phone
// gets one of its own. The ways are written once and used by both.
type fieldPicture struct {
	id    string // tells the page's pictures apart
	half  bool   // it stands beside another one: the phone's size everywhere
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

// inBothSizes is a drawing for a desk and for a phone. Its words are escaped where they are written.
func inBothSizes(draw func(width float64) picture.Drawing) template.HTML {
	out := &picture.SVG{}
	for _, size := range []struct {
		class string
		width float64
	}{{"field wide", widePicture}, {"field narrow", narrowPicture}} {
		d := draw(size.width)
		out.Begin(d.Width, d.Height, `class="`+size.class+`"`, d.Title, d.Ground)
		d.Draw(out)
		out.End()
	}
	return template.HTML(out.String())
}

// mostWays is how many paths are drawn; more only make a browser slow.
const mostWays = 500

func (f fieldPicture) svg() template.HTML {
	out := &picture.SVG{}
	out.WriteString(`<svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs>`)
	f.writeWays(out)
	out.WriteString(`</defs></svg>`)
	if f.half {
		f.write(out, "field", narrowPicture)
	} else {
		f.write(out, "field wide", widePicture)
		f.write(out, "field narrow", narrowPicture)
	}
	return template.HTML(out.String()) // every text in it is escaped where it is written
}

// writeWays writes the paths in millimetres, y down.
func (f fieldPicture) writeWays(out *picture.SVG) {
	count := map[string]int{}
	for _, w := range f.ways {
		count[w.class]++
	}
	fmt.Fprintf(out, `<g id="ways%s">`, f.id)
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

// bareShow is a field without a run.
const bareShow = scene.Floor | scene.Zones | scene.Lines | scene.Walls | scene.Goals | scene.Pieces | scene.Labels

// write writes one picture: the ground, the ways, then marks and letters on top.
func (f fieldPicture) write(out *picture.SVG, class string, width float64) {
	s := scene.Build(scene.Input{Field: f.field, Options: scene.Options{Show: bareShow}})
	view, height := fitted(s, width)
	out.Begin(width, height, fmt.Sprintf(`class="%s"`, class), f.title, s.Ground)
	marks, letters := *s, *s
	marks.Layers, letters.Layers = []scene.Layer{f.marks()}, nil
	for _, layer := range s.Layers {
		letters.Layers = append(letters.Layers, scene.Layer{Overlay: layer.Overlay, Items: layer.Items, Labels: named(layer)})
	}
	letters.Layers = append(letters.Layers, f.avoided(), marks.Layers[0])
	var drawer paint.Drawer
	drawer.Items(out, s, view)
	fmt.Fprintf(out, `<use href="#ways%s" transform="translate(%s %s) scale(%.5f)"/>`, f.id,
		picture.Short(view.Origin.X), picture.Short(view.Origin.Y), view.Scale/1000)
	drawer.Items(out, &marks, view)
	drawer.Labels(out, &letters, view)
	out.End()
}

// fitted is the view that shows a scene at a width, and the picture's height.
func fitted(s *scene.Scene, width float64) (view paint.View, height float64) {
	height = width * (s.High.Y - s.Low.Y) / (s.High.X - s.Low.X)
	return paint.FitView(s.Low, s.High, paint.Box{Right: width, Bottom: height}), height
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

// mostAvoided is how many paths letters keep off: beyond that the paths would push letters far from what they name.
const mostAvoided = 12

// avoided is the paths that letters keep off, with the letters of those that have one.
func (f fieldPicture) avoided() scene.Layer {
	layer := scene.Layer{Overlay: scene.Trail}
	for i := range min(mostAvoided, len(f.ways)) {
		w := f.ways[i*len(f.ways)/min(mostAvoided, len(f.ways))]
		layer.Items = append(layer.Items, scene.Item{Kind: scene.Line, Points: w.points, Avoid: true})
	}
	for i, w := range f.ways {
		if w.letter != "" {
			layer.Labels = append(layer.Labels, scene.Label{
				Words: w.letter, At: f.loneliest(i), Clear: scene.Size{Pixels: 3}, Size: 14, Bold: true, Colour: scene.Chalk,
				Rank: scene.RankEvent,
			})
		}
	}
	return layer
}

// loneliest is the point of a way that is farthest from all others: there a letter tells best whose it is.
func (f fieldPicture) loneliest(own int) geom.Vec {
	best, room := f.ways[own].points[0], -1.0
	for _, at := range f.ways[own].points {
		near := math.Inf(1)
		for i, other := range f.ways {
			for k := 1; i != own && k < len(other.points); k++ {
				near = math.Min(near, geom.DistanceToSegment(at, other.points[k-1], other.points[k]))
			}
		}
		if near > room {
			best, room = at, near
		}
	}
	return best
}

// marks draws the spots: a cross each, and the number of each group once.
func (f fieldPicture) marks() scene.Layer {
	layer := scene.Layer{Overlay: scene.Events}
	named := map[int]bool{}
	for _, s := range f.spots {
		layer.Items = append(layer.Items, scene.Item{
			Kind: scene.Mark, Shape: scene.Cross, At: s.at, Radius: scene.Size{Pixels: 6}, Fill: troubleColour,
			Pen: scene.Pen{Width: 1, Colour: scene.Slate}, Avoid: true,
		})
		if s.number > 0 && !named[s.number] {
			named[s.number] = true
			layer.Labels = append(layer.Labels, scene.Label{
				Number: s.number, Words: fmt.Sprint(s.number), At: s.at, Clear: scene.Size{Pixels: 6}, Size: 14, Bold: true,
				Colour: scene.Chalk, Rank: scene.RankEvent,
			})
		}
	}
	return layer
}

// troubleColour is of what went wrong, beside the accent of what went well: lighter or darker in grey too, and never
// the only sign.
var troubleColour = scene.Colour{R: 0xff, G: 0x9e, B: 0x7a, A: 0xff}
