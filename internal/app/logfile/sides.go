package logfile

import (
	"fmt"
	"math"
)

// verdict is how two witnesses of the same motion agree about the sides.
type verdict int

const (
	untold verdict = iota
	agree
	leftTurned  // left has the wrong sign
	rightTurned // right has
	bothTurned
	swapped
	swappedOrBothTurned // the drives do not tell the two apart
)

// oddSides compares volts, travel and heading. Two of the three agree where one is wrong, which tells whose fault it
// is.
func (l *Log) oddSides(m *motion) []string {
	byVolts, byTurn := m.voltsAgainstTravel(), m.travelAgainstTurn()
	if byTurn == untold && (byVolts == leftTurned || byVolts == rightTurned) {
		byTurn = m.straight(byVolts)
	}
	way, driven := sidesName(m.columns[1]), sidesName(m.columns[0])
	mirrored := byTurn == swapped // sides swapped, or both reversed, or the heading clockwise
	switch {
	case byVolts == swapped && mirrored:
		return []string{fmt.Sprintf("left and right %s are swapped: volts and heading both say so. Swap the names", way)}
	case byVolts == swapped && byTurn == agree:
		return []string{fmt.Sprintf("left and right %s are swapped: travel and heading agree with each other. Swap the "+
			"names", driven)}
	case byVolts == swapped:
		return []string{fmt.Sprintf("left and right are swapped, either of %s or of %s: each side goes with the other's "+
			"volts. Swap the names of the wrong pair", driven, way)}
	case byVolts == leftTurned || byVolts == rightTurned:
		return []string{oneTurned(byVolts, byTurn, way, driven)}
	case byVolts == bothTurned || byVolts == swappedOrBothTurned:
		return []string{bothWays(byVolts, byTurn, way, driven)}
	case byTurn == leftTurned || byTurn == rightTurned:
		return []string{fmt.Sprintf("%s %s has a reversed sign: the heading turns the other way. Write reversed = true for "+
			"it in log.toml", sideOf(byTurn), way)}
	case mirrored:
		return []string{l.clockwise(m, byVolts)}
	case byVolts == agree && byTurn == untold && m.oneMirrored():
		return []string{fmt.Sprintf("%s and %s of one side both have a reversed sign, of the right one most often, whose "+
			"motors sit mirrored: by them the robot spins, and the heading stays. Write reversed = true for both in "+
			"log.toml", way, driven)}
	}
	return l.againstPlace(m)
}

// sidesName is what a pair of columns is called without its side.
func sidesName(pair [2]*Column) string {
	if pair[0] == nil || pair[1] == nil {
		return ""
	}
	switch pair[0].Is.SI {
	case "V":
		return "volts"
	case share:
		return "duty"
	case "m":
		return "travel"
	}
	return "speed"
}

func sideOf(v verdict) string {
	if v == leftTurned {
		return "left"
	}
	return "right"
}

func oneTurned(byVolts, byTurn verdict, way, driven string) string {
	side := sideOf(byVolts)
	what := fmt.Sprintf("%s %s or %s %s has a reversed sign: the side goes against its volts", side, way, side, driven)
	switch byTurn {
	case byVolts:
		what = fmt.Sprintf("%s %s has a reversed sign: it goes against its volts and against the heading", side, way)
	case agree:
		what = fmt.Sprintf("%s %s has a reversed sign: travel and heading agree with each other", side, driven)
	}
	return what + ". Write reversed = true for it in log.toml"
}

func bothWays(byVolts, byTurn verdict, way, driven string) string {
	wrong := fmt.Sprintf("%s or %s", driven, way)
	switch byTurn {
	case swapped:
		wrong = way
	case agree:
		wrong = driven
	}
	if byVolts == swappedOrBothTurned {
		return fmt.Sprintf("left and right %s are swapped, or both have a reversed sign: in spins alone the two look the "+
			"same. Log a straight drive too", wrong)
	}
	return fmt.Sprintf("left and right %s have a reversed sign: the robot goes against its volts. Write reversed = true "+
		"for both in log.toml", wrong)
}

// clockwise: travel turns the other way than the heading, and volts go with travel or are not known. A robot whose
// sides are all swapped is the mirror image of one whose heading is: x and y alone tell the two apart.
func (l *Log) clockwise(m *motion, byVolts verdict) string {
	const todo = "Headings rise to the left: write reversed = true for it in log.toml"
	name := "the heading"
	if l.Column(Heading) == nil {
		name = "turning"
	}
	way, driven := sidesName(m.columns[1]), sidesName(m.columns[0])
	pairs := way
	if byVolts == agree && m.tellsSides() {
		pairs = way + " and " + driven
	}
	switch course := m.courseAgainstHeading(); {
	case course < -0.5:
		return fmt.Sprintf("%s rises clockwise: the sides turn the robot the other way. %s", name, todo)
	case course > 0.5:
		return fmt.Sprintf("left and right %s are swapped: heading, x and y say so. Swap the names", pairs)
	}
	return fmt.Sprintf("%s rises clockwise, or left and right %s are swapped: the sides turn the robot the other way, "+
		"and this log does not tell which. Turn the robot to the left by hand: where its heading rises, swap the names of "+
		"the sides; where it falls, write reversed = true for it in log.toml", name, pairs)
}

// tellsSides: each side goes with its own volts far more than with the other's.
func (m *motion) tellsSides() bool {
	for side := range 2 {
		if f := explain(m.s[side], m.u[side], m.u[1-side]); f.a < 2*math.Abs(f.b) {
			return false
		}
	}
	return true
}

// againstPlace compares the heading with the way along x and y.
func (l *Log) againstPlace(m *motion) []string {
	if m.courseAgainstHeading() < -0.5 {
		return []string{"the heading rises clockwise, or x and y are mirrored: along x and y the robot turns the other " +
			"way. Headings rise to the left: write reversed = true for it in log.toml"}
	}
	return nil
}

// voltsAgainstTravel explains each side's speed by the volts of both.
func (m *motion) voltsAgainstTravel() verdict {
	if m.u[0] == nil || m.u[1] == nil || m.s[0] == nil || m.s[1] == nil {
		return untold
	}
	var own, cross [2]float64
	for side := range 2 {
		f := explain(m.s[side], m.u[side], m.u[1-side])
		if f.fits < 0.4 {
			return untold
		}
		own[side], cross[side] = f.a, f.b
	}
	left, right := owns(own[0], cross[0]), owns(own[1], cross[1])
	switch {
	case left == agree && right == agree:
		return agree
	case left == swapped && right == swapped:
		return swapped
	case left == swappedOrBothTurned && right == swappedOrBothTurned:
		return swappedOrBothTurned
	case left == bothTurned && right == bothTurned:
		return bothTurned
	case left == bothTurned && right == agree:
		return leftTurned
	case left == agree && right == bothTurned:
		return rightTurned
	case left == swappedOrBothTurned && right == agree && m.against(0): // straight drives with volts that say spins
		return leftTurned
	case left == agree && right == swappedOrBothTurned && m.against(1):
		return rightTurned
	}
	return untold
}

// against: a side goes the other way than its volts, whatever the other side does.
func (m *motion) against(side int) bool {
	f := explain(m.s[side], m.u[side], nil)
	return f.a < 0 && f.fits > 0.4
}

// straight judges drives in which the heading stays, while one side's sign is in doubt: travel that goes ahead is right
// then, and travel that spins is not.
func (m *motion) straight(inDoubt verdict) verdict {
	ahead, spin := halves(m.s)
	fast := max(power(ahead), power(spin))
	if most(m.turn) == 0 || power(m.turn)*widest*widest > fast { // a spin turns by 2 spin / track width
		return untold
	}
	switch {
	case power(ahead) > 4*power(spin):
		return agree
	case power(spin) > 4*power(ahead):
		return inDoubt
	}
	return untold
}

// oneMirrored reports whether the sides go contrary ways for long, and the heading stays.
func (m *motion) oneMirrored() bool {
	const long = 0.1 // m
	return m.turn != nil && m.straight(leftTurned) == leftTurned && math.Min(m.span(m.s[0]), m.span(m.s[1])) > long
}

// owns judges one side by the shares of its own volts and of the other's: where both are alike in size (only straight
// drives, or only spins) the own one's sign tells.
func owns(own, cross float64) verdict {
	switch {
	case math.Abs(cross) > 2*math.Abs(own):
		if cross > 0 {
			return swapped
		}
		return untold
	case own > 0:
		return agree
	case cross > -own/2:
		return swappedOrBothTurned
	}
	return bothTurned
}

// widest is beyond any robot's track width, m. Heading that turns by less than so wide a base would is drift, or comes
// of wheels of unequal size.
const widest = 3

// travelAgainstTurn explains the turning of the heading by the speeds of the sides: it is (right - left) / track width.
func (m *motion) travelAgainstTurn() verdict {
	if m.turn == nil || m.s[0] == nil || m.s[1] == nil {
		return untold
	}
	f := explain(m.turn, m.s[1], m.s[0])
	if f.fits < 0.4 {
		return untold
	}
	unlike := math.Min(math.Abs(f.a), math.Abs(f.b)) > 0.3*math.Max(math.Abs(f.a), math.Abs(f.b))
	switch {
	case !unlike, math.Max(math.Abs(f.a), math.Abs(f.b))*widest < 1:
		return untold
	case f.a > 0 && f.b < 0:
		return agree
	case f.a < 0 && f.b > 0:
		return swapped
	case f.a > 0:
		return leftTurned
	}
	return rightTurned
}

// courseAgainstHeading is the correlation of the change of the way's direction, from x and y, with the heading's; 0 if
// there is too little of either.
func (m *motion) courseAgainstHeading() float64 {
	ahead, spin := halves(m.s)
	if m.course[0] == nil || m.course[1] == nil || m.turn == nil || ahead != nil && power(spin) > 4*power(ahead) {
		return 0 // in spins x and y have their noise alone
	}
	m = m.coarse(0.3) // in a shorter time the noise of x and y bends the way more than the robot does
	fast := 0.3 * math.Max(most(m.course[0]), most(m.course[1]))
	var bends, turns []float64
	for i := 1; i < len(m.turn); i++ {
		x0, y0, x1, y1 := m.course[0][i-1], m.course[1][i-1], m.course[0][i], m.course[1][i]
		if !(math.Hypot(x0, y0) > fast && math.Hypot(x1, y1) > fast) {
			continue
		}
		bend := math.Atan2(float64(x0*y1)-float64(y0*x1), float64(x0*x1)+float64(y0*y1))
		if turn := (m.turn[i] + m.turn[i-1]) / 2 * m.dt; given(turn) && math.Abs(bend) < 1 {
			bends, turns = append(bends, bend), append(turns, turn)
		}
	}
	if len(bends) < 6 || math.Sqrt(power(turns)/float64(len(turns))) < 0.01 {
		return 0
	}
	f := explain(bends, turns, nil)
	return math.Copysign(math.Sqrt(f.fits), f.a)
}

// fit is y = a x1 + b x2 by least squares.
type fit struct {
	a, b float64
	fits float64 // share of y's power that is explained
	n    int
}

// explain fits y by two signals, or by one. Where the two are one and the same but for a factor, a ridge of a
// thousandth shares it between them (Hoerl and Kennard, Technometrics 12(1), 1970; from memory).
func explain(y, x1, x2 []float64) fit {
	var s11, s12, s22, s1, s2, yy float64
	f := fit{}
	for i, v := range y {
		p, q := x1[i], 0.0
		if x2 != nil {
			q = x2[i]
		}
		if !given(v) || !given(p) || !given(q) {
			continue
		}
		f.n++
		s11, s12, s22 = s11+float64(p*p), s12+float64(p*q), s22+float64(q*q)
		s1, s2, yy = s1+float64(p*v), s2+float64(q*v), yy+float64(v*v)
	}
	ridge := 1e-3 * (s11 + s22)
	if x2 == nil {
		ridge, s22 = 0, 1
	}
	s11, s22 = s11+ridge, s22+ridge
	det := float64(s11*s22) - float64(s12*s12)
	if f.n < 5 || !(det > 0) || yy == 0 {
		return fit{}
	}
	f.a = (float64(s1*s22) - float64(s2*s12)) / det
	f.b = (float64(s2*s11) - float64(s1*s12)) / det
	f.fits = min(1, max(0, (float64(f.a*s1)+float64(f.b*s2))/yy))
	return f
}
