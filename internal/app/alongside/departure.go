package alongside

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// Gap is how far the log's robot is from the rehearsal's at one moment.
type Gap struct {
	T       float64  `json:"t"`                     // s
	Place   float64  `json:"place_m"`               // m
	Ahead   float64  `json:"ahead_m"`               // of it along the rehearsal's heading; below 0: behind
	Left    float64  `json:"left_m"`                // of it to the left; below 0: to the right
	Heading *float64 `json:"heading_rad,omitempty"` // further to the left; nil: the log tells of no turns
}

// Departure is where the two first part by more than the limits, for a tenth of a second at least.
type Departure struct {
	Gap
	Stand              // of the routine, that drove then
	Begun      float64 `json:"begun_s"` // when it was a fifth of the limits, after which it only grew beyond them
	BegunStand Stand   `json:"begun_at"`
}

// Stand is where a routine stood.
type Stand struct {
	File  string `json:"file,omitempty"`
	Line  int    `json:"line,omitempty"`
	Ended bool   `json:"ended,omitempty"` // it had ended: file and line are where it last did something
}

// Signal is how a quantity of the log differs from the rehearsal's while both are there, in its unit.
type Signal struct {
	Name string  `json:"name"`
	Unit string  `json:"unit"`
	Mean float64 `json:"mean"` // log less rehearsal
	RMS  float64 `json:"rms"`
	Of   float64 `json:"of"` // rms of the rehearsal's
}

// held is how many samples a departure lasts.
const held = 5

// begun is the share of the limits at which a departure begins.
const begun = 0.2

// DepartsAt is when the log departs, 0 where it does not.
func (p *Pair) DepartsAt() float64 {
	if p.Departs == nil {
		return 0
	}
	return p.Departs.T
}

// compare finds where the two part and how far.
func (p *pairing) compare() {
	gaps := p.gaps()
	for i, g := range gaps {
		if g.Place > p.Farthest.Place {
			p.Farthest = g
		}
		if g.Heading != nil && (p.Turned == nil || math.Abs(*g.Heading) > math.Abs(*p.Turned.Heading)) {
			p.Turned = &gaps[i]
		}
	}
	p.End = gaps[len(gaps)-1]
	p.signals()
	first := p.Within.Departs(gaps)
	if first < 0 {
		return
	}
	d := &Departure{Gap: gaps[first], Stand: p.stand(gaps[first].T)}
	begins := first
	for begins > 0 && p.Within.over(gaps[begins-1], begun) {
		begins--
	}
	d.Begun = gaps[begins].T
	d.BegunStand = p.stand(d.Begun)
	p.Departs = d
}

// over reports whether a gap is more than a share of the limits.
func (l Limits) over(g Gap, share float64) bool {
	return g.Place > share*l.Place || g.Heading != nil && math.Abs(*g.Heading) > share*l.Heading
}

// Departs is the first gap of a departure, -1 where there is none.
func (l Limits) Departs(gaps []Gap) int {
	run := 0
	for i, g := range gaps {
		if run++; !l.over(g, 1) {
			run = 0
		}
		if run > held {
			return i - held
		}
	}
	return -1
}

func (p *pairing) stand(t float64) (s Stand) {
	s.File, s.Line, s.Ended = p.record.Driving(own, t)
	return s
}

// gaps are those at the samples at which the log tells where the robot is.
func (p *pairing) gaps() []Gap {
	var list []Gap
	for i, seen := range p.apart {
		if !known(seen.X) {
			continue
		}
		list = append(list, gapOf(p.Trace.Samples[i].T, seen))
	}
	return list
}

// gapOf is that of a pose as seen from another.
func gapOf(t float64, seen geom.Pose) Gap {
	g := Gap{T: t, Place: math.Hypot(seen.X, seen.Y), Ahead: seen.X, Left: seen.Y}
	if known(seen.Heading) {
		turned := geom.WrapAngle(seen.Heading)
		g.Heading = &turned
	}
	return g.rounded()
}

// Gaps are how far the first robot of a run is from another way by the same clock, at the way's times, as far as the
// run tells where it is: between two of its samples on the line between them.
func Gaps(run, way *record.Record) (list []Gap) {
	i := 0
	for _, s := range way.Samples {
		for i+1 < len(run.Samples) && run.Samples[i+1].T <= s.T {
			i++
		}
		const instant = 1e-6 // s
		if i+1 >= len(run.Samples) || run.Samples[i].T > s.T+instant {
			continue
		}
		a, b := &run.Samples[i], &run.Samples[i+1]
		share := geom.Clamp((s.T-a.T)/(b.T-a.T), 0, 1)
		from, to := a.Robots[own].True.Geom(), b.Robots[own].True.Geom()
		pose := geom.Pose{X: from.X + share*(to.X-from.X), Y: from.Y + share*(to.Y-from.Y),
			Heading: from.Heading + share*geom.WrapAngle(to.Heading-from.Heading)}
		if known(pose.X) && known(pose.Y) {
			list = append(list, gapOf(s.T, s.Robots[own].True.Geom().Relative(pose)))
		}
	}
	return list
}

// rounded keeps micrometres and microradians, as records do.
func (g Gap) rounded() Gap {
	g.Place, g.Ahead, g.Left = record.Round(g.Place), record.Round(g.Ahead), record.Round(g.Left)
	if g.Heading != nil {
		*g.Heading = record.Round(*g.Heading)
	}
	return g
}

// signals compares what the log tells beside the pose.
func (p *pairing) signals() {
	for _, s := range []struct {
		name, unit string
		of         func(*record.RobotSample) float64
	}{
		{"speed", "m/s", func(s *record.RobotSample) float64 {
			ahead := geom.Unit(s.True[2])
			return float64(s.Velocity[0]*ahead.X) + float64(s.Velocity[1]*ahead.Y)
		}},
		{"turning rate", "rad/s", func(s *record.RobotSample) float64 { return s.Velocity[2] }},
		{"left volts", "V", func(s *record.RobotSample) float64 { return s.Volts[0] }},
		{"right volts", "V", func(s *record.RobotSample) float64 { return s.Volts[1] }},
		{"battery", "V", func(s *record.RobotSample) float64 { return s.Battery }},
	} {
		if found, is := p.signal(s.of); is {
			found.Name, found.Unit = s.name, s.unit
			p.Signals = append(p.Signals, found)
		}
	}
}

func (p *pairing) signal(of func(*record.RobotSample) float64) (s Signal, is bool) {
	n := 0.0
	for i := range p.Trace.Samples {
		theirs, mine := of(&p.Trace.Samples[i].Robots[own]), of(p.told(p.from+i))
		if !known(theirs) {
			continue
		}
		n++
		s.Mean += theirs - mine
		s.RMS += (theirs - mine) * (theirs - mine)
		s.Of += mine * mine
	}
	if n == 0 {
		return s, false
	}
	return Signal{Mean: record.Round(s.Mean / n), RMS: record.Round(math.Sqrt(s.RMS / n)),
		Of: record.Round(math.Sqrt(s.Of / n))}, true
}
