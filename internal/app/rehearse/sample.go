package rehearse

import (
	"chalkfield/internal/base/record"
)

// sample is the player's robot as a record has it.
func (p *player) sample() record.RobotSample {
	r := p.robot
	vx, vy, omega := r.Velocity()
	along, across := r.Slip()
	s := record.RobotSample{
		True: record.FromGeom(r.Pose()), Belief: record.FromGeom(r.Belief()),
		Velocity: [3]float64{record.Round(vx), record.Round(vy), record.Round(omega)},
		Wheels:   rounded(r.WheelSpeeds()), Volts: rounded(r.DriveVolts()), Amps: rounded(r.TrainAmps()),
		Slip: rounded([2]float64{along, across}), Battery: record.Round(r.Terminal()), Air: record.Round(r.Air()),
		Parts: p.partSlab.take(len(r.Spec.Parts)), Sensors: p.readings(),
		Doing: record.Idle,
	}
	if asked := r.Asked(); asked != nil {
		*asked = rounded(*asked)
		s.Asked = asked
	}
	for i := range s.Parts {
		s.Parts[i] = r.PartSample(i)
		s.Parts[i].Volts, s.Parts[i].Value = record.Round(s.Parts[i].Volts), record.Round(s.Parts[i].Value)
	}
	p.addRoutine(&s)
	return s
}

// readings are those of the robot's sensors, and then what they tell beside.
func (p *player) readings() []float64 {
	p.told = p.robot.AppendTold(p.told[:0])
	own := len(p.robot.Spec.Sensors)
	list := p.sensorSlab.take(own + len(p.told))
	for i := range own {
		list[i] = record.Round(p.robot.Reading(i))
	}
	for i, x := range p.told {
		list[own+i] = record.Round(x)
	}
	return list
}

// addRoutine adds what the routine is about.
func (p *player) addRoutine(s *record.RobotSample) {
	if p.replay != nil {
		s.Doing = p.replay.doing
	}
	if p.host == nil {
		return
	}
	want, turn := p.host.Want()
	s.Want = rounded([2]float64{want, turn})
	s.Doing = p.host.Activity()
	s.Lines = p.host.Lines()
	s.News = record.News{Plan: p.plan.changed(p.host.Plan()), Said: p.host.TakeSaid()}.Told()
}

func rounded(pair [2]float64) [2]float64 {
	return [2]float64{record.Round(pair[0]), record.Round(pair[1])}
}

// left is what the robot has left at the end.
func (p *player) left() record.Left {
	return record.Left{Battery: record.Round(p.robot.Terminal()), Air: record.Round(p.robot.Air()),
		Strokes: p.robot.AirStrokes()}
}

// slab hands out slices of zeros, cut from larger ones that grow: a rehearsal takes some thousands, or one if sparse.
type slab[T any] struct {
	rest []T
	size int // of the last larger one
}

func (s *slab[T]) take(n int) []T {
	if n > len(s.rest) {
		s.size = max(n, min(2*s.size, slabSize))
		s.rest = make([]T, s.size)
	}
	cut := s.rest[:n:n]
	s.rest = s.rest[n:]
	return cut
}

const slabSize = 1024
