// Package alongside lays a log of the real robot beside the rehearsal of its routine: which columns tell how the robot
// moved (columns.go), which moment of the log is the rehearsal's first (align.go, match.go), where the robot was then
// (trace.go, as a record of its own), and where the two part (departure.go).
package alongside

import (
	"fmt"
	"math"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// Options say how a log is laid beside a rehearsal.
type Options struct {
	At *float64 // s of the log's clock: the rehearsal's first moment; nil: it is found
	Limits
}

// Limits are by how much a log may part from the rehearsal. More than one of them for a tenth of a second is a
// departure.
type Limits struct {
	Place   float64 `json:"place_m" toml:"place" unit:"m" default:"50 mm"`
	Heading float64 `json:"heading_rad" toml:"heading" unit:"rad" default:"5 deg"`
}

// Usual limits.
var Usual = Limits{Place: 0.05, Heading: 5 * math.Pi / 180}

// Pair is what comes of it. Times are the rehearsal's but for At and Others; differences are the log's less the
// rehearsal's.
type Pair struct {
	Log         string     `json:"file"`
	Columns     string     `json:"columns"`       // that tell where the robot was
	Against     string     `json:"compared_with"` // the rehearsal's TruePose or DeadReckoning
	At          float64    `json:"at_s"`          // of the log's clock: the rehearsal's first moment
	Given       bool       `json:"at_given"`      // it was not found
	Correlation float64    `json:"correlation"`   // of speeds and turning rates there
	Others      []float64  `json:"also_at_s,omitempty"`
	From        float64    `json:"from_s"` // what both have
	To          float64    `json:"to_s"`
	Notes       []string   `json:"notes,omitempty"`
	Within      Limits     `json:"limits"`
	Departs     *Departure `json:"departs"` // nil: nowhere
	Farthest    Gap        `json:"farthest"`
	Turned      *Gap       `json:"most_turned"` // nil: the log tells of no turns
	End         Gap        `json:"end"`
	Signals     []Signal   `json:"signals"`

	Trace *record.Record `json:"-"` // the log as a record of the real robot; what it does not tell is NaN
}

// What a log is compared with: by dead reckoning, the rehearsal's own.
const (
	TruePose      = "true pose"
	DeadReckoning = "dead reckoning"
)

// own is the robot under test.
const own = 0

// pairing is a Pair in the making.
type pairing struct {
	Pair
	record  *record.Record
	spec    *robot.Robot
	columns columns
	from    int         // the sample with which the log begins
	apart   []geom.Pose // from there on: the log's pose as seen from the rehearsal's
}

func (p *pairing) cells() int                       { return len(p.record.Samples) - 1 }
func (p *pairing) sample(i int) *record.RobotSample { return &p.record.Samples[i].Robots[own] }

// told is a sample with the volts that the program gave, as a log has them, where the motors' controller does
// otherwise.
func (p *pairing) told(i int) *record.RobotSample {
	s := *p.sample(i)
	if i > 0 && p.sample(i-1).Asked != nil { // from a sample on; the volts are those until one
		s.Volts = *p.sample(i - 1).Asked
	}
	return &s
}

// Lay lays a log beside a rehearsal, whose first robot has the file spec.
func Lay(rec *record.Record, spec *robot.Robot, log *logfile.Log, o Options) (*Pair, error) {
	p := &pairing{record: rec, spec: spec, Pair: Pair{Log: log.Name, Within: o.Limits, Against: DeadReckoning}}
	refuse := func(err error) (*Pair, error) { return nil, fmt.Errorf("%s: %w", log.Name, err) }
	var err error
	if p.columns, err = columnsOf(log, spec); err != nil {
		return refuse(err)
	}
	p.Columns = p.columns.String()
	if p.columns.place {
		p.Against = TruePose
	}
	if o.At == nil {
		err = p.align()
	} else {
		err = p.place(*o.At)
	}
	if err != nil {
		return refuse(err)
	}
	p.At, p.Correlation = record.Round(p.At), record.Round(p.Correlation)
	if err := p.trace(); err != nil {
		return refuse(err)
	}
	p.compare()
	return &p.Pair, nil
}
