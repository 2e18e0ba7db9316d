package picture

import (
	"fmt"
	"math"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// curve draws the mean score and its 95 % interval at each value.
func (g *grid) curve() {
	low, high := g.upTo()
	ticks := roundTicks(low, high, g.mostTicks())
	labels := make([]string, len(ticks))
	for k, t := range ticks {
		labels[k] = fmt.Sprintf("%.6g", t)
	}
	g.axes(g.upName(), labels)
	up := func(score float64) float64 { return g.area.Bottom - g.area.Height()*(score-low)/(high-low) }
	for k, t := range ticks {
		g.line(1, scene.Mix(scene.Slate, scene.Dust, 0.3), geom.Vec{X: g.area.Left, Y: up(t)},
			geom.Vec{X: g.area.Right, Y: up(t)})
		g.labelUp(labels[k], up(t))
	}
	var line []geom.Vec
	for i := range g.sweep.Points {
		x, q := g.column(float64(i)), &g.sweep.Points[i]
		if q.Score.N == 0 {
			if q.Failed > 0 {
				g.cross(geom.Vec{X: x, Y: g.area.Bottom - 8})
			}
			continue
		}
		half := analysis.HalfWidth(q.Score)
		g.line(1.5, scene.Dust, geom.Vec{X: x, Y: up(q.Score.Mean - half)}, geom.Vec{X: x, Y: up(q.Score.Mean + half)})
		line = append(line, geom.Vec{X: x, Y: up(q.Score.Mean)})
		if g.sweep.Slice && i == g.sweep.Best {
			g.Disc(line[len(line)-1], 8, best)
			g.Disc(line[len(line)-1], 6, scene.Slate)
		}
	}
	if !g.sweep.Apart {
		g.line(2, scene.Accent, line...)
	}
	for _, at := range line {
		g.Disc(at, 4, scene.Accent)
	}
}

// upTo is what the scale upwards runs over: all means with their intervals, for a curve of its own from 0 on.
func (g *grid) upTo() (low, high float64) {
	low, high = 0.0, math.Inf(-1)
	if g.sweep.Slice {
		low = math.Inf(1)
	}
	if over := g.sweep.Over; over.High > over.Low {
		low, high = over.Low, over.High
	}
	for i := range g.sweep.Points {
		if q := &g.sweep.Points[i]; q.Score.N > 0 {
			half := analysis.HalfWidth(q.Score)
			low, high = math.Min(low, q.Score.Mean-half), math.Max(high, q.Score.Mean+half)
		}
	}
	if math.IsInf(low, 0) {
		low = 0
	}
	if !(high > low) {
		high = low + 1
	}
	if g.sweep.Slice { // what ends at an edge looks cut
		edge := (high - low) / 15
		return low - edge, high + edge
	}
	return low, high
}

func (g *grid) mostTicks() int { return map[bool]int{true: 7, false: 13}[g.sweep.Slice] }

// upName is what stands over the area.
func (g *grid) upName() string {
	name := g.score()
	if !g.sweep.Nominal {
		name += ", with its 95 % interval"
	}
	if g.sweep.Slice {
		name += "; ringed: " + g.sweep.Ringed
	}
	return name
}

// cross marks a value with which the routine fails.
func (g *grid) cross(at geom.Vec) {
	for _, up := range []float64{-5, 5} {
		g.line(2, scene.Chalk, geom.Vec{X: at.X - 5, Y: at.Y - up}, geom.Vec{X: at.X + 5, Y: at.Y + up})
	}
}

// roundTicks are the multiples between two numbers of 1, 2 or 5 times a power of ten: at most so many, two at least.
func roundTicks(low, high float64, most int) (list []float64) {
	least := math.Pow(10, math.Floor(math.Log10(high-low))-1)
	for _, share := range []float64{1, 2, 5, 10, 20, 50, 100} {
		var fewer []float64
		for k, step := math.Ceil(low/(share*least)), share*least; k*step <= high; k++ {
			fewer = append(fewer, k*step+0) // + 0: no "-0"
		}
		if len(fewer) < 2 {
			break
		}
		if list = fewer; len(list) <= most {
			break
		}
	}
	return list
}
