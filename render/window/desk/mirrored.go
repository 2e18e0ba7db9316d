package desk

import (
	"errors"

	"chalkfield/fields"
	"chalkfield/internal/record"
)

// Mirrored is a record driven by its first robot, mapped onto the other side's half by the field's symmetry, so that it
// can oppose the drive it came from.
func (d *Desk) Mirrored(rec *record.Record) (*record.Record, error) {
	f := d.Setup.Field
	if f == nil || f.Symmetry == fields.NoSymmetry {
		return nil, errors.New("this field has no symmetry: the drive would start where your robot stands")
	}
	out := *rec
	out.Samples = make([]record.Sample, len(rec.Samples))
	for i, s := range rec.Samples {
		first := s.Robots[0]
		first.True = record.FromGeom(f.Mirror(first.True.Geom()))
		if f.Flips() { // left and right change places
			first.Volts = [2]float64{first.Volts[1], first.Volts[0]}
			first.Wheels = [2]float64{first.Wheels[1], first.Wheels[0]}
		}
		first.Velocity = mirrorVelocity(f, first.Velocity)
		out.Samples[i] = record.Sample{T: s.T, Robots: []record.RobotSample{first}}
	}
	out.Header.Robots = append([]record.Robot(nil), rec.Header.Robots[:1]...)
	return &out, nil
}

func mirrorVelocity(f *fields.Field, v [3]float64) [3]float64 {
	switch f.Symmetry {
	case fields.HalfTurn:
		return [3]float64{-v[0], -v[1], v[2]}
	case fields.MirrorX:
		return [3]float64{-v[0], v[1], -v[2]}
	case fields.MirrorY:
		return [3]float64{v[0], -v[1], -v[2]}
	}
	return v
}
