package setpoints

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/scripting/motion"
)

// Periods that a table may have, s: whole control ticks.
const (
	UsualPeriod = 0.02
	mostPeriod  = 0.5
	mostRows    = 200_000
)

const (
	mm  = 0.001
	deg = math.Pi / 180
)

// Plan makes a table while a rehearsal runs.
type Plan struct {
	table  Table
	setup  rehearse.Setup
	every  int // ticks a row
	ticks  int // since the routine began
	events int // of the record, seen
	step   int // the motion under way, or the last
	given  []scripting.Given
	last   map[string]scripting.Given // by what they are for
	loops  []scripting.Decision
	over   bool
}

// NewPlan makes one for a rehearsal whose first robot is to be followed.
func NewPlan(setup rehearse.Setup, period float64) (*Plan, error) {
	every := int(math.Round(period / rehearse.ControlTick))
	if math.Abs(float64(float64(every)*rehearse.ControlTick)-period) > 1e-9 || every < 1 || period > mostPeriod {
		return nil, fmt.Errorf("a table of setpoints has a row every 10 ms, 20 ms and so on up to 500 ms, not every %g ms",
			period*1000)
	}
	own := setup.Entrants[0]
	if own.Routine == nil || !own.Routine.HasAuto {
		return nil, fmt.Errorf("there is no autonomous routine to make setpoints of")
	}
	law, err := motion.LawFor(own.Robot.Model(), own.Robot.Battery.Open)
	if err != nil {
		return nil, err
	}
	p := &Plan{setup: setup, every: every, last: map[string]scripting.Given{}}
	p.table.Period, p.table.Steps = period, []Step{{Words: "no motion", Law: law}}
	p.table.Open, err = own.Routine.Decisions(own.Robot)
	for _, d := range p.table.Open {
		if d.What == scripting.Loop && d.File == own.Routine.Name {
			p.loops = append(p.loops, d)
		}
	}
	return p, err
}

// Watch takes what the routine wants at a tick.
func (p *Plan) Watch(r *rehearse.Rehearsal) error {
	rec := r.Record()
	for ; p.events < len(rec.Events); p.events++ {
		p.hear(&rec.Events[p.events])
	}
	i, is := r.Intent()
	if !is || p.over || i.Phase != scripting.Auto {
		p.over = p.over || p.ticks > 0
		return nil
	}
	p.given = append(p.given, slices.Clone(i.Given)...)
	if p.ticks%p.every == 0 || i.Done {
		if len(p.table.Rows) == mostRows {
			return fmt.Errorf("a table of more than %d setpoints: write a longer --setpoint-period", mostRows)
		}
		p.add(&i)
	}
	p.ticks++
	p.over = i.Done
	return nil
}

// hear takes the motions from the record's events.
func (p *Plan) hear(e *record.Event) {
	if e.Robot != 0 || p.over {
		return
	}
	switch e.Kind {
	case record.MotionStart:
		p.table.Steps = append(p.table.Steps, Step{Motion: e.What, Words: e.Text, At: e.Place()})
		p.step = len(p.table.Steps) - 1
	case record.MotionEnd:
		// that of another's cancelling is told before the next begins
		if s := &p.table.Steps[p.step]; e.Reason == record.Arrived && s.Motion == e.What {
			s.Within, s.WithinAngle = s.Law.Within, s.Law.WithinAngle
		}
	}
}

// add adds a row.
func (p *Plan) add(i *scripting.Intent) {
	r := Row{Time: float64(p.ticks) * rehearse.ControlTick, Line: i.Line, Waits: i.Awaits}
	if i.Motion == nil {
		p.addUnled(&r, i)
	} else {
		a := i.Motion
		r.Mode, r.Step = Follow, p.step
		if a.Turning {
			r.Mode = Turn
		}
		p.table.Steps[p.step].Law = a.Law
		r.place(a.Pose, a.Speed, a.Turn, a.Law.Track)
		r.LeftVolts, r.RightVolts = a.Left, a.Right
	}
	for _, loop := range p.loops {
		if r.Waits == 0 && loop.Line <= r.Line && r.Line <= loop.Last {
			r.Waits = loop.Line
		}
	}
	r.Do = p.commands()
	if n := len(p.table.Rows); n > 0 { // counts on
		before := p.table.Rows[n-1].Heading
		r.Heading = before + geom.WrapAngle((r.Heading-before)*deg)/deg
	}
	r.round()
	p.table.Rows = append(p.table.Rows, r)
}

// addUnled fills a row in which no motion leads: the robot rests, or goes as the routine's own volts had it go.
func (p *Plan) addUnled(r *Row, i *scripting.Intent) {
	law := &p.table.Steps[0].Law
	if i.Left == 0 && i.Right == 0 {
		r.place(i.At, 0, 0, law.Track)
		return
	}
	r.Mode = Follow
	r.place(i.At, i.Along, i.Rate, law.Track)
	r.LeftVolts, r.RightVolts = i.Left, i.Right
}

func (r *Row) place(at geom.Pose, speed, turn, track float64) {
	r.X, r.Y, r.Heading = at.X/mm, at.Y/mm, at.Heading/deg
	r.Speed, r.Turning = speed/mm, turn/deg
	half := float64(turn * track / 2)
	r.LeftSpeed, r.RightSpeed = (speed-half)/mm, (speed+half)/mm
}

// commands are those given since the last row. One that only says again what holds already is left out.
func (p *Plan) commands() []Command {
	var list []Command
	for _, g := range p.given {
		before, had := p.last[g.Of]
		if had && g.Of != "" && len(g.Numbers) > 0 && same(before, g) {
			continue
		}
		p.last[g.Of] = g
		c := Command{Do: g.Call}
		if g.Of != "" {
			c.Do = g.Of + "." + g.Call
		}
		for _, n := range g.Numbers {
			c.With = append(c.With, math.Round(n*1e6)/1e6+0)
		}
		if g.Word != "" {
			c.With = append(c.With, g.Word)
		}
		list = append(list, c)
	}
	p.given = p.given[:0]
	return list
}

func same(a, b scripting.Given) bool {
	return a.Call == b.Call && a.Word == b.Word && slices.Equal(a.Numbers, b.Numbers)
}

// Table is what came of it; an error of a rehearsal that is no plan.
func (p *Plan) Table(rec *record.Record) (*Table, error) {
	for i := range rec.Events {
		if e := &rec.Events[i]; e.Robot == 0 && e.Kind == record.Failure {
			return nil, fmt.Errorf("no setpoints are written of a routine that fails: %s", e.Message())
		}
	}
	t := &p.table
	if len(t.Rows) == 0 {
		return nil, fmt.Errorf("there are no setpoints: session %q has no autonomous phase in which the routine begins",
			rec.Header.Session)
	}
	h := &rec.Header
	own := &h.Robots[0]
	if last := t.Rows[len(t.Rows)-1]; last.Mode != Rest { // the phase ended it
		t.Rows = append(t.Rows, Row{Time: last.Time + t.Period, X: last.X, Y: last.Y, Heading: last.Heading})
		t.Rows[len(t.Rows)-1].round()
	}
	for i := range t.Steps {
		t.Steps[i].Law.Within, t.Steps[i].Law.WithinAngle = 0, 0 // the step has them
	}
	for i := range t.Open {
		t.Open[i].Last = 0 // is in no file
	}
	t.Side = p.setup.Field.Sides[own.Side].Name
	start := rec.Samples[0].Robots[0].Belief
	t.Start = [3]float64{rounded(start[0] / mm), rounded(start[1] / mm), rounded(start[2] / deg)}
	t.Made = Origin{Simulator: "chalkfield " + h.Program, Routine: own.Routine.Name, Robot: own.File.Name,
		Field: h.Field.Name, Session: h.Session, Seed: h.Seed, Nominal: h.Nominal, Params: h.Params,
		Program: own.Outside}
	kinds := map[string]string{h.Field.SHA256: "field"}
	for _, r := range h.Robots {
		kinds[r.File.SHA256], kinds[r.Routine.SHA256] = "robot", "routine"
	}
	for _, s := range rec.Sources {
		t.Made.Add(kinds[s.Of], s.Name, []byte(s.Text))
	}
	return t, nil
}

// Add adds a file that the table came from.
func (o *Origin) Add(of, name string, text []byte) {
	sum := sha256.Sum256(text)
	o.Files = append(o.Files, File{Of: of, Name: name, SHA256: hex.EncodeToString(sum[:])})
}

func rounded(x float64) float64 { return math.Round(x*1000)/1000 + 0 }
