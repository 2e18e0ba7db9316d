package logfile

import (
	"math"
	"slices"
)

// Latency is how late motion follows the volts.
type Latency struct {
	Seconds     float64 // s; of the command's way to the motors and the sensor's way back together
	Correlation float64 // of the speed with the volts as the base follows them, at that time
	Settling    float64 // s, the time constant with which the base follows
	From        string  // which signals it is found in
}

// The times that are looked through. A team's loop and sensors take some 10 to 200 ms.
const (
	earliest   = -0.1  // s
	latest     = 0.4   // s
	finest     = 0.002 // s between two that are tried
	coarsest   = 0.008 // s between two of the first round: no base's answer is as narrow
	slowest    = 0.2   // s between rows, from which nothing can be told
	longest    = 20000 // cells looked at: the first with motion
	leastMatch = 0.9   // correlation without which nothing is said
	still      = 0.05  // of the most volts: as many do not move a base
)

// latency finds it by cross-correlation of the speed with the volts, which are first passed through the base's own
// slowness: a base follows its volts with a time constant (a motor's torque falls in a straight line with its speed),
// and to compare without it would count that time as latency. Friction goes the same way with the sign of the volts.
// The time constant is the one that correlates best; between the times tried, the peak is that of a parabola through
// three.
//
// Source: generalized cross-correlation, prefilters before the delay is sought: Knapp and Carter, IEEE Transactions on
// Acoustics, Speech, and Signal Processing 24(4), 1976 (from memory). The parabola: common practice, no source.
func (m *motion) latency() (Latency, bool) {
	if m.dt > slowest {
		return Latency{}, false
	}
	// In short cells a step of the travel is much of the speed: they are made wider, up to the rows of a usual log.
	const steady, usual = 0.05, 0.02
	if wide := m.dt * m.step / (steady * most(m.s[0], m.s[1])); wide > m.dt {
		m = m.coarse(max(m.dt, min(wide, usual)))
	}
	if m.dt < finest {
		m = m.coarse(finest)
	}
	drive, spin := halves(m.u)
	ahead, turn := halves(m.s)
	best := Latency{}
	for _, c := range []struct {
		u, y []float64
		from string
	}{{drive, ahead, "straight, " + m.source}, {spin, turn, "turns, " + m.source}, {spin, m.turn, "turns, " + m.spun}} {
		if c.u == nil || c.y == nil || most(c.u) < 0.1*most(drive, spin) {
			continue
		}
		if found := m.follow(c.u, c.y); found.Correlation > best.Correlation {
			best = found
			best.From = c.from
		}
	}
	return best, best.Correlation >= leastMatch && best.Seconds > earliest && best.Seconds < latest
}

// follow finds time constant and latency of one channel: of some time constants the best, and near it by golden
// section (Kiefer, Proceedings of the American Mathematical Society 4, 1953; from memory).
func (m *motion) follow(u, y []float64) Latency {
	u, y = aroundMotion(u, y)
	y = withoutRolling(u, y)
	at := func(logarithm float64) Latency { return m.correlate(u, y, math.Exp(logarithm)) }
	const tries, rounds = 8, 12
	low, high := math.Log(0.005), math.Log(3)
	width := (high - low) / tries
	best, middle := Latency{}, 0.0
	for i := range tries + 1 {
		if found := at(low + width*float64(i)); found.Correlation > best.Correlation {
			best, middle = found, low+width*float64(i)
		}
	}
	if best.Correlation == 0 {
		return best
	}
	golden := (math.Sqrt(5) - 1) / 2
	low, high = middle-width, middle+width
	before, after := at(high-golden*(high-low)), at(low+golden*(high-low))
	for range rounds {
		if before.Correlation > after.Correlation {
			high -= (1 - golden) * (high - low)
			before, after = at(high-golden*(high-low)), before
		} else {
			low += (1 - golden) * (high - low)
			before, after = after, at(low+golden*(high-low))
		}
	}
	if after.Correlation > before.Correlation {
		before = after
	}
	if before.Correlation > best.Correlation {
		return before
	}
	return best
}

// aroundMotion are the cells from the first with volts on.
func aroundMotion(u, y []float64) (around, with []float64) {
	first := 0
	for first < len(u) && !(math.Abs(u[first]) > 0) {
		first++
	}
	first = max(0, first-10)
	end := min(len(u), first+longest)
	return u[first:end], y[first:end]
}

// withoutRolling leaves out the cells without volts: whether a base brakes there or rolls out is a setting of its
// motors. Where no volts begin with a step, its stop is all that tells latency from slowness, and they stay.
func withoutRolling(u, y []float64) []float64 {
	top, steps := most(u), false
	out := slices.Clone(y)
	for i, v := range u {
		if math.Abs(v) > still*top {
			continue
		}
		out[i] = missing
		next := u[i+1 : min(len(u), i+3)] // a wider cell can have both in it
		steps = steps || most(next) >= top/2
	}
	if !steps {
		return y
	}
	return out
}

// correlate tries all latencies for one time constant.
func (m *motion) correlate(u, y []float64, settling float64) Latency {
	parts := max(1, int(math.Ceil(m.dt/finest)))
	step := m.dt / float64(parts)
	driven, rubbed := pushed(u, parts, step, settling)
	// All latencies are judged by the same cells: without the last, where the earliest would need volts to come.
	y = y[:max(0, len(y)-int(math.Ceil(-earliest/m.dt))-1)]
	at := func(late int) float64 { return match(driven, rubbed, y, parts, late) }
	from, to := int(math.Floor(earliest/step)), int(math.Ceil(latest/step))
	wide := max(1, int(coarsest/step))
	late := peak(at, from, to, wide)
	late = peak(at, max(from, late-wide), min(to, late+wide), 1)
	before, here, after := at(late-1), at(late), at(late+1)
	between := 0.0
	if bend := before - 2*here + after; bend < 0 {
		between = (before - after) / (2 * bend)
	}
	return Latency{Seconds: step * (float64(late) + between), Correlation: math.Sqrt(here), Settling: settling}
}

// peak is where a function is greatest, of every so many places.
func peak(at func(int) float64, from, to, every int) int {
	best, top := from, -1.0
	for late := from; late <= to; late += every {
		if here := at(late); here > top {
			best, top = late, here
		}
	}
	return best
}

// pushed are the running sums of the volts, and of their sign, after the base's slowness, on a grid parts times as
// fine.
func pushed(u []float64, parts int, step, settling float64) (driven, rubbed []float64) {
	n := len(u) * parts
	driven, rubbed = make([]float64, n+1), make([]float64, n+1)
	keep := math.Exp(-step / settling)
	most, held, x, r := most(u), 0.0, 0.0, 0.0
	for i := range n {
		if v := u[i/parts]; given(v) {
			held = v
		}
		sign := 0.0
		if math.Abs(held) > still*most {
			sign = math.Copysign(1, held)
		}
		before, rubbing := x, r
		x = held + float64((x-held)*keep)
		r = sign + float64((r-sign)*keep)
		driven[i+1] = driven[i] + (before+x)/2
		rubbed[i+1] = rubbed[i] + (rubbing+r)/2
	}
	return driven, rubbed
}

// match is the share of the speed's power (R^2) that a sum of the two regressors, so many fine steps late, explains.
// Before its first volts a base stands still.
func match(driven, rubbed, y []float64, parts, late int) float64 {
	var dd, dr, rr, dy, ry, yy float64
	for i, v := range y {
		begin := i*parts - late
		if !given(v) {
			continue
		}
		end := max(0, begin+parts)
		begin = max(0, begin)
		d, r := driven[end]-driven[begin], rubbed[end]-rubbed[begin]
		dd += float64(d * d)
		dr += float64(d * r)
		rr += float64(r * r)
		dy += float64(d * v)
		ry += float64(r * v)
		yy += float64(v * v)
	}
	if dd == 0 || yy == 0 {
		return 0
	}
	det := float64(dd*rr) - float64(dr*dr)
	if det <= 1e-9*dd*rr { // steps of one size: the sign says no more than the volts do
		return max(0, dy*math.Abs(dy)) / (dd * yy)
	}
	a, b := (float64(dy*rr)-float64(ry*dr))/det, (float64(ry*dd)-float64(dy*dr))/det
	if a <= 0 {
		return 0
	}
	return max(0, float64(a*dy)+float64(b*ry)) / yy
}
