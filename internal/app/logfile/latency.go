package logfile

import "math"

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
	slowest    = 0.2   // s between rows, from which nothing can be told
	longest    = 20000 // cells looked at: the first with motion
	leastMatch = 0.9   // correlation without which nothing is said
)

// latency finds it by cross-correlation of the speed with the volts, which are first passed through the base's own
// slowness: a base follows its volts with a time constant (a motor's torque falls in a straight line with its speed),
// and to compare without it would count that time as latency. Friction goes the same way with the sign of the volts. The
// time constant is the one that correlates best; between the times tried, the peak is that of a parabola through three.
//
// Source: generalized cross-correlation, prefilters before the delay is sought: Knapp and Carter, IEEE Transactions on
// Acoustics, Speech, and Signal Processing 24(4), 1976 (from memory). The parabola: common practice, no source.
func (m *motion) latency() (Latency, bool) {
	if m.dt > slowest {
		return Latency{}, false
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
	}{{drive, ahead, "straight, " + m.source}, {spin, turn, "turns, " + m.source}, {spin, m.turn, "turns, heading"}} {
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

// follow finds time constant and latency of one channel.
func (m *motion) follow(u, y []float64) Latency {
	u, y = aroundMotion(u, y)
	low, high := math.Log(0.005), math.Log(3)
	best := Latency{}
	for range 3 { // each time nearer to the best
		const tries = 12
		width := (high - low) / tries
		for i := range tries + 1 {
			settling := math.Exp(low + width*float64(i))
			if found := m.correlate(u, y, settling); found.Correlation > best.Correlation {
				best = found
			}
		}
		if best.Correlation == 0 {
			return best
		}
		low, high = math.Log(best.Settling)-width, math.Log(best.Settling)+width
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

// correlate tries all latencies for one time constant.
func (m *motion) correlate(u, y []float64, settling float64) Latency {
	parts := max(1, int(math.Ceil(m.dt/finest)))
	step := m.dt / float64(parts)
	driven, rubbed := pushed(u, parts, step, settling)
	from, to := int(math.Floor(earliest/step)), int(math.Ceil(latest/step))
	best, matches := 0, make([]float64, to-from+1)
	for i := range matches {
		if matches[i] = match(driven, rubbed, y, parts, from+i); matches[i] > matches[best] {
			best = i
		}
	}
	at := float64(best)
	if best > 0 && best < len(matches)-1 {
		before, here, after := matches[best-1], matches[best], matches[best+1]
		if bend := before - 2*here + after; bend < 0 {
			at += (before - after) / (2 * bend)
		}
	}
	return Latency{Seconds: step * (at + float64(from)), Correlation: math.Sqrt(matches[best]), Settling: settling}
}

// pushed are the running sums of the volts, and of their sign, after the base's slowness, on a grid parts times as
// fine.
func pushed(u []float64, parts int, step, settling float64) (driven, rubbed []float64) {
	const still = 0.05 // of the most volts: as many do not move a base
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
func match(driven, rubbed, y []float64, parts, late int) float64 {
	var dd, dr, rr, dy, ry, yy float64
	for i, v := range y {
		begin := i*parts - late
		if !given(v) || begin < 0 || begin+parts >= len(driven) {
			continue
		}
		d, r := driven[begin+parts]-driven[begin], rubbed[begin+parts]-rubbed[begin]
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
