package picture

import (
	"math"

	"chalkfield/internal/app/report"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// The page's measures, in everyday pixels.
const (
	margin      = 18.0
	gap         = 16.0 // between blocks
	sideWidth   = 312.0
	sideBeside  = 900.0 // from this width on, score and legend stand beside the field
	footHeight  = 24.0  // scale bar and time
	leastField  = 160.0 // height, for a field that is a narrow strip
	tallestPart = 1.25  // field height at most, of its width
	flatField   = 0.45  // a field's height, of its width, below which nothing stands beside it
	mostRows    = 14    // lines of a column below the field
	numbersLeft = 30.0  // room for the coordinates beside the floor, beyond the scene's own margin
	numbersDown = 12.0  // and below it
	flatRows    = 20    // lines of the column beside score and legend
	columnWidth = 270.0 // of the events below the field, at least
)

// Page is a scene with its furniture on a page of pixels: title above, the field, score sheet and legend beside it
// (below it on a narrow page), and the list of events in what room there is. It refers to its scene, which must not
// change before Draw.
type Page struct {
	Width, Height float64
	View          paint.View // where the field is
	scene         *scene.Scene
	blocks        []placedBlock
	foot          paint.Box
}

// block is a part of the furniture whose lines are set for a width.
type block interface {
	height() float64
	draw(p paint.Painter, d *paint.Drawer, box paint.Box)
}

type placedBlock struct {
	block
	box paint.Box
}

// NewPage lays out a page of a width. The height follows.
func NewPage(s *scene.Scene, width float64) *Page {
	p := &Page{Width: width, scene: s}
	top := margin
	f := &s.Furniture
	heading := report.Document{Title: f.Title, Head: []string{f.Subtitle}}
	top = p.put(onPage(width-2*margin).Print(&heading), margin, top, width-2*margin) + gap
	bare := f.Scored == nil && f.Running == "" && len(f.Legend)+len(f.Events) == 0
	switch {
	case width < sideBeside || bare:
		p.layNarrow(top)
	case (s.High.Y - s.Low.Y) < flatField*(s.High.X-s.Low.X):
		p.layFlat(top)
	default:
		p.layWide(top)
	}
	return p
}

// put adds a block and gives the y of its end; an empty block takes no room.
func (p *Page) put(b block, left, top, width float64) float64 {
	if b == nil || b.height() == 0 {
		return top
	}
	box := paint.Box{Left: left, Top: top, Right: left + width, Bottom: top + b.height()}
	p.blocks = append(p.blocks, placedBlock{b, box})
	return box.Bottom
}

// stack puts blocks one under the other.
func (p *Page) stack(left, top, width float64, blocks ...block) float64 {
	end := top
	for _, b := range blocks {
		if b.height() > 0 {
			end = p.put(b, left, top, width)
			top = end + gap
		}
	}
	return end
}

// onPage is how documents are set on pages.
func onPage(width float64) Setting {
	return Setting{Width: width, Size: smallSize, Line: rowHeight, On: scene.Slate, Ink: scene.Chalk, Soft: scene.Dust,
		Rule: scene.Scratch}
}

// newSheet is the score sheet at the end of a record, and the running score before it.
func newSheet(f *scene.Furniture, width float64) *Print {
	set := onPage(width)
	set.Sides = f.Sides
	var told report.Document
	if f.Scored != nil {
		told.Sections = []report.Section{report.ScoreSheet(f.Units, f.Scored)}
	} else if f.Running != "" {
		told.Sections = []report.Section{{Title: "Score so far", Lines: []string{f.Running}}}
	}
	return set.Print(&told)
}

func (p *Print) height() float64 { return p.Height }

func (p *Print) draw(to paint.Painter, d *paint.Drawer, box paint.Box) {
	p.Draw(to, d, geom.Vec{X: box.Left, Y: box.Top}, box.Top, box.Bottom)
}

// fieldHeight is how high the field's part is at a width.
func (p *Page) fieldHeight(width float64) float64 {
	s := p.scene
	aspect := (s.High.Y - s.Low.Y) / math.Max(s.High.X-s.Low.X, 1e-9)
	return geom.Clamp(width*aspect, leastField, width*tallestPart)
}

// layField puts the field and its foot, and gives the y of their end.
func (p *Page) layField(top, width float64) float64 {
	height := p.fieldHeight(width-numbersLeft) + numbersDown
	area := paint.Box{Left: margin, Top: top, Right: margin + width, Bottom: top + height}
	p.View = paint.FitView(p.scene.Low, p.scene.High, paint.Box{Left: area.Left + numbersLeft, Top: top,
		Right: area.Right, Bottom: area.Bottom - numbersDown})
	p.View.Area = area
	p.foot = paint.Box{Left: margin, Top: top + height, Right: margin + width, Bottom: top + height + footHeight}
	return p.foot.Bottom
}

// layWide has the score sheet, the legend and as many events as fit beside the field, and further events below.
func (p *Page) layWide(top float64) {
	f := &p.scene.Furniture
	width := p.Width - 2*margin
	left := p.Width - margin - sideWidth
	fieldEnd := p.layField(top, width-sideWidth-gap)
	sideEnd := p.stack(left, top, sideWidth, newSheet(f, sideWidth), newLegend(f, sideWidth))
	listTop := sideEnd
	if sideEnd > top {
		listTop += gap
	}
	beside := int((fieldEnd - listTop - headHeight) / rowHeight)
	columns, below := columnsIn(width)
	side, rest := layEvents(f.Events, sideWidth, max(beside, 0), below, columns)
	if side != nil {
		sideEnd = p.put(side, left, listTop, sideWidth)
	}
	end := math.Max(fieldEnd, sideEnd)
	end = p.putColumns(rest, end+gap, below, end)
	p.Height = end + margin
}

// layFlat has everything below the field, beside each other.
func (p *Page) layFlat(top float64) {
	f := &p.scene.Furniture
	width := p.Width - 2*margin
	end := p.layField(top, width)
	top = end + gap
	left := margin
	for _, b := range []block{newSheet(f, sideWidth), newLegend(f, sideWidth)} {
		if b.height() > 0 {
			end = math.Max(end, p.put(b, left, top, sideWidth))
			left += sideWidth + gap
		}
	}
	rest := p.Width - margin - left
	lines := max(flatRows, int((end-top-headHeight)/rowHeight))
	columns, each := columnsIn(width)
	side, below := layEvents(f.Events, rest, lines, each, columns)
	if side != nil {
		end = math.Max(end, p.put(side, left, top, rest))
	}
	p.Height = p.putColumns(below, end+gap, each, end) + margin
}

// columnsIn is how many columns of events stand in a width, and how wide each is.
func columnsIn(width float64) (columns int, each float64) {
	columns = max(1, int((width+gap)/(columnWidth+gap)))
	return columns, (width - float64(columns-1)*gap) / float64(columns)
}

// layNarrow has everything below the field.
func (p *Page) layNarrow(top float64) {
	f := &p.scene.Furniture
	width := p.Width - 2*margin
	end := p.layField(top, width)
	if half := (width - gap) / 2; half >= 250 {
		a := p.stack(margin, end+gap, half, newSheet(f, half))
		b := p.stack(margin+half+gap, end+gap, half, newLegend(f, half))
		if low := math.Max(a, b); low > end+gap {
			end = low
		}
	} else if low := p.stack(margin, end+gap, width, newSheet(f, width), newLegend(f, width)); low > end+gap {
		end = low
	}
	columns, each := columnsIn(width)
	_, rest := layEvents(f.Events, each, 0, each, columns)
	end = p.putColumns(rest, end+gap, each, end)
	p.Height = end + margin
}

// putColumns puts lists beside each other and gives the y of the longest one's end.
func (p *Page) putColumns(lists []*eventList, top, width, end float64) float64 {
	for i, list := range lists {
		end = math.Max(end, p.put(list, margin+float64(i)*(width+gap), top, width))
	}
	return end
}

// Draw paints the page on its ground.
func (p *Page) Draw(to paint.Painter) {
	var d paint.Drawer
	d.Draw(to, p.scene, p.View)
	p.cover(to)
	p.drawScale(to)
	p.drawTime(to)
	for _, b := range p.blocks {
		b.draw(to, &d, b.box)
	}
}

// cover paints over what reached beyond the field's part.
func (p *Page) cover(to paint.Painter) {
	a, ground := p.View.Area, p.scene.Ground
	for _, box := range []paint.Box{
		{Right: p.Width, Bottom: a.Top},
		{Top: a.Bottom, Right: p.Width, Bottom: p.Height},
		{Top: a.Top, Right: a.Left, Bottom: a.Bottom},
		{Left: a.Right, Top: a.Top, Right: p.Width, Bottom: a.Bottom},
	} {
		fill(to, box, ground)
	}
}

func fill(to paint.Painter, box paint.Box, c scene.Colour) {
	corners := box.Corners()
	to.Fill(corners[:], c)
}

// drawScale paints the scale bar at the field's foot.
func (p *Page) drawScale(to paint.Painter) {
	metres, words := scaleBar(p.scene.Furniture.Units, p.View.Scale, p.foot.Width()/4)
	y := p.foot.Bottom - 8
	left, right := p.foot.Left, p.foot.Left+metres*p.View.Scale
	to.Stroke([][]geom.Vec{{{X: left, Y: y - 5}, {X: left, Y: y}, {X: right, Y: y}, {X: right, Y: y - 5}}}, false, 1.5,
		scene.Dust)
	to.Text(paint.Text{Words: words, At: geom.Vec{X: right + 8, Y: y}, Size: 12, Colour: scene.Dust, On: scene.Slate})
}

// drawTime paints which moment is shown, at the foot's right end.
func (p *Page) drawTime(to paint.Painter) {
	y := p.foot.Bottom - 8
	time := p.scene.Furniture.Time
	width := paint.Width(time, 13, true)
	to.Text(paint.Text{Words: time, At: geom.Vec{X: p.foot.Right - width, Y: y}, Size: 13, Bold: true,
		Colour: scene.Chalk, On: scene.Slate})
}
