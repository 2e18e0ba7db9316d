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
	zoom   float64  // 1 shows all of it
	centre geom.Vec // m: middle of the view, counts when zoom is not 1
	view   paint.View
	aim    aim
}

const (
	mostZoom = 12.0
	zoomStep = 1.25
)

// fit works out the view.
func (v *fieldView) fit() {
	low, high, ok := v.extents()
	if !ok {
		return
	}
	area := v.frame.Field
	box := paint.Box{Left: area.X, Top: area.Y, Right: area.Right(), Bottom: area.Bottom()}
	view := v.fitWithAxes(low, high, box)
	if v.zoom != 1 {
		view.Scale *= v.zoom
		view.Origin = geom.Vec{
			X: (box.Left+box.Right)/2 - view.Scale*v.centre.X,
			Y: (box.Top+box.Bottom)/2 + view.Scale*v.centre.Y,
		}
	}
	v.view = view
}

// extents are what a scene of the run shows.
func (v *fieldView) extents() (low, high geom.Vec, ok bool) {
	if v.drawn != nil && v.model.Now != nil {
		return v.drawn.Low, v.drawn.High, true
	}
	if f := v.model.Setup.Field; f != nil {
		low, high = f.Floor.Bounds()
		return low, high, true
	}
	return low, high, false
}

// fitWithAxes is the view of all of the field that leaves room for the numbers left of the floor and under it.
func (v *fieldView) fitWithAxes(low, high geom.Vec, area paint.Box) paint.View {
	corner, _ := v.floorBounds(low, high)
	within := area
	view := paint.FitView(low, high, within)
	for range 3 { // a smaller view has a smaller margin of its own
		at := view.Pixel(corner)
		within.Left += math.Max(0, area.Left+leastLeft-at.X)
		within.Bottom -= math.Max(0, at.Y-(area.Bottom-leastUnder))
		view = paint.FitView(low, high, within)
	}
	view.Area = area
	return view
}

// floorBounds are the floor's, or else those of all that is shown.
func (v *fieldView) floorBounds(low, high geom.Vec) (geom.Vec, geom.Vec) {
	f := v.model.Setup.Field
	if v.model.Now != nil {
		f = v.model.Now.Setup.Field
	}
	if f != nil && len(f.Floor) >= 3 {
		return f.Floor.Bounds()
	}
	return low, high
}

// middle is the middle of the field's part of the window.
func (v *fieldView) middle() geom.Vec {
	a := v.view.Area
	return geom.Vec{X: (a.Left + a.Right) / 2, Y: (a.Top + a.Bottom) / 2}
}

// zoomAt changes the zoom so that the place under a point of the screen stays there.
func (v *fieldView) zoomAt(at geom.Vec, factor float64) {
	place := v.view.Place(at)
	next := geom.Clamp(v.zoom*factor, 1, mostZoom)
	scale := v.view.Scale * next / v.zoom
	box := v.view.Area
	v.centre = geom.Vec{
		X: place.X - (at.X-(box.Left+box.Right)/2)/scale,
		Y: place.Y + (at.Y-(box.Top+box.Bottom)/2)/scale,
	}
	v.zoom = next
}

// panBy moves the view by points of the screen.
func (v *fieldView) panBy(dx, dy float64) {
	if v.zoom == 1 {
		return
	}
	v.centre.X -= dx / v.view.Scale
	v.centre.Y += dy / v.view.Scale
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
	moved := v.hand.X != v.hand.lastX || v.hand.Y != v.hand.lastY
	if moved || !v.aim.keyed {
		v.aim.keyed = false
		v.aim.valid = v.onField() && v.view.Scale > 0
		if v.aim.valid {
			v.aim.at = v.view.Place(v.pointer())
		}
	}
	v.aim.thing = viewmodel.Nothing
	if v.aim.valid && v.model.Now != nil {
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
