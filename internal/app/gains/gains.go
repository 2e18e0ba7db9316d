package gains

import (
	"context"
	"fmt"

	"chalkfield/internal/base/pool"
	"chalkfield/sim/robot"
)

// Set is where gains come from.
type Set string

const (
	File     Set = "file"
	Computed Set = "computed" // from the model, see Loop.Computed
	ByTable  Set = "relay"    // Ziegler and Nichols' table, from a relay's swing
	Tuned    Set = "tuned"    // searched
)

// Sets are all of them.
var Sets = []Set{File, Computed, ByTable, Tuned}

// Result is what is found of a robot's loops.
type Result struct {
	Robot string        `json:"robot"`
	Loops []*LoopResult `json:"loops"`
}

// LoopResult is one loop with each set of gains.
type LoopResult struct {
	Loop     Loop      `json:"-"`
	Name     string    `json:"name"`
	Unit     string    `json:"unit"` // SI
	Step     float64   `json:"step"`
	Ultimate *Ultimate `json:"ultimate"` // by the relay; nil: nothing swings
	Sets     []*Tried  `json:"sets"`
}

// Tried is what gains came to.
type Tried struct {
	Set     Set           `json:"set"`
	Gains   Values        `json:"gains"`
	Without string        `json:"without,omitempty"` // why there are none
	Cases   []CaseFigures `json:"cases"`
	Behind  float64       `json:"behind"` // m or rad, that a ramp is behind
	Factor  Edge          `json:"gain_until_it_rings"`
	Delay   Edge          `json:"delay_until_it_rings"` // s
	Step    *Curve        `json:"step"`
	Ramp    *Curve        `json:"ramp"`
}

// CaseFigures are a step's in a case.
type CaseFigures struct {
	Case Case `json:"case"`
	Figures
}

// Full are the figures with a full battery of the sets that there are.
func (l *LoopResult) Full() (list []*Figures) {
	for _, t := range l.Sets {
		if len(t.Cases) > 0 {
			list = append(list, &t.Cases[0].Figures)
		}
	}
	return list
}

// Good tells whether gains settle in every case.
func (t *Tried) Good() bool {
	for _, c := range t.Cases {
		if c.Verdict != Settles {
			return false
		}
	}
	return t.Without == ""
}

// Find looks at some loops of a robot. done is told of each that is looked at.
func Find(ctx context.Context, r *robot.Robot, loops []Loop, done func(int)) (*Result, error) {
	b, err := NewBench(r)
	if err != nil {
		return nil, err
	}
	out := &Result{Robot: r.Title, Loops: make([]*LoopResult, len(loops))}
	indices := make([]int, len(loops))
	for i := range indices {
		indices[i] = i
	}
	work := func(ctx context.Context, i int) (*LoopResult, error) {
		one, err := b.loop(ctx, loops[i])
		if err != nil {
			err = fmt.Errorf("%s: %w", loops[i].Name, err)
		}
		return one, err
	}
	return out, pool.Each(ctx, indices, pool.Cores(), work, func(list []pool.Done[*LoopResult]) error {
		for _, d := range list {
			out.Loops[d.Index] = d.Result
			done(1)
		}
		return nil
	})
}

// loop looks at one with each set of gains.
func (b *Bench) loop(ctx context.Context, l Loop) (*LoopResult, error) {
	out := &LoopResult{Loop: l, Name: l.Name, Unit: l.Unit(b.Robot), Step: b.size(l)}
	computed := l.Computed(b.Robot)
	relay := &Tried{Set: ByTable, Without: "a relay does not make it swing"}
	u, swings, err := b.Relay(ctx, l)
	if err != nil {
		return nil, err
	}
	if swings {
		relay.Gains, relay.Without, out.Ultimate = l.byTable(u, computed.Hold), "", &u
	}
	tuned := &Tried{Set: Tuned}
	found := false
	if tuned.Gains, found, err = b.Tuned(ctx, l, computed); err != nil {
		return nil, err
	}
	if !found {
		tuned.Without = fmt.Sprintf("none of %d tried gains settles", tries)
	}
	out.Sets = []*Tried{{Set: File, Gains: l.InFile(b.Robot)}, {Set: Computed, Gains: computed}, relay, tuned}
	for _, t := range out.Sets {
		if t.Without != "" {
			continue
		}
		if err := b.look(ctx, l, t); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// byTable is the row of the table for what the loop has: a drive's has no integral, and so P alone.
func (l Loop) byTable(u Ultimate, hold float64) Values {
	p, pid := u.ZieglerNichols()
	if l.Kind != Lift {
		return p
	}
	pid.Hold = hold
	return pid
}

// look rehearses all that is told of gains.
func (b *Bench) look(ctx context.Context, l Loop, t *Tried) error {
	for _, in := range Cases {
		c, err := b.Step(ctx, l, t.Gains, in)
		if err != nil {
			return err
		}
		t.Cases = append(t.Cases, CaseFigures{in, Of(c)})
		if t.Step == nil {
			t.Step = c
		}
	}
	var err error
	if t.Ramp, err = b.Ramp(ctx, l, t.Gains); err != nil {
		return err
	}
	t.Behind = Lag(t.Ramp)
	return b.margins(ctx, l, t)
}

// What margins should be at least: common practice is a gain margin of 2 to 5 (Astrom and Hagglund, Advanced PID
// Control, ch. 4, from memory), and a control tick of delay, no source.
const (
	LeastFactor = 2.0
	LeastLate   = tick // s
)

// Near tells which margins of gains are less than they should be.
func (t *Tried) Near() (factor, delay bool) {
	if t.Without != "" {
		return false, false
	}
	return !t.Factor.More && t.Factor.At < (1-exact)*LeastFactor, !t.Delay.More && t.Delay.At < (1-exact)*LeastLate
}

// The most by which is looked for margins.
const (
	mostFactor = 32.0
	LeastDelay = 0.0025 // s
	mostDelay  = 0.32   // s
)

// Margins are those of gains alone.
func (b *Bench) Margins(ctx context.Context, l Loop, v Values) (*Tried, error) {
	t := &Tried{Gains: v}
	return t, b.margins(ctx, l, t)
}

// margins are how much more gain, and how much later motors, a loop bears until it rings.
func (b *Bench) margins(ctx context.Context, l Loop, t *Tried) (err error) {
	if len(t.Cases) > 0 && t.Cases[0].Swing != nil { // it rings as it is
		return nil
	}
	holds := func(v Values, in Case) (bool, error) {
		rings, err := b.nudge(ctx, l, v, in)
		return !rings, err
	}
	t.Factor, err = edge(1, mostFactor, func(k float64) (bool, error) { return holds(t.Gains.times(k), Cases[0]) })
	if err != nil || t.Factor.At == 0 {
		return err
	}
	t.Delay, err = edge(LeastDelay, mostDelay, func(late float64) (bool, error) {
		return holds(t.Gains, Case{late: late})
	})
	return err
}
