package window

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/canvas"
	"chalkfield/render/window/viewmodel"
)

// mostOffers are seen at once; arrows bring the others.
const mostOffers = 7

// offer finds what may be meant at the caret.
func (e *editLine) offer() {
	line := string(e.text)
	caret := len(string(e.text[:e.caret]))
	list, from := viewmodel.Completions(e.reference, line, caret, e.bot)
	e.offers, e.from, e.chosen = list, len([]rune(line[:from])), 0
}

// offerKey does what a key means for the names offered. It reports whether it means anything.
func (e *editLine) offerKey(key ebiten.Key) bool {
	switch key {
	case ebiten.KeyArrowDown:
		e.chosen = (e.chosen + 1) % len(e.offers)
	case ebiten.KeyArrowUp:
		e.chosen = (e.chosen + len(e.offers) - 1) % len(e.offers)
	case ebiten.KeyTab, ebiten.KeyEnter, ebiten.KeyNumpadEnter:
		e.take(e.chosen)
	case ebiten.KeyEscape:
		e.offers = nil
	default:
		return false
	}
	return true
}

// take puts a name offered in place of what was written of it, and offers what can come next.
func (e *editLine) take(i int) {
	if i >= len(e.offers) {
		return
	}
	line := string(e.text)
	byteOf := func(letter int) int { return len(string(e.text[:letter])) }
	text, at := e.offers[i].Taken(line, byteOf(e.from), byteOf(e.caret))
	e.past = append(e.past, lineWas{e.text, e.caret})
	e.text, e.caret = []rune(text), len([]rune(text[:at]))
	e.anchor = e.caret
	e.try()
}

// offered reports whether the pointer is on a name offered.
func (e *editLine) offered() bool {
	over := e.under()
	return over != nil && strings.HasPrefix(over.Name, "offer ")
}

func (e *editLine) place() {
	page := e.numbers.page()
	if !e.open || page.H <= 0 {
		return
	}
	box, first := e.offersBox(page, e.row(page))
	for i := first; i < min(first+mostOffers, len(e.offers)); i++ {
		r := Rect{X: box.X, Y: box.Y + 2 + float64(i-first)*codeRow, W: box.W, H: codeRow}
		e.add(element{Name: "offer " + e.offers[i].Name, Rect: r, Bare: true, Do: func() { e.take(i) }})
	}
}

// says is what comes of the line, what is wrong with it, or what is written at the caret.
func (e *editLine) says() string {
	if len(e.offers) > 0 {
		return e.offers[e.chosen].Does
	}
	words := e.model.Outcome()
	if err := cmp.Or(e.model.Refused(), e.model.Fails()); err != nil {
		words = ""
		if e.rests >= faultAfter {
			words = viewmodel.FaultOf(err).Short()
		}
	}
	if call, ok := viewmodel.Around(e.reference, string(e.text), len(string(e.text[:e.caret])), e.bot); ok {
		words = strings.TrimSpace(fmt.Sprintf("%s: %s.\n%s", call.Form, call.Does, words))
	}
	if words == "" {
		words = "Enter writes the line (an emptied one is taken out), Ctrl+Enter begins another under it, Up and Down go " +
			"to the next, Esc leaves all as it was."
	}
	return words
}

// offersBox is where the names and what is said lie: under the row, or over it, and the first name that is seen.
func (e *editLine) offersBox(page, row Rect) (box Rect, first int) {
	names := min(len(e.offers), mostOffers)
	lines := len(e.sayLines(row))
	height := float64(names)*codeRow + float64(lines)*footRow + 7
	box = Rect{X: row.X, Y: row.Bottom() + 2, W: row.W, H: height}
	if box.Bottom() > page.Bottom()-2 {
		box.Y = math.Max(page.Y, row.Y-box.H-2)
	}
	return box, int(geom.Clamp(float64(e.chosen-mostOffers+1), 0, float64(len(e.offers)-names)))
}

func (e *editLine) sayLines(row Rect) (lines []string) {
	for _, line := range strings.Split(e.says(), "\n") {
		lines = append(lines, paint.Wrap(line, row.W-16, small, false, 4)...)
	}
	return lines
}

// shortForm is a call without what stands before its name already, as far as there is room: it is told whole once its
// bracket is open.
func (e *editLine) shortForm(k viewmodel.Known, width float64) string {
	form := []rune(strings.TrimPrefix(k.Form, k.After))
	if most := int(width / canvas.MonoAdvance(codeSize, e.density)); len(form) > most {
		return string(form[:most-1]) + "…"
	}
	return string(form)
}

// drawUnder tells under the line what may be meant, and what is wrong or comes of it.
func (e *editLine) drawUnder(page, row Rect) {
	box, first := e.offersBox(page, row)
	e.boxed(nil, box, e.raised, e.edge)
	r := Rect{X: box.X, Y: box.Y + 2, W: box.W, H: codeRow}
	for i := first; i < min(first+mostOffers, len(e.offers)); i++ {
		if i == e.chosen {
			e.fill(r, e.look.chosen)
		}
		at := Rect{X: r.X + 8, Y: r.Y, W: r.W - 16, H: r.H}
		e.mono(e.shortForm(e.offers[i], at.W), at, codeSize, i == e.chosen, scene.Chalk)
		r.Y += codeRow
	}
	r.Y, r.H = r.Y+1, footRow
	for _, line := range e.sayLines(row) {
		e.words(line, Rect{X: box.X + 8, Y: r.Y, W: box.W - 12, H: footRow}, small, false, scene.Chalk)
		r.Y += footRow
	}
}
