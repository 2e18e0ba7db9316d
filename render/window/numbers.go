package window

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/canvas"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting/literal"
)

// numbers lets the numbers of the routine's page be turned: dragged, wheeled, or typed over. Each step is rehearsed;
// the file is written when the number is let go.
type numbers struct {
	*shared
	notebook *notebook
	disk     *disk
	list     []textNumber
	text     string // that the list is of
	grip     numberGrip
	at       int            // of the list: the one in hand
	first    literal.Number // as the file has it
	now      literal.Number // as it is tried
	from     float64        // points: where the pointer was at the last step; of the wheel: turns not made yet
	typed    string         // so far; "": nothing
	waits    float64        // s since the last step at the window's edge
	asked    bool           // a card asks whether to write a copy
}

// textNumber is a number with its columns in its line, letters, and its name for tests.
type textNumber struct {
	literal.Number
	column, letters int
	name            string
}

// numberGrip is how a number is held.
type numberGrip int

const (
	letGo   numberGrip = iota
	dragged            // by the pointer
	wheeled            // by the wheel with Ctrl
	chosen             // by a click or a key, to be typed over
)

const (
	numberPoints = 4.0 // that the pointer is dragged for one step
	numberReach  = 5.0 // beside a number, in which it is taken
	edgeReach    = 3.0 // of the window's edge, at which a drag goes on by itself
	edgeEvery    = 0.1 // s from one step to the next then
)

// held reports whether a number is in hand.
func (p *numbers) held() bool { return p.grip != letGo }

// all are the numbers of the text shown.
func (p *numbers) all() []textNumber {
	source := p.model.Source()
	if source.Text == p.text {
		return p.list
	}
	p.text, p.list = source.Text, nil
	line, count := 0, 0
	for _, n := range literal.Numbers(source.Text) {
		if n.Line > len(source.Lines) || !n.Turns() {
			continue
		}
		if n.Line != line {
			line, count = n.Line, 0
		}
		count++
		begin := strings.LastIndexByte(source.Text[:n.From], '\n') + 1
		p.list = append(p.list, textNumber{Number: n, letters: len(n.Text), name: fmt.Sprintf("number %d.%d", line, count),
			column: utf8.RuneCountInString(strings.ReplaceAll(source.Text[begin:n.From], "\t", "  "))})
	}
	return p.list
}

// any reports whether there is a number to turn.
func (p *numbers) any() bool {
	return !p.model.Driving() && len(p.all()) > 0
}

// page is where the routine's text is seen; empty: it is not.
func (p *numbers) page() Rect {
	if p.model.Tab != viewmodel.RoutineTab || !p.notebook.shown() || p.model.Driving() {
		return Rect{}
	}
	return p.notebook.area()
}

// seen gives the numbers that are seen, with the rectangle of each row that has a part of one.
func (p *numbers) seen(each func(i int, r Rect)) {
	page := p.page()
	list := p.all()
	if page.H <= 0 || len(list) == 0 {
		return
	}
	advance := canvas.MonoAdvance(codeSize, p.density)
	next := 0
	p.notebook.routine.rows(page, p.notebook.scroll[viewmodel.RoutineTab], func(y float64, row foldedLine) {
		for next < len(list) && list[next].Line < row.number {
			next++
		}
		for i := next; i < len(list) && list[i].Line == row.number; i++ {
			from := max(list[i].column, row.from)
			to := min(list[i].column+list[i].letters, row.from+utf8.RuneCountInString(row.text)-row.lead)
			if from < to {
				x := page.X + 1 + codeLeft + float64(from-row.from+row.lead)*advance
				each(i, Rect{X: x, Y: y, W: float64(to-from) * advance, H: codeRow})
			}
		}
	})
}

func (p *numbers) place() {
	p.seen(func(i int, r Rect) {
		n := p.list[i]
		tip := fmt.Sprintf("drag, or wheel with Ctrl: %s a step (Shift: ten times as far, Alt: %s); click: type another",
			n.Unit(n.Stride()), n.Unit(1))
		p.add(element{Name: n.name, Rect: r.wider(numberReach), Tip: tip, Bare: true,
			Do: func() { p.take(i, dragged) }})
	})
}

// under is the number at the pointer, -1 for none.
func (p *numbers) under() int {
	if e := p.shared.under(); e != nil {
		for i := range p.list {
			if p.list[i].name == e.Name {
				return i
			}
		}
	}
	return -1
}

// take takes a number in hand. Another that was is written first.
func (p *numbers) take(i int, how numberGrip) {
	if p.held() && p.at != i {
		p.keep()
	}
	if p.asked || i >= len(p.all()) {
		return
	}
	if !p.held() {
		n := p.list[i]
		if err := p.model.Hold(n.From, n.To); err != nil {
			p.model.Say("Not turned: " + err.Error() + ".")
			return
		}
		p.at, p.first, p.now, p.typed = i, n.Number, n.Number, ""
	}
	p.grip, p.from = how, p.hand.X
}

// settle writes what is in hand when something else is clicked.
func (p *numbers) settle() {
	if p.grip == chosen && (p.hand.Pressed || p.hand.Menu) && p.under() != p.at && !p.putsBack() {
		p.keep()
	}
}

func (p *numbers) point() {
	if _, held := p.model.Held(); !held {
		p.grip = letGo
	}
	if p.asked && p.card == nil { // no copy is wanted
		p.asked = false
		p.model.Drop()
	}
	if p.card == nil {
		p.wheel()
	}
	switch {
	case p.grip == dragged && p.hand.Down && p.atEdge() != 0: // there is no room to drag farther: it goes on by itself
		if p.waits += p.passed; p.waits >= edgeEvery {
			p.waits = 0
			p.from = p.hand.X
			p.turn(p.atEdge())
		}
		p.stale = true
	case p.grip == dragged && p.hand.Down:
		if steps := int((p.hand.X - p.from) / numberPoints); steps != 0 {
			p.from += float64(steps) * numberPoints
			p.turn(steps)
		}
	case p.grip == dragged && p.now.Text == p.first.Text:
		p.grip = chosen
	case p.grip == dragged:
		p.keep()
	}
}

// atEdge is the way of a drag whose pointer is at the window's left or right edge, 0 elsewhere.
func (p *numbers) atEdge() int {
	switch {
	case p.hand.X >= p.width-edgeReach:
		return 1
	case p.hand.X <= edgeReach:
		return -1
	}
	return 0
}

// wheel turns the number pointed at with Ctrl, or the one that is chosen. It is written once Ctrl or the number is let
// go.
func (p *numbers) wheel() {
	over := p.under()
	if p.grip == wheeled && (!p.hand.Ctrl || over != p.at) {
		p.keep()
	}
	mine := p.grip == chosen && over == p.at || p.grip == wheeled
	if p.hand.WheelY == 0 || over < 0 || !mine && (!p.hand.Ctrl || p.grip == dragged) {
		return
	}
	if !mine {
		if p.take(over, wheeled); p.grip != wheeled {
			return
		}
		p.from = 0
	}
	if p.grip == chosen {
		p.from = 0
	}
	p.from += p.hand.WheelY
	p.hand.WheelY = 0
	steps := int(math.Trunc(p.from))
	p.from -= float64(steps)
	p.turn(steps)
}

// turn steps the number in hand: by its stride, ten times as far with Shift, by its last digit with Alt.
func (p *numbers) turn(steps int) {
	if !p.hand.Alt {
		steps *= int(p.hand.stride(float64(p.first.Stride())))
	}
	p.now, p.typed = p.now.Step(steps), ""
	p.model.Try(p.now.Text)
}

// keep writes the number in hand, unless what is typed is none.
func (p *numbers) keep() {
	if p.grip == chosen && p.typed != "" && p.typed != p.now.Text {
		_, err := p.first.Typed(p.typed)
		p.drop()
		p.model.Warn("Not written: " + err.Error() + ".")
		return
	}
	p.write()
}

// write writes what is in hand, where it has changed; what is in no file may be written as a copy.
func (p *numbers) write() {
	p.grip = letGo
	read, err := p.model.Keep()
	if errors.Is(err, viewmodel.ErrNoFile) {
		p.asked = true
		p.disk.showCopy()
	}
	if read {
		p.disk.watch.follow(p.model.Watch)
	}
}

// drop puts the number back to what the file has.
func (p *numbers) drop() {
	p.grip = letGo
	p.model.Drop()
}

// choose takes the first number from a line on, or of the page.
func (p *numbers) choose(line int) {
	at := slices.IndexFunc(p.all(), func(n textNumber) bool { return n.Line >= line })
	p.chooseAt(max(0, at))
}

func (p *numbers) chooseAt(i int) {
	if i < 0 || i >= len(p.all()) {
		return
	}
	p.notebook.showLine(p.list[i].Line)
	p.take(i, chosen)
}

// keys gives the number in hand the keys of this Update.
func (p *numbers) keys() {
	for _, key := range p.hand.Keys {
		if key == ebiten.KeyEscape {
			p.drop()
			return
		}
		if p.grip == chosen && p.key(key) {
			return
		}
	}
	if p.grip == chosen && !p.hand.Ctrl && !p.hand.Alt {
		for _, r := range p.hand.Runes {
			if strings.ContainsRune("0123456789.-eExXabcdfABCDF", r) && len(p.typed) < 20 {
				p.enter(p.typed + string(r))
			}
		}
	}
}

// key does what a key means for the number chosen. It reports whether the number has left the hand.
func (p *numbers) key(key ebiten.Key) bool {
	switch key {
	case ebiten.KeyEnter, ebiten.KeyNumpadEnter:
		p.keep()
		return true
	case ebiten.KeyTab:
		next := p.at + 1
		if p.hand.Shift {
			next = p.at - 1
		}
		if p.keep(); !p.asked {
			p.chooseAt(next)
		}
		return true
	case ebiten.KeyArrowUp, ebiten.KeyArrowRight:
		p.turn(1)
	case ebiten.KeyArrowDown, ebiten.KeyArrowLeft:
		p.turn(-1)
	case ebiten.KeyBackspace, ebiten.KeyDelete:
		if p.typed == "" {
			p.typed = p.now.Text
		}
		p.enter(p.typed[:len(p.typed)-1])
	}
	return false
}

// enter tries what is typed as far as it is a number that may stand there.
func (p *numbers) enter(typed string) {
	p.typed = typed
	if typed == "" {
		p.now = p.first
		p.model.Try(p.now.Text)
		return
	}
	if next, err := p.first.Typed(typed); err == nil {
		p.now = next
		p.model.Try(next.Text)
	}
}

func (p *numbers) draw() {
	page := p.page()
	if page.H <= 0 {
		return
	}
	p.clip(page)
	over := p.under()
	var mine Rect
	p.seen(func(i int, r Rect) {
		line := p.pale
		switch {
		case p.held() && i == p.at:
			mine, line = r, p.accent
		case i == over && !p.held():
			line = p.accent
		}
		p.fill(Rect{X: r.X, Y: r.Bottom() - 2, W: r.W, H: 1}, line)
	})
	if mine.W > 0 {
		p.drawHeld(page, mine)
	}
	p.pen.Unclip()
}

// drawHeld writes the number in hand large enough to be seen, and under its line what comes of it.
func (p *numbers) drawHeld(page, at Rect) {
	words, letters := p.now.Text, scene.Chalk
	if p.typed != "" {
		words = p.typed + "_"
	}
	box := at
	box.W = math.Max(box.W, float64(len(words))*canvas.MonoAdvance(codeSize, p.density)+2)
	p.fill(Rect{X: box.X - 2, Y: box.Y, W: box.W + 4, H: box.H}, p.chosen)
	p.fill(Rect{X: box.X - 2, Y: box.Bottom() - 2, W: box.W + 4, H: 2}, p.accent)
	p.mono(words, box, codeSize, true, letters)
	p.drawOutcome(page, at)
}

// drawOutcome tells, under a number's line or over it, what it was, and what the new one makes of the run.
func (p *numbers) drawOutcome(page, at Rect) {
	lines := paint.Wrap(p.outcome(), page.W-codeLeft-24, small, false, 4)
	if len(lines) == 0 {
		return
	}
	width := 0.0
	for _, line := range lines {
		width = math.Max(width, paint.Width(line, small, false))
	}
	box := Rect{Y: at.Bottom() + 2, W: width + 17, H: float64(len(lines))*footRow + 7}
	box.X = math.Max(page.X+2, math.Min(at.X-8, page.Right()-box.W-10))
	if box.Bottom() > page.Bottom()-2 {
		box.Y = at.Y - box.H - 2
	}
	p.boxed(lines, box, p.raised, p.accent)
}

// outcome is what the number was and is, and what comes of it.
func (p *numbers) outcome() string {
	if _, err := p.first.Typed(p.typed); p.typed != "" && p.typed != p.now.Text {
		return err.Error()
	}
	if err := p.model.Refused(); err != nil {
		return viewmodel.FaultOf(err).Short()
	}
	if p.now.Text == p.first.Text {
		return "Type another, or turn it by arrows or wheel (" + strides + "). Enter writes it, Tab writes it and takes " +
			"the next number, Esc puts it back."
	}
	words := p.first.Text + " → " + p.now.Text
	if outcome := p.model.Outcome(); outcome != "" {
		words += ": " + outcome
	}
	return words
}
