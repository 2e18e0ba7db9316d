package window

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/scripting"
)

// desk stands beside the field while somebody drives: what is left of the phase, battery and air, a picture of the pad
// with what is held on it, the macro of each button, and a stick for the pointer.
type desk struct {
	*shared
	driver *driver
	stick  Rect               // of this Update; empty: there is no room
	pad    padPicture         // likewise
	macros []macroRow         // likewise
	grip   grip               // what the pointer holds
	at     geom.Vec           // where it has the stick, -1 to 1, y forward
	shown  scripting.PadState // the controls as they are now
}

// grip is what of the desk the pointer holds: the stick, or a button of the pad.
type grip struct {
	stick  bool
	button string
}

// macroRow is a line of the desk for a button.
type macroRow struct {
	button string
	at     Rect
	words  string
	tip    string
	runs   bool
}

const (
	deskEdge   = 8.0
	clockRow   = 46.0
	gaugeRow   = 20.0
	deskButton = 26.0
	leastMacro = 14.0
	mostMacro  = 20.0
	leastStick = 60.0
	leastPad   = 80.0 // high
	mostPad    = 170.0
	mostStick  = 240.0
	stickIdle  = 0.06 // of the stick's way, about its middle
)

func (d *desk) want(*wants) {}

// place parts the desk: what is told comes first, then pad and macros, and the stick has what they leave.
func (d *desk) place() {
	d.stick, d.pad, d.macros = Rect{}, padPicture{}, d.macros[:0]
	area := d.frame.Desk.Inset(deskEdge)
	if d.frame.Desk.H == 0 {
		d.grip = grip{}
		return
	}
	rest := area.Below(d.toldHeight())
	d.placeEnds(rest.Top(deskButton))
	rest = rest.Below(deskButton + deskEdge)
	macros := d.model.Macros()
	high := math.Min(padShape*rest.W, rest.H-leastMacro*float64(len(macros))-leastStick-2*deskEdge)
	if high = math.Min(high, mostPad); high >= leastPad {
		d.pad = newPadPicture(rest.Top(high))
		rest = rest.Below(high + deskEdge)
		d.placePad()
	}
	row := mostMacro
	if n := float64(len(macros)); n > 0 {
		row = math.Min(math.Max((rest.H-leastStick-deskEdge-1)/n, leastMacro), mostMacro)
	}
	for i, m := range macros {
		at := rest.Below(float64(i) * row).Top(row - 1)
		if at.H < leastMacro-1 {
			break
		}
		r := macroRow{m.Button, at, fmt.Sprintf("%s  %s", keyName(d.driver.pad.puts.key(m.Button)), m.Name),
			fmt.Sprintf("button %s: %s", m.Button, m.Name), m.Runs}
		if m.Line > 0 {
			r.tip += fmt.Sprintf(" (line %d)", m.Line)
		}
		d.macros = append(d.macros, r)
		d.add(element{Name: "macro " + m.Button, Rect: at, Bare: true, Tip: r.tip, Do: func() {}})
	}
	rest = rest.Below(float64(len(d.macros))*row + deskEdge)
	if side := math.Min(math.Min(rest.W, rest.H), mostStick); side >= leastStick {
		d.stick = Rect{X: rest.X + (rest.W-side)/2, Y: rest.Bottom() - side, W: side, H: side}
		d.add(element{Name: "stick", Rect: d.stick, Bare: true, Do: func() {},
			Tip: "drag: forward and back, and to the sides to turn, as the keys do"})
	}
}

// toldHeight is that of the clock and the gauges.
func (d *desk) toldHeight() float64 { return clockRow + float64(len(d.gauges()))*gaugeRow + deskEdge/2 }

// placeEnds are the buttons that start the clock and end the drive.
func (d *desk) placeEnds(row Rect) {
	put := func(at Rect, name, label, tip string, do func()) {
		d.add(element{Name: name, Rect: at, Label: label, Tip: tip, Do: do})
	}
	end := row
	if !d.model.Begun() {
		half := (row.W - 4) / 2
		put(row.Left(half), "start drive", "Start", "start the clock (Enter)", d.model.Go)
		end = row.Rest(half + 4)
	}
	put(end, "end drive", "End", "end the drive (Esc)", d.driver.end)
}

func (d *desk) placePad() {
	for _, button := range scripting.Buttons {
		d.add(element{Name: "pad " + button, Rect: d.pad.button(button).box(), Bare: true,
			Tip: fmt.Sprintf("button %s (%s)", button, keyName(d.driver.pad.puts.key(button))), Do: func() {}})
	}
}

// held adds what the pointer holds to the controls.
func (d *desk) held(state scripting.PadState) scripting.PadState {
	if d.card != nil || !d.hand.Down {
		d.grip = grip{}
	}
	if d.hand.Pressed && d.card == nil {
		d.grip = d.gripAt(d.hand.X, d.hand.Y)
	}
	switch {
	case d.grip.stick:
		d.at = stickAt(d.stick, d.hand.X, d.hand.Y)
		state = d.driver.pad.moved(state, d.at)
	case d.grip.button != "":
		state.Buttons = append(state.Buttons, d.grip.button)
	}
	d.shown = tidied(state)
	return d.shown
}

// gripAt is what lies at a place.
func (d *desk) gripAt(x, y float64) grip {
	if d.stick.Contains(x, y) {
		return grip{stick: true}
	}
	for _, row := range d.macros {
		if row.at.Contains(x, y) {
			return grip{button: row.button}
		}
	}
	if d.pad.at.H > 0 {
		for _, button := range scripting.Buttons {
			if d.pad.button(button).box().Contains(x, y) {
				return grip{button: button}
			}
		}
	}
	return grip{}
}

// stickAt is how far the pointer has the stick: the full way at its rim, nothing about its middle.
func stickAt(stick Rect, x, y float64) geom.Vec {
	radius := stick.W / 2
	at := geom.Vec{X: (x - stick.X - radius) / radius, Y: (stick.Y + radius - y) / radius}
	for _, way := range []*float64{&at.X, &at.Y} {
		if *way = geom.Clamp(*way, -1, 1); math.Abs(*way) < stickIdle {
			*way = 0
		}
	}
	return at
}

// moved is a state with the sticks as the one for the pointer has them: forward and turn for arcade, a stick for each
// side for tank.
func (p *padMaker) moved(state scripting.PadState, at geom.Vec) scripting.PadState {
	if p.tank {
		state.LeftY, state.RightY = geom.Clamp(at.Y+at.X, -1, 1), geom.Clamp(at.Y-at.X, -1, 1)
		return state
	}
	state.LeftY, state.RightX = at.Y, at.X
	return state
}

func (d *desk) draw() {
	if d.frame.Desk.H == 0 || d.model.Now == nil {
		return
	}
	d.fill(d.frame.Desk, d.panel)
	d.pen.Rect(d.frame.Desk.X, d.frame.Desk.Y, 1, d.frame.Desk.H, d.edge)
	area := d.frame.Desk.Inset(deskEdge)
	d.drawClock(area.Top(clockRow))
	for i, g := range d.gauges() {
		d.drawGauge(g, area.Below(clockRow+float64(i)*gaugeRow).Top(gaugeRow-3))
	}
	for i := range d.elements {
		if e := &d.elements[i]; e.Name == "start drive" || e.Name == "end drive" {
			d.drawButton(e, e == d.under())
		}
	}
	if d.pad.at.H > 0 {
		d.drawPad()
	}
	for _, row := range d.macros {
		d.drawMacro(row)
	}
	if d.stick.W > 0 {
		d.drawStick()
	}
}

// drawClock writes what is left of the phase, large.
func (d *desk) drawClock(r Rect) {
	phase, left := d.model.PhaseLeft()
	if d.model.DrivesCourse() {
		driven, _ := d.model.Course()
		phase, left = d.say("course_time"), driven.Seconds
	}
	digits := math.Min(30, r.W/6)
	d.words(phase, r.Top(16), small, false, scene.Dust)
	d.words(fmt.Sprintf("%.1f s", left), r.Below(15), digits, true, d.accent)
}

// gauge is a number with a bar.
type gauge struct {
	words string
	share float64 // 0 to 1
}

// gauges are battery, air and the points of the best drive: a battery's bar goes from half of what it had at the start,
// below which it drives little.
func (d *desk) gauges() []gauge {
	if d.model.DrivesCourse() {
		return d.courseGauges()
	}
	now, first, ok := d.model.Stock()
	if !ok {
		return nil
	}
	const low = 0.5
	list := []gauge{{fmt.Sprintf("battery %.1f V", now.Battery), (now.Battery/first.Battery - low) / (1 - low)}}
	if first.Air > 0 {
		list = append(list, gauge{d.model.Units.Sprintf("air %.0f kPa", now.Air), now.Air / first.Air})
	}
	if ghost := d.model.Ghost(); ghost != nil {
		by := ghost.PointsAt(d.model.Time)
		list = append(list, gauge{fmt.Sprintf("best: %g of %g by now", by, ghost.Points), by / ghost.Points})
	}
	return list
}

func (d *desk) drawGauge(g gauge, r Rect) {
	d.fill(r, d.raised)
	d.pen.Rect(r.X, r.Y, r.W*geom.Clamp(g.share, 0, 1), r.H, d.chosen)
	d.words(g.words, Rect{X: r.X + 6, Y: r.Y, W: r.W - 8, H: r.H}, small, false, scene.Chalk)
}

// drawMacro writes a button with its key and its macro; a long one is shortened, and told whole by its tip.
func (d *desk) drawMacro(row macroRow) {
	ground := d.raised
	if row.runs || slices.Contains(d.shown.Buttons, row.button) {
		ground = d.chosen
	}
	d.fill(row.at, ground)
	if row.runs {
		d.pen.Rect(row.at.X, row.at.Y, 3, row.at.H, d.accent)
	}
	const names = 34.0
	d.words(row.button, row.at.Rest(6).Left(names), small, true, d.accent)
	words := row.at.Rest(6 + names)
	d.words(paint.Fit(paint.Clean(row.words), words.W-4, small, false), words, small, false, scene.Chalk)
}

// drawStick draws the pointer's stick where it is held.
func (d *desk) drawStick() {
	r, radius := d.stick, d.stick.W/2
	middle := geom.Vec{X: r.X + radius, Y: r.Y + radius}
	d.pen.Rect(r.X, r.Y, r.W, r.H, d.raised)
	d.pen.Segment(r.X+6, middle.Y, r.Right()-6, middle.Y, 1, d.edge)
	d.pen.Segment(middle.X, r.Y+6, middle.X, r.Bottom()-6, 1, d.edge)
	at, ink := middle, scene.Dust
	if d.grip.stick {
		at, ink = geom.Vec{X: middle.X + d.at.X*radius*0.8, Y: middle.Y - d.at.Y*radius*0.8}, d.accent
	}
	d.pen.Stroke([][]geom.Vec{{middle, at}}, false, 3, ink)
	d.pen.Disc(at, radius*0.2, ink)
	if !d.grip.stick && r.W > 100 {
		d.centred("drag to drive", r.Top(20), small, false, scene.Chalk)
	}
}
