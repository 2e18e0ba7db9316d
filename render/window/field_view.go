package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// fieldView is what part of the field is seen, and what of it is pointed at. The parts that lie on the field share it.
type fieldView struct {
	*shared
	zoom  float64  // 1 shows all of it
	shift geom.Vec // m: what the middle of the view is off the middle of all
	view  paint.View
	aim   aim
	spans func() (low, high geom.Vec) // what there is to show; nil: the field of the run
}

const (
	mostZoom = 12.0
	zoomStep = 1.25
)

// Room about the floor for the numbers of its axes and its walls, points.
const (
	overFloor   = 9.0
	underFloor  = leastUnder + 2
	rightFloor  = 9.0
	besideFloor = leastLeft + rightFloor
)

// aspect is the floor's width by its height, 0 while there is none.
func (v *fieldView) aspect() float64 {
	low, high, ok := v.extents()
	if !ok || !(high.Y > low.Y) {
		return 0
	}
	return (high.X - low.X) / (high.Y - low.Y)
}

// fit works out the view.
func (v *fieldView) fit() {
	low, high, ok := v.extents()
	if !ok {
		return
	}
	area := v.frame.Field
	box := paint.Box{Left: area.X, Top: area.Y, Right: area.Right(), Bottom: area.Bottom()}
	view := paint.FitView(low, high, paint.Box{Left: area.X + leastLeft, Top: area.Y + overFloor,
		Right: area.Right() - rightFloor, Bottom: area.Bottom() - underFloor})
	view.Area = box
	if v.moved() {
		middle := geom.Vec{X: (box.Left + box.Right) / 2, Y: (box.Top + box.Bottom) / 2}
		centre := view.Place(middle)
		v.shift = geom.Vec{X: geom.Clamp(v.shift.X, low.X-centre.X, high.X-centre.X),
			Y: geom.Clamp(v.shift.Y, low.Y-centre.Y, high.Y-centre.Y)}
		view.Scale *= v.zoom
		view.Origin = geom.Vec{X: middle.X - view.Scale*(centre.X+v.shift.X), Y: middle.Y + view.Scale*(centre.Y+v.shift.Y)}
	}
	v.view = view
}

// moved reports whether not simply all of the field is shown.
func (v *fieldView) moved() bool { return v.zoom != 1 || v.shift != geom.Vec{} }

// showAll shows all of the field.
func (v *fieldView) showAll() { v.zoom, v.shift = 1, geom.Vec{} }

// extents are those of the floor and of what stands on its walls, or else of all that is shown.
func (v *fieldView) extents() (low, high geom.Vec, ok bool) {
	if v.spans != nil {
		low, high = v.spans()
		return low, high, high.X > low.X && high.Y > low.Y
	}
	low, high, ok = v.floorBounds()
	if v.drawn == nil || v.model.Now == nil {
		return low, high, ok
	}
	if !ok {
		return v.drawn.Low, v.drawn.High, true
	}
	for _, corner := range v.model.Now.FixedCorners() { // they may stand on a wall, outside
		low = geom.Vec{X: math.Min(low.X, corner.X), Y: math.Min(low.Y, corner.Y)}
		high = geom.Vec{X: math.Max(high.X, corner.X), Y: math.Max(high.Y, corner.Y)}
	}
	return low, high, true
}

// floorBounds are those of the floor, false while there is none.
func (v *fieldView) floorBounds() (low, high geom.Vec, ok bool) {
	f := v.model.Setup.Field
	if v.model.Now != nil {
		f = v.model.Now.Setup.Field
	}
	if f == nil || len(f.Floor) < 3 {
		return low, high, false
	}
	low, high = f.Floor.Bounds()
	return low, high, true
}

// middle is the middle of the field's part of the window.
func (v *fieldView) middle() geom.Vec {
	a := v.view.Area
	return geom.Vec{X: (a.Left + a.Right) / 2, Y: (a.Top + a.Bottom) / 2}
}

// zoomAt changes the zoom so that the place under a point of the screen stays there.
func (v *fieldView) zoomAt(at geom.Vec, factor float64) {
	if !(v.view.Scale > 0) {
		return
	}
	next := geom.Clamp(v.zoom*factor, 1, mostZoom)
	place, centre := v.view.Place(at), v.view.Place(v.middle())
	share := 1 - v.zoom/next // the middle goes towards the place
	v.shift.X += (place.X - centre.X) * share
	v.shift.Y += (place.Y - centre.Y) * share
	if v.zoom = next; next == 1 && factor < 1 {
		v.shift = geom.Vec{}
	}
}

// moveView lets the wheel zoom and a held button move the view.
func (v *fieldView) moveView() {
	if v.hand.WheelY != 0 {
		v.zoomAt(v.pointer(), math.Pow(zoomStep, v.hand.WheelY))
	}
	if v.hand.Pan {
		v.panBy(v.hand.X-v.hand.lastX, v.hand.Y-v.hand.lastY)
	}
}

// panBy moves the view by points of the screen.
func (v *fieldView) panBy(dx, dy float64) {
	if v.view.Scale > 0 {
		v.shift.X -= dx / v.view.Scale
		v.shift.Y += dy / v.view.Scale
	}
}

// aim is the place of the field that a person points at, with the pointer or with the keys.
type aim struct {
	at    geom.Vec // m
	valid bool
	thing viewmodel.Thing
	keyed bool // moved by keys: it stays until the pointer moves
}

// Reach of the pointer beyond a thing's edge, points.
const reach = 5.0

// aimNow finds what is pointed at.
func (v *fieldView) aimNow() {
	if v.card != nil && v.card.menu != nil { // it is about what was pointed at when it opened
		return
	}
	moved := v.hand.X != v.hand.lastX || v.hand.Y != v.hand.lastY
	if moved || !v.aim.keyed {
		v.aim.keyed = false
		v.aim.valid = v.onField() && v.view.Scale > 0
		if v.aim.valid {
			v.aim.at = v.view.Place(v.pointer())
		}
	}
	v.aim.thing = viewmodel.Nothing
	if v.aim.valid && v.model.Now != nil && v.spans == nil {
		v.aim.thing = v.model.Now.ThingAt(v.aim.at, v.model.Time, reach/v.view.Scale)
		if v.model.Mode == viewmodel.Measure {
			v.model.MeasureTo(v.aim.at)
		}
	}
}

// keyAim moves the aim by keys, from the robot when there is none.
func (v *fieldView) keyAim(dx, dy float64) {
	if !v.aim.valid {
		if pose, ok := v.model.RobotPose(); ok {
			v.aim.at = pose.At()
		}
	}
	v.aim.at = geom.Vec{X: v.aim.at.X + dx, Y: v.aim.at.Y + dy}
	v.aim.valid, v.aim.keyed = true, true
}

// plate writes words on a plate centred at a point, kept within the field.
func (v *fieldView) plate(words string, at geom.Vec) {
	const height = 22
	width := paint.Width(words, normal, true) + 16
	area := v.frame.Field
	x := geom.Clamp(at.X-width/2, area.X+2, math.Max(area.X+2, area.Right()-width-2))
	y := geom.Clamp(at.Y-height/2, area.Y+2, math.Max(area.Y+2, area.Bottom()-height-2))
	v.pen.Rect(x, y, width, height, v.panel)
	v.centred(words, Rect{X: x, Y: y, W: width, H: height}, normal, true, v.accent)
}

// clicked reports whether a place of the field was clicked now, in a mode.
func (v *fieldView) clicked(mode viewmodel.Mode) bool {
	return v.hand.Pressed && v.onField() && v.aim.valid && v.model.Now != nil && v.model.Mode == mode
}

// onField reports whether the pointer is on the field.
func (v *fieldView) onField() bool {
	return v.card == nil && v.frame.Field.Contains(v.hand.X, v.hand.Y)
}
