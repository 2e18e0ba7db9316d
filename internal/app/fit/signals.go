package fit

import (
	"math"

	"chalkfield/internal/app/logfile"
)

// kind is which quantity.
type kind int

const (
	leftSpeed kind = iota
	rightSpeed
	turning
	leftAmps
	rightAmps
	endLeft
	endRight
	endHeading
	endAlong
	endAcross
	kinds
)

// signal is what a log says, cell by cell; NaN where it says nothing.
type signal struct {
	kind   kind
	values []float64
	pure   float64   // its noise as the sensors make it
	noise  float64   // with what is always allowed for
	loose  []float64 // noise of each cell: greater where a side sets off
	at     int       // of its first residual
}

// floor is what is always allowed for: of the greatest size of a signal. A real robot's motion is not smoother.
const floor = 0.002

// addSignals compares speeds of the sides, the turning rate, and currents.
func (d *drive) addSignals(times []float64) {
	for side := range 2 {
		d.add(leftSpeed+kind(side), times, logfile.Travel[side], logfile.Speed[side])
	}
	d.add(turning, times, logfile.Heading, logfile.Turning)
	for side, name := range [2]string{"left", "right"} {
		d.add(leftAmps+kind(side), times, logfile.Quantity{}, logfile.Quantity{Name: name, SI: "A"})
	}
}

// add compares how fast a way grows, or if the log has none, the rate itself.
func (d *drive) add(k kind, times []float64, way, rate logfile.Quantity) {
	l, s := d.log, signal{kind: k}
	width := times[1] - times[0]
	if way := l.Column(way); way != nil {
		values := l.At(way, times)
		for i := range times[1:] {
			s.values = append(s.values, (values[i+1]-values[i])/width)
		}
		s.noise = math.Sqrt2 * d.stillNoise(way) / width
	} else if rate := l.Column(rate); rate != nil {
		if k == leftAmps || k == rightAmps {
			s.values = means(sizes(l.At(rate, times)), 1)
		} else {
			rows := int(math.Max(1, math.Round(width*l.Clock.Rate)))
			s.values = means(l.At(rate, grid(times[0], times[len(times)-1], width/float64(rows))), rows)
		}
		s.noise = d.stillNoise(rate)
	} else {
		return
	}
	top, known := 0.0, 0
	for _, v := range s.values {
		if v == v {
			top = math.Max(top, math.Abs(v))
			known++
		}
	}
	if known < fewestCell {
		return
	}
	s.pure, s.noise = s.noise, math.Hypot(s.noise, float64(floor*math.Max(top, least[k])))
	s.setsOff(width)
	d.signals = append(d.signals, s)
}

// means are those of a signal over each so many steps, by the trapezoidal rule.
func means(values []float64, steps int) (out []float64) {
	for from := 0; from+steps < len(values); from += steps {
		sum := 0.0
		for i := range steps {
			sum += (values[from+i] + values[from+i+1]) / 2
		}
		out = append(out, sum/float64(steps))
	}
	return out
}

// strain is how far the way of the first moment may be off, m: how tyres and gears were pressed as the robot came to
// rest no log tells, and with that when each lets go. Common practice, no source.
const strain = 0.0005

// setsOff makes the noise of each cell: a side that stood for two cells may set off otherwise than the simulated one.
func (s *signal) setsOff(width float64) {
	s.loose = make([]float64, len(s.values))
	moves := func(i int) bool { return i >= 0 && math.Abs(s.values[i]) > 4*s.noise }
	for i := range s.values {
		s.loose[i] = s.noise
		if s.kind <= rightSpeed && moves(i) && !moves(i-1) && !moves(i-2) {
			s.loose[i] = math.Hypot(s.noise, strain/width)
		}
	}
}

// least is what a signal's floor is a share of, where the robot hardly moves: m/s, rad/s, A.
var least = [kinds]float64{leftSpeed: 0.2, rightSpeed: 0.2, turning: 0.5, leftAmps: 1, rightAmps: 1}

// signal gives one, nil if the drive has none of it.
func (d *drive) signal(k kind) *signal {
	for i := range d.signals {
		if d.signals[i].kind == k {
			return &d.signals[i]
		}
	}
	return nil
}
