package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
)

// Room for the numbers of the axes, from the view's edges to the axes, and how far apart they stand, points.
const (
	leastLeft  = 42.0 // enough for "12000"
	leastUnder = 23.0
	apartX     = 46.0
	apartY     = 24.0
	axisTick   = 4.0
)

// axes are the numbers along the floor's left and lower edge; where such an edge is out of view, along the
// view's. They are labels of the scene, so that other labels keep off them.
type axes struct {
	in     units.System
	labels []scene.Label
	x, y   float64 // points: where the y axis stands, and the x axis
}

// axesOf works out the numbers for the view as it is.
func (f *field) axesOf(area Rect) *axes {
	low, high, ok := f.floorBounds()
	if !ok {
		low, high = f.drawn.Low, f.drawn.High
	}
	tile := 0.0
	if field := f.model.Now.Setup.Field; field != nil {
		tile = field.Tile
	}
	v, a := f.view, &f.axes
	corner := v.Pixel(low)
	bottom := area.Bottom()
	a.labels = a.labels[:0]
	a.x = math.Max(corner.X, area.X+leastLeft)
	a.y = math.Min(corner.Y, bottom-leastUnder)
	from, to := v.Place(geom.Vec{X: a.x, Y: a.y}), v.Place(geom.Vec{X: area.Right(), Y: area.Y})
	to = geom.Vec{X: math.Min(to.X, high.X), Y: math.Min(to.Y, high.Y)}
	unit := f.model.Units.Step()
	stepX := axisStep(apartX/v.Scale, tile, to.X-from.X, unit)
	stepY := axisStep(apartY/v.Scale, tile, to.Y-from.Y, unit)
	// no finer than the tiles, where these are enough
	if coarse := math.Min(stepX, math.Max(stepY, tile)); 2*coarse < to.Y-from.Y {
		stepY = coarse
	}
	a.in = f.model.Units
	a.along(from.X, to.X, stepX, func(x float64) geom.Vec { return geom.Vec{X: x, Y: from.Y} }, geom.Vec{Y: 1})
	a.along(from.Y, to.Y, stepY, func(y float64) geom.Vec { return geom.Vec{X: from.X, Y: y} }, geom.Vec{X: -1})
	return a
}

// along adds the numbers of one axis.
func (a *axes) along(from, to, step float64, at func(float64) geom.Vec, side geom.Vec) {
	const slack = 1e-6 // m: an edge of the floor that is a multiple but for rounding
	for k := math.Ceil((from - slack) / step); k*step <= to+slack; k++ {
		a.labels = append(a.labels, scene.Label{
			Words: a.in.Mark(k * step), At: at(k * step), Clear: scene.Size{Pixels: axisTick + 1}, Beside: side, Size: 11,
			Colour: scene.Dust, Rank: scene.RankGrid,
		})
	}
}

// enoughTiles is how many tiles in view give an axis enough numbers.
const enoughTiles = 4

// axisStep is the least round step of at least so many metres: whole tiles, or below one, where few tiles are in view,
// a round number of the smallest that is told, m.
func axisStep(least, tile, view, smallest float64) float64 {
	if tile > 0 && (least > tile/3 || least <= tile && view >= enoughTiles*tile) {
		step := tile
		for step < least {
			step *= 2
		}
		return step
	}
	for power := smallest; ; power *= 10 {
		for _, digit := range []float64{1, 2, 5} {
			if step := digit * power; step >= least-1e-9 {
				return step
			}
		}
	}
}

// drawTicks marks the places of the numbers outside the edge.
func (f *field) drawTicks(a *axes) {
	for i := range a.labels {
		at := f.view.Pixel(a.labels[i].At)
		side := a.labels[i].Beside
		f.pen.Segment(at.X, at.Y, at.X+side.X*axisTick, at.Y+side.Y*axisTick, 1.5, scene.Dust)
	}
}

// withoutAxes is a layer's labels without the numbers that the scene puts at the floor's edge, which the window's stand
// for.
func withoutAxes(to, labels []scene.Label) []scene.Label {
	for _, label := range labels {
		if label.Rank != scene.RankGrid {
			to = append(to, label)
		}
	}
	return to
}
