package fit

import (
	"math"

	"chalkfield/internal/app/logfile"
)

// end is what a log says of a drive as a whole.
type end struct {
	kind  kind
	value float64
	start float64 // rad: heading before the drive, of the log's own count, for places
	noise float64
	at    int
}

// The ends' floors: of the way, and what no tape or camera sees.
const (
	endShare   = 0.002
	endTravel  = 1e-4  // m
	endPlace   = 0.001 // m
	endTurning = 0.001 // rad
)

// addEnds compares how far the sides and the heading came, and where the robot then stands.
func (d *drive) addEnds(low, high float64) {
	last := d.from + d.edges[len(d.edges)-1]
	began := func(c *logfile.Column) (float64, int) { return meanOf(d.log, c, math.Max(low, d.from-quiet), d.from) }
	ended := func(c *logfile.Column) (float64, int) { return meanOf(d.log, c, last, high) }
	diff := func(c *logfile.Column) (value, noise float64, ok bool) {
		if c == nil {
			return 0, 0, false
		}
		a, n := began(c)
		b, m := ended(c)
		return b - a, d.stillNoise(c) * math.Sqrt(1/float64(n)+1/float64(m)), n > 0 && m > 0
	}
	var ways [2]float64
	for side := range 2 {
		c := d.log.Column(logfile.Travel[side])
		value, noise, ok := diff(c)
		if !ok {
			continue
		}
		ways[side] = d.variation(c)
		noise = math.Max(noise, d.grain(c)/math.Sqrt(6)) + float64(endShare*ways[side]) + endTravel
		d.ends = append(d.ends, end{kind: endLeft + kind(side), value: value, noise: noise})
	}
	d.way = d.middleWay()
	headings := d.log.Column(logfile.Heading)
	if value, noise, ok := diff(headings); ok {
		noise = math.Max(noise, d.grain(headings)/math.Sqrt(6)) + float64(endShare*d.variation(headings)) + endTurning
		d.ends = append(d.ends, end{kind: endHeading, value: value, noise: noise})
	}
	x, nx, okX := diff(d.log.Column(logfile.Place[0]))
	y, ny, okY := diff(d.log.Column(logfile.Place[1]))
	if !okX || !okY || d.bearing != d.bearing || headings == nil {
		return
	}
	start, _ := began(headings)
	sin, cos := math.Sincos(start + d.bearing)
	noise := math.Max(nx, ny) + endPlace + float64(endShare*math.Max(d.way, (ways[0]+ways[1])/2))
	start -= d.course
	d.ends = append(d.ends, end{kind: endAlong, value: float64(cos*x) + float64(sin*y), start: start, noise: noise},
		end{kind: endAcross, value: float64(cos*y) - float64(sin*x), start: start, noise: noise})
}

// variation is how far a quantity went in all, to and fro.
func (d *drive) variation(c *logfile.Column) float64 {
	sum, values := 0.0, d.log.At(c, d.cellTimes())
	for i := 1; i < len(values); i++ {
		if step := math.Abs(values[i] - values[i-1]); step == step {
			sum += step
		}
	}
	return sum
}

// end gives one, nil if the drive has none of it.
func (d *drive) end(k kind) *end {
	for i := range d.ends {
		if d.ends[i].kind == k {
			return &d.ends[i]
		}
	}
	return nil
}
