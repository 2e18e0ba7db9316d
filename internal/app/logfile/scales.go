package logfile

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// oddScales compares sizes: travel with the speed columns, with x and y, with the heading by way of the track width,
// and with what a robot can do; turning with the heading. A slip is one of units: what is computed from it is worth
// nothing.
func (l *Log) oddScales(m *motion) (slips, doubts []string) {
	add := func(found string) {
		if strings.Contains(found, slipWords) {
			slips = append(slips, found)
		} else if found != "" {
			doubts = append(doubts, found)
		}
	}
	ahead, turn := halves(m.s)
	for side := range 2 {
		if m.gauge[side] != nil {
			for _, found := range ratio(l.Column(Travel[side]), l.Column(Speed[side]), explain(m.s[side], m.gauge[side], nil)) {
				add(found)
			}
		}
	}
	if m.rate != nil {
		for _, found := range ratio(l.Column(Heading), l.Column(Turning), explain(m.turn, m.rate, nil)) {
			add(found)
		}
	}
	if len(slips)+len(doubts) > 0 || ahead == nil {
		return slips, doubts
	}
	const straight = 0.01 // of the way ahead: a turn that comes to less is rounding
	if found := l.track(m, turn); found != "" && m.span(turn) > straight*m.span(ahead) {
		return []string{found}, nil
	}
	if add(l.placeScale(m, ahead, turn)); len(slips)+len(doubts) > 0 {
		return slips, doubts
	}
	if along, about := halves(m.u); about != nil && power(about) > power(along) {
		return nil, m.paceOf() // many a base hardly turns on the spot
	}
	return m.paceOf(), nil
}

// ratio judges a quantity against its own rate, which a fit gives as so many times the rate's column.
func ratio(of, rate *Column, f fit) []string {
	if f.fits < 0.5 || of == nil || rate == nil {
		return nil
	}
	name, other := of.Is.called(), rate.Is.called()
	size := math.Abs(f.a)
	var list []string
	if f.a < 0 {
		list = append(list, fmt.Sprintf("%s and %s have opposite signs: write reversed = true for the wrong one in log.toml",
			name, other))
	}
	if size > 1.25 || size < 0.8 {
		list = append(list, fmt.Sprintf("%s changes %s times as fast as %s says%s: is one in another unit than its header "+
			"says?", name, Figures(size), other, unitSlip(size)))
	}
	return list
}

// slipWords stand in what is said of a slip of units.
const slipWords = ", as "

// unitSlip names the units that a factor speaks for.
func unitSlip(size float64) string {
	for _, slip := range []struct {
		factor float64
		words  string
	}{{1000, "m and mm"}, {100, "m and cm"}, {25.4, "inches and mm"}, {180 / math.Pi, "radians and degrees"},
		{60, "minutes and seconds"}} {
		if near := size / slip.factor; near > 0.9 && near < 1.1 {
			return fmt.Sprintf(slipWords+"%s do", slip.words)
		} else if near := size * slip.factor; near > 0.9 && near < 1.1 {
			return fmt.Sprintf(slipWords+"%s do", slip.words)
		}
	}
	return ""
}

// track is the distance of the sides that travel and heading give together: (right - left) / turn. A student robot's is
// between 0.1 and 1 m, and in turns up to twice as much.
func (l *Log) track(m *motion, turn []float64) string {
	if m.turn == nil || turn == nil {
		return ""
	}
	f := explain(m.turn, turn, nil)
	wide := 2 / math.Abs(f.a)
	if f.fits < 0.5 || wide > 0.06 && wide < 2.5 {
		return ""
	}
	way, turned := sidesName(m.columns[1]), m.spun
	list := misread(way, m.columns[1][0].Unit, lengths, func(factor float64) float64 { return wide * factor })
	heading := l.Column(Heading)
	if turned == Turning.Name {
		heading = l.Column(Turning)
	} else {
		turned = "the " + turned
	}
	list = append(list, misread(turned, heading.Unit, angles, func(factor float64) float64 { return wide / factor })...)
	if len(list) == 0 {
		list = []string{"is one of them in another unit than its header says?"}
	}
	return fmt.Sprintf("by %s and %s the sides are %s mm apart: %s", way, m.spun, Figures(wide*1000),
		strings.Join(list, " Or "))
}

// unit is one that numbers may be in although their column says another: a header's, and its size in SI.
type unit struct {
	header, words string
	si            float64
}

var (
	lengths = []unit{{"mm", "mm", 1e-3}, {"cm", "cm", 1e-2}, {"in", "inches", 0.0254}, {"m", "m", 1}}
	angles  = []unit{{"deg", "degrees", math.Pi / 180}, {"rad", "radians", 1}}
)

// misread asks for the units with which a column would make the sides as far apart as a robot's are; apart is how far
// that is where its values are so many times as great.
func misread(name, says string, known []unit, apart func(factor float64) float64) []string {
	says, rate := strings.CutSuffix(says, "/s")
	at := slices.IndexFunc(known, func(u unit) bool { return u.header == says })
	if at < 0 {
		return nil
	}
	suffix := ""
	if rate {
		suffix = "/s"
	}
	var fit []string
	for _, u := range known {
		if wide := apart(u.si / known[at].si); u.header != says && wide > 0.1 && wide < 2 {
			fit = append(fit, u.words+suffix)
		}
	}
	if len(fit) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("is %s in %s, and its column says %s?", name, strings.Join(fit, " or "), says+suffix)}
}

// placeScale compares the way along x and y with travel, where the base goes ahead more than it turns: in spins x and y
// have their noise, and the circle of what is not over the pivot.
func (l *Log) placeScale(m *motion, ahead, turn []float64) string {
	if m.course[0] == nil || m.course[1] == nil || l.ByTape() || power(turn) > 4*power(ahead) {
		return ""
	}
	var way, along float64
	fast := 0.3 * max(most(m.course[0]), most(m.course[1])) // slower, the noise of x and y would count
	for i, v := range ahead {
		if path := math.Hypot(m.course[0][i], m.course[1][i]); math.Abs(v) > math.Abs(turn[i]) && path > fast {
			way, along = way+math.Abs(v)*m.dt, along+path*m.dt
		}
	}
	size := way / along
	if along == 0 || way == 0 || size > 0.5 && size < 2 {
		return ""
	}
	return fmt.Sprintf("%s covers %s times the way that x and y do%s: is one in another unit than its header says?",
		sidesName(m.columns[1]), Figures(size), unitSlip(size))
}

// ByTape reports whether x and y stand in few rows only, as who measured them wrote them in.
func (l *Log) ByTape() bool {
	const few = 20 // rows for one of a tape
	x, y := l.Column(Place[0]), l.Column(Place[1])
	return x != nil && y != nil && few*max(x.Filled, y.Filled) < len(l.Time)
}

// tooSlow: straight ahead no such robot is as slow for its volts. One with small wheels and a slow gear does 0.04 m/s
// for a volt; friction may take half.
func (m *motion) tooSlow(top float64) bool {
	const fewest, slow = 4, 0.015 // V, m/s for a volt
	ahead, about := halves(m.u)
	volts := most(ahead)
	return m.unit == "V" && volts >= fewest && power(about) < power(ahead)/4 && top < slow*volts
}

// paceOf judges the speed alone. Robots of this kind go up to some 6 m/s; one that goes no faster than 2 cm/s with its
// full volts stands on blocks or counts in other units.
func (m *motion) paceOf() []string {
	name, top := sidesName(m.columns[1]), most(m.s[0], m.s[1])
	switch {
	case top > 50:
		return []string{fmt.Sprintf("%s goes up to %s m/s, which no such robot does: is it in mm, and its column says m?",
			name, Figures(top))}
	case top > 0 && top < 0.02 && m.u[0] != nil && most(m.s[0]) > 0 && most(m.s[1]) > 0 &&
		(m.unit == "V" && most(m.u[0], m.u[1]) > 2 || m.unit == share && most(m.u[0], m.u[1]) > 0.2):
		return []string{fmt.Sprintf("%s goes up to %s mm/s only, with %s %s: is it in m, and its column says mm?", name,
			Figures(top*1000), Figures(most(m.u[0], m.u[1])), m.unit)}
	case top > 0 && m.tooSlow(top):
		return []string{fmt.Sprintf("%s goes up to %s mm/s only, with %s V: is it in cm or inches, and its column says mm? "+
			"Or was the robot held?", name, Figures(top*1000), Figures(most(m.u[0], m.u[1])))}
	}
	return nil
}
