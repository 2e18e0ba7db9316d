package picture

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/render/scene"
)

// inked is how many pixels' worth of an opaque colour an image has.
func inked(r *raster) float64 {
	var sum float64
	for i := 3; i < len(r.to.Pix); i += 4 {
		sum += float64(r.to.Pix[i]) / 255
	}
	return sum
}

func point(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// The areas are elementary geometry: rectangle, disc, annulus, and a line with round ends and corners (a rectangle for
// each stretch, whose overlap at the corner is taken off and whose wedge is added, and a disc for the two ends).
func TestShapesCoverTheirArea(t *testing.T) {
	white := scene.Colour{R: 255, G: 255, B: 255, A: 255}
	lone := func(w, length float64) float64 { return w*length + math.Pi*w*w/4 }
	for name, c := range map[string]struct {
		draw func(*raster)
		want float64
	}{
		"polygon": {func(r *raster) {
			r.Fill([]geom.Vec{point(10.3, 20.7), point(60.1, 20.7), point(60.1, 40.2), point(10.3, 40.2)}, white)
		}, 49.8 * 19.5},
		"the other way": {func(r *raster) {
			r.Fill([]geom.Vec{point(10, 40), point(60, 40), point(60, 20),
				point(10, 20)}, white)
		}, 50 * 20},
		"disc":              {func(r *raster) { r.Disc(point(50.2, 50.4), 20, white) }, math.Pi * 400},
		"ring":              {func(r *raster) { r.Ring(point(50.2, 50.4), 20, 4, white) }, math.Pi * (22*22 - 18*18)},
		"ring without hole": {func(r *raster) { r.Ring(point(50, 50), 2, 6, white) }, math.Pi * 25},
		"line": {func(r *raster) { r.Stroke([][]geom.Vec{{point(20, 20), point(70, 60)}}, false, 6, white) },
			lone(6, math.Hypot(50, 40))},
		"dot": {func(r *raster) { r.Stroke([][]geom.Vec{{point(20, 20), point(20, 20)}}, false, 6, white) },
			math.Pi * 9},
		"square corner": {func(r *raster) {
			r.Stroke([][]geom.Vec{{point(20, 20), point(60, 20), point(60, 60)}}, false, 8, white)
		}, lone(8, 80) - 16 + math.Pi*16/4},
		"closed": {func(r *raster) {
			r.Stroke([][]geom.Vec{{point(20, 20), point(60, 20), point(60, 60), point(20, 60)}}, true, 8, white)
		}, 40*40 + 4*40*4 + math.Pi*16 - 32*32},
		"back over itself": {func(r *raster) {
			r.Stroke([][]geom.Vec{{point(20, 50), point(70, 50), point(20, 50)}}, false, 8, white)
		}, lone(8, 50)},
		"beyond the image": {func(r *raster) {
			r.Fill([]geom.Vec{point(-500, -500), point(50, -500), point(50, 900), point(-500, 900)}, white)
		}, 50 * 100},
		"outside": {func(r *raster) { r.Disc(point(500, 50), 20, white) }, 0},
	} {
		r := newRaster(100, 100, 1)
		c.draw(r)
		if got := inked(r); math.Abs(got-c.want) > 0.01*c.want {
			t.Errorf("%s: %.1f pixels are inked, want %.1f", name, got, c.want)
		}
	}
}

// Whatever a line does, its ink is where it is no farther from a pixel than half its width, and nowhere else: a pixel
// that lies wholly inside has all of the colour, one wholly outside none.
func TestAStrokeIsWhatLiesNearItsLine(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		line := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) geom.Vec {
			return point(rapid.Float64Range(-15, 55).Draw(t, "x"), rapid.Float64Range(-15, 55).Draw(t, "y"))
		}), 1, 6).Draw(t, "line")
		half, closed := rapid.Float64Range(0.5, 12).Draw(t, "half"), rapid.Bool().Draw(t, "closed")
		r := newRaster(40, 40, 1)
		r.Stroke([][]geom.Vec{line}, closed, 2*half, scene.Colour{R: 255, A: 255})
		if closed {
			line = append(line, line[0])
		}
		for y := range 40 {
			for x := range 40 {
				centre, off := point(float64(x)+0.5, float64(y)+0.5), math.Inf(1)
				for i, v := range line {
					off = math.Min(off, geom.DistanceToSegment(centre, line[max(i-1, 0)], v))
				}
				a := r.to.RGBAAt(x, y).A
				// a pixel's corner is 0.71 from its middle; arcs are 0.02 short
				if off < half-0.8 && a < 250 || off > half+0.8 && a > 5 {
					t.Fatalf("pixel %d, %d is %.2f from the line, half width %.2f, and has alpha %d", x, y, off, half, a)
				}
			}
		}
	})
}
