package alongside

import (
	"errors"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// Replay is the log as a record that another robot can drive after. Volts that the log does not have are those that its
// speeds take; in a gap, or without parts in it, nothing is done.
func (p *Pair) Replay(spec *robot.Robot) (*record.Record, error) {
	if p.Turned == nil {
		return nil, errors.New("a replay takes the heading too: the log tells of x and y alone")
	}
	model := spec.Model()
	out := &record.Record{Header: p.Trace.Header}
	var at record.Pose
	for _, s := range p.Trace.Samples {
		r := s.Robots[own]
		if known(r.True[0]) {
			at = r.True
		}
		ahead := geom.Unit(at[2])
		along := orNone(float64(r.Velocity[0]*ahead.X) + float64(r.Velocity[1]*ahead.Y))
		turn := orNone(float64(r.Velocity[2] * model.Track / 2))
		out.Samples = append(out.Samples, record.Sample{T: s.T, Robots: []record.RobotSample{{
			True: at, Belief: at, Doing: record.Moving,
			Velocity: [3]float64{orNone(r.Velocity[0]), orNone(r.Velocity[1]), orNone(r.Velocity[2])},
			Volts:    [2]float64{or(r.Volts[0], model.KV*(along-turn)), or(r.Volts[1], model.KV*(along+turn))},
		}}})
	}
	return out, nil
}

func or(x, otherwise float64) float64 {
	if math.IsNaN(x) {
		return otherwise
	}
	return x
}
