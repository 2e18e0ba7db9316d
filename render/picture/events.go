package picture

import (
	"sort"
	"strconv"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// eventList is one column of the events' list.
type eventList struct {
	head string
	rows []listRow
	more int // events that found no room, told at the end; 0: none
}

type listRow struct {
	event *scene.EventRow
	lines []string
}

// Columns of a row: number, mark, time, words.
const (
	numberEnd = 26.0
	markAt    = 38.0
	timeEnd   = 92.0
)

// EventWords is where an event's words stand, from the left.
const EventWords = 100.0

func (l *eventList) height() float64 {
	lines := 0
	for _, row := range l.rows {
		lines += len(row.lines)
	}
	if l.more > 0 {
		lines++
	}
	if lines == 0 {
		return 0
	}
	return headHeight + float64(lines)*rowHeight
}

func (l *eventList) draw(p paint.Painter, d *paint.Drawer, box paint.Box) {
	drawHead(p, l.head, box)
	y := box.Top + headHeight
	for _, row := range l.rows {
		onPage(box.Width()).Event(p, d, row.event, row.lines, geom.Vec{X: box.Left, Y: y})
		y += float64(len(row.lines)) * rowHeight
	}
	if l.more > 0 {
		words(p, "+"+strconv.Itoa(l.more)+" more", box.Left+EventWords, y+textDrop, smallSize, true, scene.Dust)
	}
}

// Event paints a row of a list of events: number, mark, time, and its words in lines.
func (s Setting) Event(to paint.Painter, d *paint.Drawer, e *scene.EventRow, lines []string, at geom.Vec) {
	put := func(text string, x, share float64, bold bool, c scene.Colour) {
		wordsOn(to, text, at.X+x, at.Y+s.text("", 0, bold, c).At.Y, share, s.Size, bold, c, s.On)
	}
	put(strconv.Itoa(e.Number), numberEnd, 1, true, e.Colour)
	fill, pen := e.Colour, scene.Pen{}
	if e.Hollow {
		fill, pen = s.On, scene.Pen{Width: 1.5, Colour: e.Colour}
	}
	d.Mark(to, e.Shape, geom.Vec{X: at.X + markAt, Y: at.Y + s.Line/2}, 4.5, fill, pen)
	put(strconv.FormatFloat(e.T, 'f', 2, 64), timeEnd, 1, false, s.Soft)
	for _, line := range lines {
		put(line, EventWords, 0, false, s.Ink)
		at.Y += s.Line
	}
}

// layEvents divides the events among a column beside the field (of so many lines; 0: none) and columns below it. When
// there is no room for all, those of least weight are left out and counted; the others stay in order of time.
func layEvents(events []scene.EventRow, sideWidth float64, sideLines int, width float64,
	columns int) (side *eventList, below []*eventList) {
	if len(events) == 0 {
		return nil, nil
	}
	sideRows, belowRows := setRows(events, sideWidth), setRows(events, width)
	if total := linesOf(sideRows); total <= sideLines {
		return &eventList{head: "Events", rows: sideRows}, nil
	}
	if sideLines < 4 {
		sideLines = 0
	}
	order := byWeight(events)
	kept := len(events)
	for kept > 0 {
		if lists := shortest(sideLines, columns, sideRows, belowRows, order[:kept]); lists != nil {
			if sideLines == 0 {
				return nil, lists[1:]
			}
			return lists[0], lists[1:]
		}
		kept -= 1 + (kept-1)/40 // fewer tries for a list far too long
	}
	return nil, []*eventList{{head: "Events", more: len(events)}}
}

// shortest lays the chosen rows with the columns below as even as can be; nil when they do not fit.
func shortest(sideLines, columns int, side, below []listRow, chosen []int) []*eventList {
	need := 0
	for _, i := range chosen {
		need += len(below[i].lines)
	}
	for each := max(2, (need-sideLines)/columns); each <= mostRows; each++ {
		room := layout{side: sideLines, each: each, columns: columns}
		if lists, fits := room.flow(side, below, chosen, len(side)-len(chosen)); fits {
			return lists
		}
	}
	return nil
}

// setRows breaks the events' words for a column's width.
func setRows(events []scene.EventRow, width float64) []listRow {
	rows := make([]listRow, len(events))
	for i := range events {
		lines := paint.Wrap(events[i].Words, width-EventWords, smallSize, false, 2)
		if len(lines) == 0 {
			lines = []string{""}
		}
		rows[i] = listRow{&events[i], lines}
	}
	return rows
}

func linesOf(rows []listRow) int {
	lines := 0
	for _, row := range rows {
		lines += len(row.lines)
	}
	return lines
}

// byWeight is the events' indices, the weightiest first, earlier before later.
func byWeight(events []scene.EventRow) []int {
	order := make([]int, len(events))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return events[order[i]].Weight > events[order[j]].Weight })
	return order
}

// layout is the room for events: lines beside the field, and columns of so many lines below it.
type layout struct{ side, each, columns int }

// flow fills the columns in turn with the chosen rows; false if they do not all fit with the note of what was left out.
// The first list is the one beside the field.
func (l layout) flow(side, below []listRow, chosen []int, more int) ([]*eventList, bool) {
	picked := append([]int(nil), chosen...)
	sort.Ints(picked)
	lists := []*eventList{{head: "Events"}}
	free := l.side
	for n, i := range picked {
		row := side[i]
		if len(lists) > 1 {
			row = below[i]
		}
		need := len(row.lines)
		if more > 0 && n == len(picked)-1 {
			need++
		}
		for need > free {
			if len(lists) > l.columns {
				return nil, false
			}
			head := "Events, continued"
			if len(lists) == 1 && l.side == 0 {
				head = "Events"
			}
			lists, free = append(lists, &eventList{head: head}), l.each
			row = below[i]
			if need = len(row.lines); more > 0 && n == len(picked)-1 {
				need++
			}
			if need > l.each {
				return nil, false
			}
		}
		last := lists[len(lists)-1]
		last.rows = append(last.rows, row)
		free -= len(row.lines)
	}
	lists[len(lists)-1].more = more
	return lists, true
}
