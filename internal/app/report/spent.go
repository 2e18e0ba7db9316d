package report

import "chalkfield/internal/base/record"

// Share is how long the first robot's main task was at one kind of thing.
type Share struct {
	Doing   record.Activity `json:"doing"`
	Seconds float64         `json:"seconds"`
}

// Spent says where each second of the robot's time went, in the fixed order moving, turning, waiting, mechanism, idle.
// Each sample stands for the time until the next one.
func Spent(r *record.Record, robot int) []Share {
	shares := []Share{{Doing: record.Moving}, {Doing: record.Turning}, {Doing: record.Waiting},
		{Doing: record.Mechanism}, {Doing: record.Idle}}
	for i := 0; i+1 < len(r.Samples); i++ {
		for k := range shares {
			if shares[k].Doing == r.Samples[i].Robots[robot].Doing {
				shares[k].Seconds += r.Samples[i+1].T - r.Samples[i].T
			}
		}
	}
	for k := range shares {
		shares[k].Seconds = record.Round(shares[k].Seconds)
	}
	return shares
}
