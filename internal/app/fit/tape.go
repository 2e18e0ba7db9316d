package fit

import (
	"math"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/geom"
)

// taped is where a log's robot stood at the end, as a tape says it: x and y in a row before the first drive and in one
// behind the last. It is the way of all its drives together.
type taped struct {
	drives []int
	end    geom.Vec // m, from the start: ahead, to the left
	noise  geom.Vec
	at     int
}

// How well a tape measures, and people place a robot. Common practice, no source.
const (
	tapeSD   = 0.003 // m, of each place
	placedSD = 0.02  // rad
)

// findTapes finds them; a log that drives in stretches that are not fitted has none.
func (e *estimation) findTapes() {
	for _, r := range e.recordings() {
		if r.log.ByTape() {
			if t := e.taped(r); t != nil {
				t.at = e.n
				e.n += 2
				e.tapes, e.series = append(e.tapes, t), append(e.series, 1, 1)
			}
		}
	}
}

func (e *estimation) taped(r *recording) *taped {
	t := &taped{}
	for i, d := range e.drives {
		if d.recording == r {
			t.drives = append(t.drives, i)
		}
	}
	if len(t.drives) != r.moves {
		return nil
	}
	first, last := e.drives[t.drives[0]], e.drives[t.drives[len(t.drives)-1]]
	var ends [2]geom.Vec
	for axis, out := range [2][2]*float64{{&ends[0].X, &ends[1].X}, {&ends[0].Y, &ends[1].Y}} {
		c := r.log.Column(logfile.Place[axis])
		*out[0], *out[1] = math.NaN(), math.NaN()
		for i, v := range c.Values {
			switch {
			case v != v:
			case r.log.Time[i] <= first.from+before+rounding:
				*out[0] = v
			case r.log.Time[i] >= last.to-behind-rounding:
				*out[1] = v
			}
		}
	}
	t.end = geom.Vec{X: ends[1].X - ends[0].X, Y: ends[1].Y - ends[0].Y}
	size := math.Hypot(t.end.X, t.end.Y)
	if size != size {
		return nil
	}
	t.noise = geom.Vec{X: math.Hypot(tapeSD*math.Sqrt2, placedSD*t.end.Y),
		Y: math.Hypot(tapeSD*math.Sqrt2, placedSD*t.end.X)}
	return t
}

// compare fills in its residuals.
func (t *taped) compare(done map[int]*motion, residuals []float64) {
	at := geom.Pose{}
	for _, i := range t.drives {
		at = at.Compose(done[i].pose)
	}
	residuals[t.at], residuals[t.at+1] = (at.X-t.end.X)/t.noise.X, (at.Y-t.end.Y)/t.noise.Y
}
