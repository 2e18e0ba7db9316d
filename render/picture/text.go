package picture

import (
	"math"
	"strconv"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// words paints one line on the page's ground, its left end at a place.
func words(p paint.Painter, text string, left, baseline, size float64, bold bool, c scene.Colour) {
	p.Text(paint.Text{Words: text, At: geom.Vec{X: left, Y: baseline}, Size: size, Bold: bold, Colour: c, On: scene.Slate})
}

// wordsRight is words with the right end at a place.
func wordsRight(p paint.Painter, text string, right, baseline, size float64, bold bool, c scene.Colour) {
	words(p, text, right-paint.Width(text, size, bold), baseline, size, bold, c)
}

// rule paints a thin level line.
func rule(p paint.Painter, left, right, y float64) {
	p.Stroke([][]geom.Vec{{{X: left, Y: y}, {X: right, Y: y}}}, false, 1, scene.Scratch)
}

// scaleBar is the longest round length that fits a width in pixels, and its words.
func scaleBar(scale, width float64) (metres float64, text string) {
	most := width / scale
	decade := math.Pow(10, math.Floor(math.Log10(most)))
	for _, step := range []float64{5, 2, 1} {
		if step*decade <= most {
			metres = step * decade
			break
		}
	}
	if metres < 1 {
		return metres, number(metres*1000) + " mm"
	}
	return metres, number(metres) + " m"
}

// number is a value with at most two decimals, without idle zeros.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100+0, 'f', -1, 64) // + 0: no "-0"
}
