package logfile

import (
	"cmp"
	"math"
	"slices"
)

// StandStill is what a drive is called in which nothing moves.
const StandStill = "stand-still"

// Drive is a stretch of a log between two stand-stills, or a stand-still of a second or more.
type Drive struct {
	From float64 `json:"from_s"`
	To   float64 `json:"to_s"`
	What string  `json:"what"` // such as "ramp backwards", "spin left, step", "stand-still"
	// What the log has no columns for is nil.
	Top   *float64 `json:"top,omitempty"`               // greatest size of the volts, or of the share
	Way   *float64 `json:"way_m,omitempty"`             // of the middle, m
	Turn  *float64 `json:"turn_rad,omitempty"`          // left positive, rad
	Speed *float64 `json:"top_speed_m_per_s,omitempty"` // greatest size of a side's, m/s
}

// What makes a stand-still. Common practice, no source.
const (
	pause      = 0.25 // s that the base stands still between two drives
	longStill  = 1.0  // s of a stand-still that is listed
	shortDrive = 0.1  // s of what is no drive
	faint      = 0.02 // of the greatest volts or speed: as little is none
	smoothing  = 0.06 // s over which speeds are looked at
	restful    = 1.0  // s of readings by which a rest is told from motion
	overNoise  = 4.0  // times the noise at rest: as little is none
)

// drives are found where volts or speeds are.
func (m *motion) drives() []Drive {
	c := m.coarse(smoothing)
	least := []float64{faint * most(c.u[0], c.u[1]),
		max(faint*most(c.s[0], c.s[1]), 1.5*c.step, overNoise*c.restNoise(c.s[:]...)),
		max(faint*most(c.turn), overNoise*c.restNoise(c.turn))}
	active := func(i int) bool {
		for k, pair := range [][2][]float64{c.u, c.s} {
			for _, x := range pair {
				if x != nil && math.Abs(x[i]) > least[k] {
					return true
				}
			}
		}
		return c.s[0] == nil && c.s[1] == nil && c.turn != nil && math.Abs(c.turn[i]) > least[2]
	}
	var list []Drive
	from, until := -1, -1 // of the drive that is on: its first cell, the first behind its last
	still := 0            // first cell of the stand-still
	finish := func() {
		if from >= 0 && float64(until-from)*c.dt >= shortDrive && !m.flips(from, until, c.dt) {
			list = c.addStill(list, still, from)
			list = append(list, c.drive(from, until))
			still = until
		}
		from = -1
	}
	for i := range c.t {
		switch {
		case c.unknown(i): // a gap, or cells that no column has
			finish()
			list = c.addStill(list, still, i)
			still = i + 1
		case active(i):
			if from < 0 {
				from = i
			}
			until = i + 1
		case from >= 0 && float64(i-until)*c.dt >= pause:
			finish()
		}
	}
	finish()
	return c.addStill(list, still, len(c.t))
}

// flips tells whether what moves from one cell of so many seconds to another is no more than an encoder of a robot that
// stands, which wavers between two of its steps: without volts, and nowhere farther apart than by one change.
func (m *motion) flips(from, until int, seconds float64) bool {
	if m.u[0] == nil || m.u[1] == nil {
		return false
	}
	n := int(math.Round(seconds / m.dt))
	from, until = from*n, min(until*n, len(m.t))
	if most(cut(m.u[0], from, until), cut(m.u[1], from, until)) > 0 {
		return false
	}
	for _, s := range m.s {
		if s := cut(s, from, until); m.span(s) > 1.5*m.dt*most(s) {
			return false
		}
	}
	return true
}

// restNoise is the greatest of some signals' noise while the base rests, as the root of the mean square of its rates, 0
// where it never does: of each signal's stretches at rest, the middle one's.
func (m *motion) restNoise(signals ...[]float64) float64 {
	n := int(math.Round(restful / m.dt))
	noise := 0.0
	for _, x := range signals {
		var sizes []float64
		for i := 0; n > 3 && i+n <= len(x); i += n {
			if cells := x[i : i+n]; most(cut(m.u[0], i, i+n), cut(m.u[1], i, i+n)) == 0 && rests(cells) {
				sizes = append(sizes, math.Sqrt(power(cells)/float64(n)))
			}
		}
		if len(sizes) > 0 {
			slices.Sort(sizes)
			noise = max(noise, sizes[len(sizes)/2])
		}
	}
	return noise
}

// rests tells noise from motion: neighbours in it are not alike (in a second of motion they are, and of the differences
// of noisy readings each goes back half of what the last did), and it leads nowhere.
func rests(rates []float64) bool {
	const alike, ahead = 0.5, 0.6
	squares, neighbours, way, size := 0.0, 0.0, 0.0, 0.0
	for i, v := range rates {
		if !given(v) {
			return false
		}
		squares, way, size = squares+float64(v*v), way+v, size+math.Abs(v)
		if i > 0 {
			neighbours += float64(v * rates[i-1])
		}
	}
	return neighbours <= alike*squares && math.Abs(way) <= ahead*size
}

// cut is a part of a signal, nil of none.
func cut(x []float64, from, to int) []float64 {
	if x == nil {
		return nil
	}
	return x[from:to]
}

// unknown reports whether no signal of motion has a value in a cell.
func (m *motion) unknown(cell int) bool {
	for _, x := range [][]float64{m.u[0], m.u[1], m.s[0], m.s[1], m.turn} {
		if x != nil && given(x[cell]) {
			return false
		}
	}
	return true
}

func (m *motion) addStill(list []Drive, from, to int) []Drive {
	if float64(to-from)*m.dt < longStill {
		return list
	}
	return append(list, Drive{From: round(m.t[from], 1000), To: round(m.end(to), 1000), What: StandStill})
}

// end is the time at which the cell before a cell ends.
func (m *motion) end(cell int) float64 { return m.t[cell-1] + m.dt }

// drive says what the cells from, to hold.
func (m *motion) drive(from, to int) Drive {
	d := Drive{From: round(m.t[from], 1000), To: round(m.end(to), 1000)}
	both := func(x [2][]float64) [2][]float64 { return [2][]float64{cut(x[0], from, to), cut(x[1], from, to)} }
	u, s := both(m.u), both(m.s)
	if u[0] != nil || u[1] != nil {
		d.Top = rounded(most(u[0], u[1]), 1000)
	}
	if s[0] != nil || s[1] != nil {
		d.Speed = rounded(most(s[0], s[1]), 1e4)
	}
	ahead, turn := halves(s)
	if ahead != nil {
		d.Way = rounded(m.dt*sum(ahead), 1e4)
	}
	if heading := cut(m.turn, from, to); heading != nil {
		d.Turn = rounded(m.dt*sum(heading), 1e4)
		if turn == nil {
			turn = heading
		}
	}
	if drive, spin := halves(u); drive != nil {
		ahead, turn = drive, spin
	}
	d.What = shape(ahead, turn)
	return d
}

func rounded(x, parts float64) *float64 {
	x = round(x, parts)
	return &x
}

func sum(x []float64) float64 {
	total := 0.0
	for _, v := range x {
		if given(v) {
			total += v
		}
	}
	return total
}

// shape names a drive by how its sides go (volts, or else speeds): where to, and whether in a step or in a ramp.
func shape(ahead, turn []float64) string {
	if ahead == nil || turn == nil {
		return "drive"
	}
	const pure = 10 // times as much of the one as of the other
	straight, spin := power(ahead), power(turn)
	switch {
	case straight == 0 && spin == 0:
		return "coasting"
	case straight >= pure*pure*spin:
		return cmp.Or(profile(ahead), "drive") + direction(ahead, "forwards", "backwards")
	case spin >= pure*pure*straight:
		return "spin" + direction(turn, "left", "right") + behindComma(profile(turn))
	}
	return arcWords(turn, ahead) + behindComma(profile(ahead))
}

func behindComma(word string) string {
	if word == "" {
		return ""
	}
	return ", " + word
}

func power(x []float64) float64 {
	total := 0.0
	for _, v := range x {
		if given(v) {
			total += v * v
		}
	}
	return total
}

// arcWords say which way an arc goes.
func arcWords(turn, ahead []float64) string {
	turned, went := direction(turn, "left", "right"), direction(ahead, "forwards", "backwards")
	if went == turned { // both ways: once is enough
		went = ""
	}
	return "arc" + turned + went
}

// direction is which way most of a signal goes, with a blank before it.
func direction(x []float64, plus, minus string) string {
	total, size := 0.0, 0.0
	for _, v := range x {
		if given(v) {
			total, size = total+v, size+math.Abs(v)
		}
	}
	switch {
	case total > 0.8*size:
		return " " + plus
	case total < -0.8*size:
		return " " + minus
	}
	return " both ways"
}

// profile tells a step from a ramp by the cells between a twentieth of the top and the end. Common practice, no source.
func profile(x []float64) string {
	top := most(x)
	var on []float64
	for _, v := range x {
		if given(v) && math.Abs(v) > top/20 {
			on = append(on, math.Abs(v))
		}
	}
	if len(on) < 4 {
		return ""
	}
	flat := 0
	for _, v := range on {
		if v > 0.9*top {
			flat++
		}
	}
	slope, fits := line(on)
	switch rise := slope * float64(len(on)-1); {
	case flat*10 >= 8*len(on):
		return "step"
	case fits > 0.9 && rise > 0.5*top:
		return "ramp"
	case fits > 0.9 && rise < -0.5*top:
		return "falling ramp"
	}
	return ""
}

// line is the slope of a straight line through a sequence, a step of one each, and the share of its variance that the
// line explains (least squares; R^2).
func line(y []float64) (slope, fits float64) {
	n, middle := float64(len(y)), float64(len(y)-1)/2
	mean := sum(y) / n
	var xy, xx, yy float64
	for i, v := range y {
		dx, dy := float64(i)-middle, v-mean
		xy, xx, yy = xy+dx*dy, xx+dx*dx, yy+dy*dy
	}
	if xx == 0 || yy == 0 {
		return 0, 0
	}
	return xy / xx, xy * xy / (xx * yy)
}
