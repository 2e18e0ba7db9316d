package window

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/lesson"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// lessonView is the lesson beside field and routine: its steps, what it takes to pass, hints, and what comes next.
type lessonView struct {
	*shared
	rows    []lessonRow
	brief   []briefLine // what always stays in sight
	key     print       // what they were set for
	scroll  scroll
	of      string // the lesson that they are of
	at      int    // the step that is open; -1: none
	passed  bool   // it was, when that was last looked at
	body    still
	buttons still
	built   scene.Builder // of the pictures
}

// lessonRow is a row of the panel.
type lessonRow struct {
	high  float64
	draw  func(r Rect)
	parts bool   // it may be seen in part
	moves bool   // it goes along with the time
	step  int    // it is the heading of a step, from 1
	hint  int    // likewise of a hint
	marks bool   // it is the heading of what is expected
	name  string // of what can be clicked; "": nothing
	tip   string
	do    func()
}

const (
	lessonEdge = 12.0
	stepRow    = 24.0
	markRow    = 17.0
	tickSize   = 5.0
	tickRoom   = 22.0 // left of a step's heading
	lessonFoot = 30.0
	curveHigh  = 76.0
	mostShot   = 190.0 // high: a picture of the field
	briefRow   = 16.0
	mostBrief  = 3 // cases that always stay in sight
)

func (v *lessonView) want(w *wants) { w.Lesson = v.model.Lesson() != nil }

// area is where the rows are seen.
func (v *lessonView) area() Rect {
	r := v.frame.Lesson.Below(tabHeight)
	r.H = math.Max(r.H-v.footHigh(), 0)
	return r
}

// footHigh is the height of what always stays in sight: how each case stands, and the buttons.
func (v *lessonView) footHigh() float64 {
	return lessonFoot + briefRow*float64(len(v.brief))
}

// brief is how a case stands.
type brief struct {
	name       string
	held, star bool
}

// casesOf are how the cases of the lesson stand.
func casesOf(p *viewmodel.LessonPage) (list []brief) {
	for _, m := range p.Marks {
		if n := len(list); n > 0 && list[n-1].name == m.Case {
			list[n-1].held = list[n-1].held && m.Held
			continue
		}
		list = append(list, brief{m.Case, m.Held, m.Star})
	}
	return list
}

// briefs are the lines that always stay in sight, as many as have room: where not all have, what does not hold first;
// where nothing can be judged, why.
func (v *lessonView) briefs(p *viewmodel.LessonPage) (list []briefLine) {
	if p.Fault != "" {
		for i, line := range wrapped(p.Fault, v.width()-tickRoom, small) {
			if i < mostBrief {
				list = append(list, briefLine{words: line, fails: i == 0})
			}
		}
		return list
	}
	judged := p.Judged && !p.Judging
	cases := casesOf(p)
	if len(cases) > mostBrief {
		slices.SortStableFunc(cases, func(a, b brief) int { return a.rank() - b.rank() })
	}
	for _, c := range cases {
		list = append(list, briefLine{words: c.name, judged: judged, star: c.star, held: judged && c.held,
			fails: judged && !c.held})
	}
	if more := len(list) - mostBrief; more > 0 {
		list = append(list[:mostBrief-1], briefLine{words: v.say("panel_more", more+1), plain: true})
	}
	return list
}

// rank is where a case stands among the brief ones: what is needed and does not hold comes first.
func (b brief) rank() int {
	switch {
	case b.star:
		return 2
	case b.held:
		return 1
	}
	return 0
}

// briefLine is a line of what always stays in sight.
type briefLine struct {
	words                            string
	judged, held, fails, star, plain bool
}

func (v *lessonView) place() {
	p := v.model.Lesson()
	if p == nil || v.frame.Lesson.W == 0 {
		return
	}
	v.set(p)
	v.placeHead(v.frame.Lesson.Top(tabHeight))
	area := v.area()
	if area.H == 0 {
		return
	}
	v.scroll.by(0, area.H)
	v.eachRow(func(row *lessonRow, r Rect) {
		if row.name != "" && r.Y >= area.Y-1 && r.Bottom() <= area.Bottom()+1 {
			v.add(element{Name: row.name, Rect: r, Tip: row.tip, Bare: true, Do: row.do})
		}
	})
	foot := v.frame.Lesson.Below(v.frame.Lesson.H - v.footHigh())
	v.add(element{Name: "to pass", Rect: foot.Top(foot.H - lessonFoot), Bare: true, Do: func() {
		v.scrollTo(func(row *lessonRow) bool { return row.marks })
	}})
	v.placeFoot(p, v.frame.Lesson.Below(v.frame.Lesson.H-lessonFoot))
}

// placeHead has the buttons that show all lessons and fold this one.
func (v *lessonView) placeHead(r Rect) {
	fold := v.named("fold lesson")
	fold.Label, fold.Hint = "-", ""
	if v.area().H == 0 {
		fold.Label = "+"
	}
	fold.Rect = Rect{X: r.Right() - 30, Y: r.Y + 2, W: 26, H: r.H - 4}
	v.add(fold)
	all := v.named("lessons")
	all.Name, all.Label, all.Hint = "all lessons", v.say("panel_all"), ""
	all.Rect = Rect{X: r.Right() - 78, Y: r.Y + 2, W: 46, H: r.H - 4}
	v.add(all)
}

// placeFoot has what a learner does: a hint, a fresh start, the next lesson.
func (v *lessonView) placeFoot(p *viewmodel.LessonPage, r Rect) {
	buttons := []element{v.named("hint"), v.named("reset lesson"), v.named("next lesson")}
	buttons[0].Label = v.hintWords(p)
	buttons[1].Label = v.say("panel_reset")
	buttons[2].Label = v.say("panel_next")
	buttons[2].On = p.Passed || p.Before.Passed
	if p.Course != nil {
		drive := v.named("drive")
		drive.Name, drive.Label = "drive course", v.say("panel_drive")
		buttons[0] = drive
	}
	room := r.W - 2*4
	shares := []float64{0.44, 0.26, 0.30}
	x := r.X + 4
	for i, e := range buttons {
		e.Hint = ""
		e.Rect = Rect{X: x, Y: r.Y + 2, W: shares[i]*room - 3, H: r.H - 4}
		x += shares[i] * room
		v.add(e)
	}
}

// hintWords is the label of the button that opens the next hint.
func (v *lessonView) hintWords(p *viewmodel.LessonPage) string {
	switch {
	case len(p.Hints) == 0:
		return v.say("panel_hint_none")
	case !p.HintsLeft():
		return v.say("panel_hint_all")
	case p.ToGo > 0:
		return v.say("panel_hint_waits", p.Opened+1, p.ToGo)
	}
	return v.say("panel_hint_next", p.Opened+1)
}

// eachRow goes through the rows that are seen, with where they are.
func (v *lessonView) eachRow(do func(*lessonRow, Rect)) {
	area := v.area()
	y := area.Y + 6 - v.scroll.at
	for i := range v.rows {
		row := &v.rows[i]
		r := Rect{X: area.X + lessonEdge, Y: y, W: area.W - 2*lessonEdge, H: row.high}
		y += row.high
		whole := r.Y >= area.Y && r.Bottom() <= area.Bottom()
		if whole || row.parts && r.Bottom() > area.Y && r.Y < area.Bottom() {
			do(row, r)
		}
	}
}

func (v *lessonView) point() {
	area := v.area()
	if v.card == nil && v.model.Lesson() != nil && area.Contains(v.hand.X, v.hand.Y) && v.hand.WheelY != 0 {
		v.scroll.by(-40*v.hand.WheelY, area.H)
	}
}

func (v *lessonView) draw() {
	p, whole := v.model.Lesson(), v.frame.Lesson
	if p == nil || whole.W == 0 {
		return
	}
	head := whole.Top(tabHeight)
	v.drawButtons(&v.buttons, head)
	title := Rect{X: head.X + lessonEdge, Y: head.Y, W: head.W - lessonEdge - 84, H: head.H}
	v.words(fmt.Sprintf("%d  %s", p.Number, p.Title), title, normal, true, scene.Chalk)
	if area := v.area(); area.H > 0 {
		v.drawBody(area)
		v.drawFoot(whole.Below(whole.H - v.footHigh()))
	}
}

func (v *lessonView) drawFoot(r Rect) {
	v.fill(r, v.panel)
	v.pen.Rect(r.X, r.Y, r.W, 1, v.edge)
	row := Rect{X: r.X + lessonEdge, Y: r.Y + 1, W: r.W - 2*lessonEdge, H: briefRow}
	for _, one := range v.brief {
		mark := geom.Vec{X: row.X + 7, Y: row.Y + row.H/2}
		switch {
		case one.star && one.judged:
			v.drawStar(mark, 6, one.held)
		case !one.plain:
			v.drawTick(mark, one.held, one.fails)
		}
		v.words(one.words, row.Rest(tickRoom), small, false, scene.Chalk)
		row.Y += briefRow
	}
	for i := range v.elements {
		if e := &v.elements[i]; !e.Bare && r.Contains(e.Rect.X, e.Rect.Y) {
			v.drawButton(e, e == v.under())
		}
	}
}

// drawBody draws the rows that are seen.
func (v *lessonView) drawBody(area Rect) {
	content := noPrint.rect(area).numbers(v.scroll.at).word(uint64(v.key))
	if run := v.model.Now; run != nil {
		content = content.word(uint64(v.runPrint(run)))
	}
	v.eachRow(func(row *lessonRow, r Rect) {
		if row.moves {
			content = content.numbers(v.model.Time)
		}
		if row.name != "" {
			content = content.flag(r.Contains(v.hand.X, v.hand.Y))
		}
	})
	v.drawStill(&v.body, content, func() {
		v.fill(area, v.panel)
		v.pen.Rect(area.X, area.Y, 1, area.H, v.edge)
		v.clip(area)
		v.eachRow(func(row *lessonRow, r Rect) { row.draw(r) })
		v.pen.Unclip()
		v.drawScrollMark(area)
	})
}

func (v *lessonView) drawScrollMark(area Rect) {
	if v.scroll.high <= area.H {
		return
	}
	height := math.Max(20, area.H*area.H/v.scroll.high)
	v.pen.Rect(area.Right()-5, area.Y+(area.H-height)*v.scroll.at/(v.scroll.high-area.H), 4, height, v.edge)
}

// set sets the rows, where they are not set yet.
func (v *lessonView) set(p *viewmodel.LessonPage) {
	v.settle(p)
	key := noPrint.text(p.Name).ints(p.Version, v.at).numbers(v.frame.Lesson.W, v.density)
	if key == v.key {
		return
	}
	v.key, v.rows, v.brief = key, v.rows[:0], v.briefs(p)
	switch {
	case p.Passed:
		v.addPassed(p)
	case p.Before.Passed:
		v.text(v.say("panel_passed_before", p.Before.Stars, p.MostStars()), 0)
	}
	v.text(p.Opening, 0)
	for i := range p.Steps {
		v.addStep(p, i)
	}
	if p.Course != nil {
		v.addCourse(p)
	}
	v.addMarks(p)
	for i, hint := range p.Hints[:p.Opened] {
		v.heading(v.say("panel_hint_title", i+1, hint.Title))
		v.rows[len(v.rows)-1].hint = i + 1
		v.text(hint.Text, 0)
	}
	for _, further := range p.Further {
		v.heading(further.Title)
		v.text(further.Text, 0)
	}
	v.scroll.high = 16
	for i := range v.rows {
		v.scroll.high += v.rows[i].high
	}
}

// settle opens the current step of a lesson that is new here, and shows the banner of a pass.
func (v *lessonView) settle(p *viewmodel.LessonPage) {
	if v.of != p.Name {
		v.of, v.at, v.passed, v.scroll = p.Name, p.Current(), false, scroll{}
	}
	if v.passed != p.Passed {
		if v.passed = p.Passed; v.passed {
			v.scroll.at = 0
		}
	}
}

// turnTo opens a step and brings it into view.
func (v *lessonView) turnTo(p *viewmodel.LessonPage, step int) {
	v.at = step
	v.model.SeeStep(step)
	v.set(p)
	v.scrollTo(func(row *lessonRow) bool { return row.step == step+1 })
}

// scrollTo brings the first row of a kind to the top.
func (v *lessonView) scrollTo(is func(*lessonRow) bool) {
	y := 0.0
	for i := range v.rows {
		if is(&v.rows[i]) {
			v.scroll.at = y
			v.scroll.by(0, v.area().H)
			return
		}
		y += v.rows[i].high
	}
}

// width is that of the rows.
func (v *lessonView) width() float64 { return math.Max(v.frame.Lesson.W-2*lessonEdge, 60) }

// text adds rows of text, set in from the left.
func (v *lessonView) text(text string, indent float64) {
	lines := setText(text, v.width()-indent, v.density)
	for i := range lines {
		line := &lines[i]
		v.rows = append(v.rows, lessonRow{high: line.high, draw: func(r Rect) { v.drawSet(line, r.Rest(indent)) }})
	}
	v.space(textGap)
}

func (v *lessonView) space(high float64) {
	v.rows = append(v.rows, lessonRow{high: high, draw: func(Rect) {}})
}

func (v *lessonView) heading(words string) {
	v.rows = append(v.rows, lessonRow{high: stepRow, draw: func(r Rect) {
		v.words(words, r, normal, true, v.accent)
		v.pen.Rect(r.X, r.Bottom()-2, r.W, 1, v.edge)
	}})
}

// addStep adds a step's heading, and what stands under it where it is open.
func (v *lessonView) addStep(p *viewmodel.LessonPage, i int) {
	step, done, open := &p.Steps[i], p.Ticked[i], i == v.at
	v.rows = append(v.rows, lessonRow{high: stepRow, step: i + 1, name: fmt.Sprintf("step %d", i+1),
		draw: func(r Rect) { v.drawStep(step.Title, r, done, open) }, do: func() {
			if v.at == i {
				v.at = -1
			} else {
				v.turnTo(p, i)
			}
		}})
	if !open {
		return
	}
	v.text(step.Text, 0)
	for _, name := range step.Curve {
		v.rows = append(v.rows, lessonRow{high: curveHigh, parts: true, moves: true,
			draw: func(r Rect) { v.drawCurve(r.Top(curveHigh-6), name) }})
	}
	if step.Picture != "" {
		high := v.shotHeight() + 8
		v.rows = append(v.rows, lessonRow{high: high, parts: true,
			draw: func(r Rect) { v.drawShot(r.Top(high-8), step) }})
	}
	if i+1 < len(p.Steps) {
		v.addGoOn(p, i+1, done || step.Done == nil)
	}
}

// addGoOn leads to the next step; it is lit when there is nothing left to do in this one but to read.
func (v *lessonView) addGoOn(p *viewmodel.LessonPage, next int, lit bool) {
	words := v.say("panel_read_on", p.Steps[next].Title)
	v.rows = append(v.rows, lessonRow{high: stepRow, name: "read on", do: func() { v.turnTo(p, next) },
		draw: func(r Rect) {
			box := r.Top(stepRow - 4)
			ground := v.shared.ground(box)
			if lit {
				ground = v.chosen
			}
			v.fill(box, ground)
			v.centred(words, box, normal, lit, scene.Chalk)
		}})
	v.space(textGap)
}

// drawStep draws a step's heading with its tick.
func (v *lessonView) drawStep(title string, r Rect, done, open bool) {
	ground := v.shared.ground(r)
	if open {
		ground = v.chosen
	}
	box := Rect{X: r.X - 4, Y: r.Y + 1, W: r.W + 8, H: r.H - 3}
	v.fill(box, ground)
	v.drawTick(geom.Vec{X: r.X + 7, Y: r.Y + r.H/2 - 1}, done, false)
	v.words(title, Rect{X: r.X + tickRoom, Y: r.Y, W: r.W - tickRoom, H: r.H - 2}, normal, open, scene.Chalk)
}

// drawTick draws a tick for what holds, a cross for what does not, a ring for what is still to come.
func (v *lessonView) drawTick(at geom.Vec, held, fails bool) {
	switch {
	case held:
		tick := []geom.Vec{{X: at.X - 5, Y: at.Y}, {X: at.X - 1.5, Y: at.Y + 4}, {X: at.X + 5, Y: at.Y - 4.5}}
		v.pen.Stroke([][]geom.Vec{tick}, false, 2.2, v.accent)
	case fails:
		v.drawer.Mark(v.pen, scene.Cross, at, tickSize, scene.Chalk, scene.Pen{})
	default:
		v.pen.Ring(at, tickSize-0.5, 1.2, scene.Dust)
	}
}

// addMarks adds what is expected, and how far it holds.
func (v *lessonView) addMarks(p *viewmodel.LessonPage) {
	if len(p.Marks) == 0 {
		return
	}
	title := v.say("panel_to_pass")
	if p.Judging {
		title = v.say("panel_judging")
	}
	v.heading(title)
	v.rows[len(v.rows)-1].marks = true
	last := ""
	for i := range p.Marks {
		m := &p.Marks[i]
		if m.Case != last {
			last = m.Case
			v.addCase(p, m)
		}
		v.addMark(p, m)
	}
	if p.Fault != "" {
		v.text(p.Fault, 0)
	}
	v.space(textGap)
}

// addCase names what marks belong to.
func (v *lessonView) addCase(_ *viewmodel.LessonPage, m *lesson.Mark) {
	star := m.Star
	words := m.Case
	v.rows = append(v.rows, lessonRow{high: markRow + 3, draw: func(r Rect) {
		at := r
		if star {
			v.drawStar(geom.Vec{X: r.X + 7, Y: r.Y + r.H/2}, 6, m.Held)
			at = r.Rest(tickRoom)
		}
		v.words(words, at, normal, true, scene.Chalk)
	}})
}

// addMark adds an expectation, and what happened where it does not hold.
func (v *lessonView) addMark(p *viewmodel.LessonPage, m *lesson.Mark) {
	judged := p.Judged && !p.Judging
	for i, line := range wrapped(m.Expected, v.width()-tickRoom, normal) {
		v.rows = append(v.rows, lessonRow{high: markRow, draw: func(r Rect) {
			if i == 0 {
				v.drawTick(geom.Vec{X: r.X + 7, Y: r.Y + r.H/2}, judged && m.Held, judged && !m.Held)
			}
			v.words(line, r.Rest(tickRoom), normal, false, scene.Chalk)
		}})
	}
	if m.Held || !judged || m.Happened == "" {
		return
	}
	for _, line := range wrapped(m.Happened, v.width()-tickRoom, small) {
		v.rows = append(v.rows, lessonRow{high: markRow - 2, draw: func(r Rect) {
			v.words(line, r.Rest(tickRoom), small, false, scene.Dust)
		}})
	}
}

// addPassed says that the lesson is passed.
func (v *lessonView) addPassed(p *viewmodel.LessonPage) {
	v.rows = append(v.rows, lessonRow{high: 30, draw: func(r Rect) {
		v.fill(Rect{X: r.X - 4, Y: r.Y, W: r.W + 8, H: r.H - 4}, v.chosen)
		used := v.words(v.say("panel_passed"), Rect{X: r.X + 6, Y: r.Y, W: r.W - 6, H: r.H - 4}, normal, true, scene.Chalk)
		for i := range p.MostStars() {
			v.drawStar(geom.Vec{X: r.X + used + 26 + 20*float64(i), Y: r.Y + (r.H-4)/2}, 8, i < p.Reached)
		}
	}})
	if p.Next != "" {
		v.text(v.say("panel_next_is", p.Next), 0)
	}
}

// drawStar draws a star, filled where it was earned.
func (v *lessonView) drawStar(at geom.Vec, radius float64, earned bool) {
	var corners []geom.Vec
	for i := range 10 {
		far := radius
		if i%2 == 1 {
			far = 0.45 * radius
		}
		angle := math.Pi/2 + float64(i)*math.Pi/5
		corners = append(corners, geom.Vec{X: at.X + far*math.Cos(angle), Y: at.Y - far*math.Sin(angle)})
	}
	if earned {
		v.pen.Fill(corners, v.accent)
		return
	}
	v.pen.Stroke([][]geom.Vec{corners}, true, 1.2, scene.Dust)
}

// turnPage scrolls by a share of what is seen.
func (v *lessonView) turnPage(share float64) { v.scroll.by(share*v.area().H, v.area().H) }

// toHints shows the hint that was opened last.
func (v *lessonView) toHints() {
	p := v.model.Lesson()
	v.set(p)
	v.scrollTo(func(row *lessonRow) bool { return row.hint == p.Opened })
}

// fold folds the lesson, or shows it again.
func (v *lessonView) fold() {
	l := v.memory.Layout
	l.NoLesson = !l.NoLesson
	l.Folded = false
	v.memory.Divide(l)
}

// say is a text of the panel, with numbers and names put in.
func (*shared) say(key string, args ...any) string { return lesson.Say(key, args...) }
