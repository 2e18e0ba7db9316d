package picture

import (
	"math"
	"strconv"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// words paints one line on the page's ground, its left end at a place.
func words(p paint.Painter, text string, left, baseline, size float64, bold bool, c scene.Colour) {
	wordsOn(p, text, left, baseline, 0, size, bold, c, scene.Slate)
}

// wordsRight is words with the right end at a place.
func wordsRight(p paint.Painter, text string, right, baseline, size float64, bold bool, c scene.Colour) {
	wordsOn(p, text, right, baseline, 1, size, bold, c, scene.Slate)
}

// wordsOn paints a line on a ground, its left end, middle or right end (share 0, 0.5, 1) at a place.
func wordsOn(p paint.Painter, text string, x, baseline, share, size float64, bold bool, c, on scene.Colour) {
	x -= share * paint.Width(text, size, bold)
	p.Text(paint.Text{Words: text, At: geom.Vec{X: x, Y: baseline}, Size: size, Bold: bold, Colour: c, On: on})
}

// rule paints a thin level line.
func rule(p paint.Painter, left, right, y float64) {
	p.Stroke([][]geom.Vec{{{X: left, Y: y}, {X: right, Y: y}}}, false, 1, scene.Scratch)
}

// scaleBar is the longest round length that fits a width in pixels, and its words.
func scaleBar(in units.System, scale, width float64) (metres float64, text string) {
	most := width / scale
	unit := "mm"
	if in.From(most, "m") >= 1 {
		unit = "m"
	}
	per := in.From(1, unit) // in a metre
	length := roundUpTo(most * per)
	return length / per, number(length) + " " + in.Name(unit)
}

// roundUpTo is the greatest number of 1, 2 or 5 times a power of ten up to another.
func roundUpTo(most float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(most)))
	for _, step := range []float64{5, 2, 1} {
		if step*decade <= most {
			return step * decade
		}
	}
	return decade
}

// number is a value with at most two decimals, without idle zeros.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100+0, 'f', -1, 64) // + 0: no "-0"
}
