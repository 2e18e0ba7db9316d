package picture

import (
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// legend is swatches and their meanings. A short one goes into the right half of a row whose left half is short too.
type legend struct {
	cells []legendCell
	tall  float64 // of the rows
}

type legendCell struct {
	row   scene.LegendRow
	lines []string
	top   float64 // below the heading
	right bool    // in the right half
}

const (
	headHeight  = 24.0 // of a block's heading
	rowHeight   = 18.0
	smallSize   = 12.5
	swatchWidth = 38.0
	textDrop    = 14.0 // of a row's baseline below its top
)

func newLegend(f *scene.Furniture, width float64) *legend {
	l := &legend{}
	var free []float64 // tops of rows whose right half is empty
	for _, row := range f.Legend {
		cell := legendCell{row: row, top: l.tall}
		text := paint.Clean(row.Words)
		half := paint.Width(text, smallSize, false) <= width/2-swatchWidth-14
		switch {
		case half && len(free) > 0:
			cell.lines, cell.top, cell.right = []string{text}, free[0], true
			free = free[1:]
		case half:
			cell.lines = []string{text}
			free = append(free, l.tall)
			l.tall += rowHeight
		default:
			cell.lines = paint.Wrap(text, width-swatchWidth-10, smallSize, false, 2)
			l.tall += rowHeight * float64(max(len(cell.lines), 1))
		}
		l.cells = append(l.cells, cell)
	}
	return l
}

func (l *legend) height() float64 {
	if len(l.cells) == 0 {
		return 0
	}
	return headHeight + l.tall
}

func (l *legend) draw(p paint.Painter, d *paint.Drawer, box paint.Box) {
	drawHead(p, "Legend", box)
	for _, cell := range l.cells {
		left, y := box.Left, box.Top+headHeight+cell.top
		if cell.right {
			left += box.Width() / 2
		}
		d.Swatch(p, cell.row, paint.Box{Left: left, Top: y, Right: left + swatchWidth, Bottom: y + rowHeight})
		for _, line := range cell.lines {
			words(p, line, left+swatchWidth+10, y+textDrop, smallSize, false, scene.Chalk)
			y += rowHeight
		}
	}
}

// drawHead paints a block's heading with a thin line under it.
func drawHead(p paint.Painter, text string, box paint.Box) {
	words(p, text, box.Left, box.Top+textDrop, smallSize, true, scene.Chalk)
	rule(p, box.Left, box.Right, box.Top+rowHeight)
}
