package alongside

import (
	"fmt"
	"math"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/sensing"
)

// trace makes a record of the log at the rehearsal's times, from where the log begins to tell of motion until it ends.
//
// Dead reckoning errs in its own way: wheels slip, and a push to the side is not seen. So the log's is compared with
// that of the rehearsal's own wheels and heading by the same columns, and the difference is laid on the rehearsal's
// true pose.
func (p *pairing) trace() error {
	times := make([]float64, len(p.record.Samples))
	for i := range times {
		times[i] = p.At + p.record.Samples[i].T
	}
	theirs := p.columns.at(times)
	from, to := p.both(&theirs)
	if to-from < 2 {
		return fmt.Errorf("it has nothing at the time of the rehearsal, which is from %s to %s of its clock: %s",
			logfile.Seconds(times[0]), logfile.Seconds(times[len(times)-1]), say)
	}
	p.from, p.From, p.To = from, p.record.Samples[from].T, p.record.Samples[to-1].T
	p.apart = p.differences(&theirs, from, to)
	p.Trace = &record.Record{Header: p.record.Header}
	h := p.record.Header.Robots[own]
	h.Routine = record.File{Name: p.Log, Title: "the log " + p.Log}
	p.Trace.Header.Robots, p.Trace.Header.Bodies = []record.Robot{h}, nil
	poses, course := make([]geom.Pose, to-from), 0.0
	for i := range poses {
		poses[i] = p.sample(from + i).True.Geom().Compose(p.apart[i])
		if turned := geom.WrapAngle(poses[i].Heading - course); known(turned) { // a heading counts on beyond a turn
			course += turned
			poses[i].Heading = course
		}
	}
	read := p.readings(times, &theirs)
	for i, pose := range poses {
		s := read(from + i)
		s.True, s.Velocity = record.Pose{pose.X, pose.Y, pose.Heading}, velocity(poses, i)
		p.Trace.Samples = append(p.Trace.Samples, record.Sample{T: p.record.Samples[from+i].T,
			Robots: []record.RobotSample{s}})
	}
	return nil
}

// both are the samples, from one up to another, at which the log tells where its robot was.
func (p *pairing) both(m *motion) (from, to int) {
	for from < len(m.left) && !m.known(from) {
		from++
	}
	ends := p.columns.log.Time[len(p.columns.log.Time)-1] - p.At
	for to = len(m.left); to > from && (!m.known(to-1) || p.record.Samples[to-1].T > ends); to-- {
	}
	for i := from; i < to && m.summed(); i++ {
		if !m.known(i) {
			p.note("the log has a gap at %s, behind which its speeds do not tell where the robot is", p.clock(i))
			return from, i
		}
	}
	return from, to
}

func (p *pairing) note(form string, args ...any) {
	p.Notes = append(p.Notes, fmt.Sprintf(form, args...))
}

// clock is a sample's time.
func (p *pairing) clock(sample int) string { return logfile.Seconds(p.record.Samples[sample].T) }

// differences are the log's poses as seen from the rehearsal's, NaN in a gap; the heading is NaN where the log tells of
// no turns. A heading counts from the rehearsal's, for that of a robot's sensor begins anywhere.
func (p *pairing) differences(theirs *motion, from, to int) []geom.Pose {
	start := p.sample(from).True.Geom()
	list := make([]geom.Pose, to-from)
	if p.columns.place {
		for i, pose := range p.places(theirs, start, from, to) {
			list[i] = p.sample(from + i).True.Geom().Relative(pose)
		}
		return list
	}
	if p.From >= opening {
		p.note("the log begins %s after the rehearsal: it is laid on the rehearsal's pose there", p.clock(from))
	}
	mine := p.myMotion().reckoned(start, from, to)
	for i, pose := range theirs.reckoned(start, from, to) {
		list[i] = mine[i].Relative(pose)
	}
	return list
}

// reckoned are poses by dead reckoning from a first one.
func (m *motion) reckoned(pose geom.Pose, from, to int) []geom.Pose {
	list, last := make([]geom.Pose, to-from), from
	for i := range list {
		if !m.known(from + i) {
			list[i] = geom.Pose{X: math.NaN(), Y: math.NaN(), Heading: math.NaN()}
			continue
		}
		pose = sensing.Advance(pose, m.twist(last, from+i))
		list[i], last = pose, from+i
	}
	return list
}

// places are a log's own, in the field.
func (p *pairing) places(m *motion, start geom.Pose, from, to int) []geom.Pose {
	frame := geom.Pose{}
	const near = 0.005 // m
	if math.Hypot(m.left[from], m.right[from]) < near && math.Hypot(start.X, start.Y) > p.Within.Place {
		p.note("x and y begin at 0: they are taken to count from the rehearsal's pose there, x ahead")
		frame = start
		if m.turn != nil && !rate(p.columns.turn) {
			frame.Heading -= m.turn[from]
		}
	}
	list := make([]geom.Pose, to-from)
	for i := range list {
		at := frame.ToWorld(geom.Vec{X: m.left[from+i], Y: m.right[from+i]})
		list[i] = geom.Pose{X: at.X, Y: at.Y, Heading: math.NaN()}
		if m.turn != nil {
			list[i].Heading = start.Heading + m.turn[from+i] - m.turn[from]
		}
	}
	return list
}

// myMotion is the rehearsal's, as the log's columns would have it.
func (p *pairing) myMotion() *motion {
	m := &motion{of: p.columns}
	left, right, turn := 0.0, 0.0, 0.0
	for i := range p.record.Samples {
		if i > 0 {
			a, b := p.sample(i-1), p.sample(i)
			dt := p.record.Samples[i].T - p.record.Samples[i-1].T
			left += (a.Wheels[0] + b.Wheels[0]) / 2 * dt
			right += (a.Wheels[1] + b.Wheels[1]) / 2 * dt
			turn += geom.WrapAngle(b.True[2] - a.True[2])
		}
		m.left, m.right = append(m.left, left), append(m.right, right)
		if p.columns.turn != nil {
			m.turn = append(m.turn, turn)
		}
	}
	return m
}

// velocity is that over the samples about one, for a counter's steps make the speed from one to the next coarse.
func velocity(poses []geom.Pose, i int) [3]float64 {
	a, b := around(i, len(poses), func(k int) bool { return known(poses[k].X) })
	dt := record.SamplePeriod * float64(b-a)
	return [3]float64{(poses[b].X - poses[a].X) / dt, (poses[b].Y - poses[a].Y) / dt,
		(poses[b].Heading - poses[a].Heading) / dt}
}

// around are the neighbours of one of n that are there, or itself.
func around(i, n int, there func(int) bool) (before, after int) {
	before, after = i, i
	if i > 0 && there(i-1) {
		before--
	}
	if i+1 < n && there(i+1) {
		after++
	}
	return before, after
}

// readings gives what else the log tells at the rehearsal's samples; what it does not is NaN.
func (p *pairing) readings(times []float64, m *motion) func(i int) record.RobotSample {
	log, none := p.columns.log, math.NaN()
	before := make([]float64, len(times)) // a record has the volts until a sample, a log those from a row on
	for i, t := range times {
		before[i] = t - record.SamplePeriod/2
	}
	held := func(name, unit string) []float64 {
		return log.HeldAt(log.Column(logfile.Quantity{Name: name, SI: unit}), before)
	}
	battery := log.At(log.Column(logfile.BatteryVolts), times)
	volts, amps := [2][]float64{}, [2][]float64{held("left", "A"), held("right", "A")}
	for side := range volts {
		if values, unit := log.DriveAt(side, before); unit == "V" {
			volts[side] = values
		}
	}
	parts := p.parts(times, held)
	return func(i int) record.RobotSample {
		s := record.RobotSample{Belief: record.Pose{none, none, none}, Slip: [2]float64{none, none}, Air: none,
			Wheels: m.wheels(i), Battery: valueAt(battery, i), Doing: record.Idle}
		for side := range 2 {
			s.Volts[side], s.Amps[side] = valueAt(volts[side], i), valueAt(amps[side], i)
		}
		for _, part := range parts {
			s.Parts = append(s.Parts, record.PartSample{Volts: valueAt(part.volts, i), Value: valueAt(part.value, i), Body: -1})
		}
		return s
	}
}

// wheels are the speeds of the sides, NaN for a log of places.
func (m *motion) wheels(i int) [2]float64 {
	if m.of.place {
		return [2]float64{math.NaN(), math.NaN()}
	}
	a, b := around(i, len(m.left), m.known)
	dt := record.SamplePeriod * float64(b-a)
	return [2]float64{(m.left[b] - m.left[a]) / dt, (m.right[b] - m.right[a]) / dt}
}

// partReadings are a mechanism's volts and its position.
type partReadings struct{ volts, value []float64 }

// parts are what the log tells of each of the robot's mechanisms.
func (p *pairing) parts(times []float64, held func(name, unit string) []float64) []partReadings {
	log := p.columns.log
	list := make([]partReadings, len(p.spec.Parts))
	for i, part := range p.spec.Parts {
		list[i].volts = held(part.Name, "V")
		if part.Lift == nil {
			continue
		}
		unit := "rad"
		if part.Lift.Elevator {
			unit = "m"
		}
		list[i].value = log.At(log.Column(logfile.Quantity{Name: part.Name, SI: unit}), times)
	}
	return list
}

func valueAt(values []float64, i int) float64 {
	if values == nil {
		return math.NaN()
	}
	return values[i]
}
