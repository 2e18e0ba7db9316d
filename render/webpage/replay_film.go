package webpage

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"reflect"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// replayLayers are the groups of the picture, the lowest first.
var replayLayers = []string{"goals", "pieces", "plan", "trail", "robots", "belief", "marks", "counts"}

// replayFilm makes a replay's data, sample by sample. All shapes come from the painter of the still pictures; the
// page's script only puts them where they are.
type replayFilm struct {
	in      scene.Input
	view    paint.View
	theme   paint.Theme
	builder scene.Builder
	drawer  paint.Drawer
	rows    []scene.EventRow
	ways    []scene.Way
	data    replayData
	sprites map[string]int
	looks   map[string]int
	things  []thingTrack
	lines   []int
	last    map[string]int // per list with steps, the sample of its last entry
}

// thingTrack is what a thing was like at its last entry.
type thingTrack struct {
	items          []scene.Item
	labels         []scene.Label
	look           int // -1: none yet
	place          [3]int
	looked, placed int // sample of the last entry
}

func newReplayFilm(in scene.Input, view paint.View, theme paint.Theme) *replayFilm {
	f := &replayFilm{in: in, view: view, theme: theme, sprites: map[string]int{}, looks: map[string]int{},
		last: map[string]int{}}
	f.in.Options = scene.Options{Show: replayEvents}
	if len(in.Record.Header.Robots) > 1 {
		f.in.Focus = -1
	}
	f.rows = slices.Clone(f.builder.Build(f.in).Furniture.AllEvents)
	f.ways = f.builder.Ways()
	f.in.Options = scene.Options{Show: replayMoving}
	f.data = replayData{Period: record.SamplePeriod, Samples: len(in.Record.Samples)}
	for _, phase := range in.Record.Header.Phases {
		f.data.Phases = append(f.data.Phases, phase.Name)
	}
	return f
}

// addLayer puts a layer on the page, with what it has from the beginning.
func (f *replayFilm) addLayer(p *replayPage, name string) {
	layer := replayLayer{Name: name}
	switch name {
	case "trail":
		layer.SVG = f.trails()
	case "marks":
		layer.SVG = f.marks()
	}
	p.Layers = append(p.Layers, layer)
}

// A stretch of a way is this long, s; of a dashed one longer, for its dashes begin anew.
const (
	stretchTime       = 0.1
	dashedStretchTime = 0.6
)

// trails draws the ways in stretches, in order of time.
func (f *replayFilm) trails() template.HTML {
	type stretch struct {
		until int
		svg   template.HTML
	}
	var all []stretch
	for _, way := range f.ways {
		long := stretchTime
		if way.Pen.Dash != scene.Solid {
			long = dashedStretchTime
		}
		for from := 0; from+1 < len(way.Points); {
			to := from + 1
			for to+1 < len(way.Points) && way.T[to+1] <= way.T[from]+long {
				to++
			}
			part := way.Item
			part.Points = way.Points[from : to+1]
			if way.Shades != nil {
				part.Shades = way.Shades[from : to+1]
			}
			all = append(all, stretch{f.sampleOf(way.T[to]), "<g>" + f.painted(part, f.view) + "</g>"})
			from = to
		}
	}
	slices.SortStableFunc(all, func(a, b stretch) int { return cmp.Compare(a.until, b.until) })
	var out template.HTML
	for _, s := range all {
		f.data.Trail = append(f.data.Trail, s.until)
		out += s.svg
	}
	return out
}

// marks draws the events that have a place.
func (f *replayFilm) marks() template.HTML {
	var out template.HTML
	for i := range f.rows {
		if row := &f.rows[i]; row.Placed {
			f.data.Marks = append(f.data.Marks, f.sampleOf(row.T))
			out += "<g>" + f.painted(row.Mark(), f.view) + "</g>"
		}
	}
	return out
}

// events are the rows of the list.
func (f *replayFilm) events() []replayEvent {
	var list []replayEvent
	for i := range f.rows {
		row := &f.rows[i]
		mark := row.Mark()
		f.data.Events = append(f.data.Events, f.sampleOf(row.T))
		list = append(list, replayEvent{Time: fmt.Sprintf("%.2f", row.T), Words: row.Words,
			Mark: legendSwatch(scene.LegendRow{Shape: mark.Shape, Fill: mark.Fill, Pen: mark.Pen}, f.theme)})
	}
	return list
}

// sampleOf is the first sample that shows what happened at a time.
func (f *replayFilm) sampleOf(t float64) int {
	return min(int(math.Ceil(t/record.SamplePeriod-1e-6)), len(f.in.Record.Samples)-1)
}

func (f *replayFilm) painted(item scene.Item, v paint.View) template.HTML {
	return paintedSVG(f.theme, func(to paint.Painter) {
		f.drawer.Items(to, &scene.Scene{Layers: []scene.Layer{{Items: []scene.Item{item}}}}, v)
	})
}

// sample adds a sample of the record.
func (f *replayFilm) sample(i int) {
	f.in.T = f.in.Record.Samples[i].T
	f.score(i, f.builder.Build(f.in).Furniture.Score())
	f.phase(i)
	f.standing(i)
	k := 0
	for _, m := range f.builder.Moving() {
		f.thing(i, k, layerOf[m.Overlay], m.At, m.Items, nil)
		k++
		for _, label := range m.Labels {
			if label.Rank == scene.RankCount { // names are for larger pictures
				at := m.At.ToWorld(label.At)
				label.At = geom.Vec{}
				f.thing(i, k, "counts", geom.Pose{X: at.X, Y: at.Y}, nil, []scene.Label{label})
				k++
			}
		}
	}
}

var layerOf = map[scene.Overlay]string{scene.Goals: "goals", scene.Pieces: "pieces", scene.Plan: "plan",
	scene.Robots: "robots", scene.Belief: "belief"}

// step is how many samples have passed since a list's last entry.
func (f *replayFilm) step(list string, sample int) int {
	step := sample - f.last[list]
	f.last[list] = sample
	return step
}

func (f *replayFilm) score(sample int, words string) {
	if n := len(f.data.Scores); n == 0 || f.data.Scores[n-1] != words {
		f.data.Scores = append(f.data.Scores, words)
		f.data.Score = append(f.data.Score, f.step("score", sample), n)
	}
}

func (f *replayFilm) phase(sample int) {
	now := -1
	for i, p := range f.in.Record.Header.Phases {
		if f.in.T >= p.Start {
			now = i
		}
	}
	if n := len(f.data.Phase); now >= 0 && (n == 0 || f.data.Phase[n-1] != now) {
		f.data.Phase = append(f.data.Phase, f.step("phase", sample), now)
	}
}

// standing adds the lines at which the first robot's tasks stand, where they change.
func (f *replayFilm) standing(sample int) {
	robots := f.in.Record.Samples[sample].Robots
	if len(robots) == 0 || sample > 0 && slices.Equal(f.lines, robots[0].Lines) {
		return
	}
	f.lines = robots[0].Lines
	f.data.Lines = append(f.data.Lines, append([]int{f.step("lines", sample)}, f.lines...))
}

// thing adds what has changed of the k-th thing.
func (f *replayFilm) thing(sample, k int, layer string, at geom.Pose, items []scene.Item, labels []scene.Label) {
	if k == len(f.things) {
		f.things = append(f.things, thingTrack{look: -1})
		f.data.Things = append(f.data.Things, replayThing{Layer: layer})
	}
	t, out := &f.things[k], &f.data.Things[k]
	if t.look < 0 || !reflect.DeepEqual(t.items, items) || !reflect.DeepEqual(t.labels, labels) {
		t.items, t.labels = copied(items), slices.Clone(labels)
		if look := f.look(items, labels); look != t.look {
			out.Look = append(out.Look, sample-t.looked, look)
			t.look, t.looked = look, sample
		}
	}
	if !(math.Abs(at.X) < farOff && math.Abs(at.Y) < farOff && math.Abs(at.Heading) < farOff) {
		at = geom.Pose{} // nothing of it is drawn
	}
	place := f.place(at, t.place[2])
	if sample == 0 || place != t.place {
		out.At = append(out.At, sample-t.placed, place[0]-t.place[0], place[1]-t.place[1], place[2]-t.place[2])
		t.place, t.placed = place, sample
	}
}

// farOff is a place or turn that nothing has, m or rad.
const farOff = 1e6

// copied keeps items beyond the next Build.
func copied(items []scene.Item) []scene.Item {
	out := slices.Clone(items)
	for i := range out {
		out[i].Points = slices.Clone(out[i].Points)
	}
	return out
}

// place is where a thing stands on the picture: its turn, clockwise, is the one nearest to the turn before.
func (f *replayFilm) place(at geom.Pose, before int) [3]int {
	pixel := f.view.Pixel(at.At())
	turn := int(math.Round(-at.Heading * 1800 / math.Pi))
	turn += 3600 * int(math.Round(float64(before-turn)/3600))
	return [3]int{int(math.Round(pixel.X * 100)), int(math.Round(pixel.Y * 100)), turn}
}

// look is the number of how a thing looks: of its sprites.
func (f *replayFilm) look(items []scene.Item, labels []scene.Label) int {
	var sprites []int
	add := func(svg template.HTML) {
		if svg != "" {
			sprites = append(sprites, number(f.sprites, &f.data.Sprites, string(svg), string(svg)))
		}
	}
	around := func(far float64) paint.View {
		return paint.View{Scale: f.view.Scale, Area: paint.Box{Left: -far, Top: -far, Right: far, Bottom: far}}
	}
	for _, item := range items {
		add(f.painted(item, around(4*replayWidth)))
	}
	if len(labels) > 0 {
		add(paintedSVG(f.theme, func(to paint.Painter) {
			f.drawer.Labels(to, &scene.Scene{Layers: []scene.Layer{{Labels: labels}}}, around(replayWidth/4))
		}))
	}
	return number(f.looks, &f.data.Looks, fmt.Sprint(sprites), sprites)
}

// number is a thing's place in a list in which each stands once.
func number[T any](known map[string]int, list *[]T, key string, thing T) int {
	place, is := known[key]
	if !is {
		place = len(*list)
		known[key] = place
		*list = append(*list, thing)
	}
	return place
}
