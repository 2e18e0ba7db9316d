package rehearse

import (
	"context"
	"fmt"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim"
	"chalkfield/sim/scoring"
)

// Rehearsal is a rehearsal under way. One goroutine owns it.
type Rehearsal struct {
	setup   Setup
	session fields.Session
	world   *sim.World
	players []*player
	out     *recorder
	referee *referee
	phase   int     // index into session.Phases, -1 before the first tick
	phaseAt float64 // s: when the phase began
	tick    int     // control ticks done
	ended   bool
	fault   error // a quantity that is no number: see Err
}

// New prepares a rehearsal. Errors are about the input: a session that the field has not, a start outside the floor, a
// routine that does not load.
func New(s Setup) (*Rehearsal, error) {
	session, err := s.Field.SessionNamed(s.Session)
	if err != nil {
		return nil, err
	}
	entries, err := entries(s)
	if err != nil {
		return nil, err
	}
	world, err := sim.New(sim.Config{Field: s.Field, Robots: entries, Seed: s.Seed, Nominal: s.Nominal, Step: s.step})
	if err != nil {
		return nil, &StartError{starters(s), err}
	}
	r := &Rehearsal{setup: s, session: session, world: world, phase: -1}
	if r.players, err = players(s, world); err != nil {
		r.Close()
		return nil, err
	}
	r.referee = newReferee(s.Field, world)
	r.out = newRecorder(s, session, world, r.players)
	return r, nil
}

// StartError is of a robot that has no room where it is to start.
type StartError struct {
	place string // in the routines
	Why   error
}

func (e *StartError) Error() string {
	return fmt.Sprintf("%s: %v; change start = {x, y, heading} of the routine", e.place, e.Why)
}

// starters names the places in the routines whose starts are in question.
func starters(s Setup) string {
	var names []string
	for _, e := range s.Entrants {
		if e.Routine != nil {
			names = append(names, e.Routine.Place("start"))
		}
	}
	if len(names) == 0 {
		return s.Field.Title
	}
	return strings.Join(names, ", ")
}

// Run rehearses from start to end. It returns ctx's error when ctx ends first.
func Run(ctx context.Context, s Setup) (*record.Record, error) {
	return RunWatched(ctx, s)
}

// Watcher looks at a rehearsal after each of its ticks. Its error ends it.
type Watcher func(*Rehearsal) error

// RunWatched is Run with watchers.
func RunWatched(ctx context.Context, s Setup, watchers ...Watcher) (*record.Record, error) {
	r, err := New(s)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	for r.Tick() {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		for _, watch := range watchers {
			if err := watch(r); err != nil {
				return nil, err
			}
		}
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return r.Record(), nil
}

// Tick runs one control tick: sensors, routines in order of entry, then the physics. It returns false when the session
// has ended; the tick that ends it only takes the last sample.
func (r *Rehearsal) Tick() bool {
	if r.ended {
		return false
	}
	now := r.Now()
	r.world.Sense()
	r.advancePhase(now)
	r.collect(now)
	if !r.ended {
		r.play(now)
	}
	if r.tick%samplesEvery == 0 || r.ended || r.setup.Fine {
		r.sample(now)
	}
	if r.fault = r.out.fault; r.fault != nil {
		r.ended = true
	}
	if r.ended {
		r.out.finish(r.referee.sheet(now), r.players)
		return false
	}
	r.world.Tick()
	r.tick++
	return true
}

// Finish ends the session before its time, for a person who has seen enough: the last sample is taken and the score
// sheet is that of this moment. A phase that is cut short decides nothing. After the session's own end it does nothing.
// It reports whether it ended the session.
func (r *Rehearsal) Finish() bool {
	if r.ended {
		return false
	}
	now := r.Now()
	r.collect(now)
	for _, p := range r.players {
		p.stop()
		r.out.take(p.drain())
	}
	r.ended = true
	if samples := r.out.record.Samples; len(samples) == 0 || samples[len(samples)-1].T < now {
		r.sample(now)
	}
	r.out.finish(r.referee.sheet(now), r.players)
	return true
}

// Err says which quantity of which robot became no number, and when: that ends a rehearsal, because what follows would
// be none either.
func (r *Rehearsal) Err() error { return r.fault }

// Now is the time since the start of the session in seconds.
// a quotient: 12.87, not 12.870000000000001
func (r *Rehearsal) Now() float64 { return float64(r.tick) / ticksPerSecond }

// Record is what has been recorded so far; complete once Tick has returned false.
func (r *Rehearsal) Record() *record.Record { return &r.out.record }

// Sheet is the score sheet if the session ended now.
func (r *Rehearsal) Sheet() record.Sheet { return r.referee.sheet(r.Now()) }

// Intent is what the first robot's routine wants at this tick; false while none is at work.
func (r *Rehearsal) Intent() (i scripting.Intent, is bool) {
	p := r.players[0]
	if p.host == nil || !p.begun {
		return i, false
	}
	return p.host.Intent(), true
}

// Macros are what the first robot's routine has bound to the driver's buttons.
func (r *Rehearsal) Macros() []scripting.Macro {
	if host := r.players[0].host; host != nil {
		return host.Macros()
	}
	return nil
}

// Params are what the first robot's routine has left open so far.
func (r *Rehearsal) Params() []scripting.Param {
	if host := r.players[0].host; host != nil {
		return host.Params()
	}
	return nil
}

// Close ends the routines. The record stays.
func (r *Rehearsal) Close() {
	for _, p := range r.players {
		p.close()
	}
}

const samplesEvery = 2 // control ticks a sample: record.SamplePeriod / ControlTick

// advancePhase starts the next phase when the present one is over.
func (r *Rehearsal) advancePhase(now float64) {
	const half = ControlTick / 2 // times are whole ticks: compare between them
	if r.phase >= 0 && now < r.phaseAt+r.phaseLength()-half {
		return
	}
	if r.phase >= 0 {
		r.closePhase(now)
	}
	r.phase++
	if r.phase == len(r.session.Phases) {
		r.ended = true
		return
	}
	r.phaseAt = now
	r.world.OpenPhase(r.session.Phases[r.phase])
	r.referee.openPhase(r.clock(now))
	phase := r.setup.Field.Phases[r.session.Phases[r.phase]]
	r.out.event(record.Event{T: now, Kind: record.PhaseStart, Robot: -1, What: phase.Name, Value: phase.Seconds})
	for _, p := range r.players {
		p.begin(phase.Control, now)
	}
}

// clock is what rules may read of the time, at the beginning of a phase.
func (r *Rehearsal) clock(now float64) scoring.Clock {
	c := scoring.Clock{Phase: r.session.Phases[r.phase], Now: now, PhaseEnds: now + r.phaseLength(), Ends: now}
	for _, phase := range r.session.Phases[r.phase:] {
		c.Ends += r.setup.Field.Phases[phase].Seconds
	}
	return c
}

func (r *Rehearsal) phaseLength() float64 {
	return r.setup.Field.Phases[r.session.Phases[r.phase]].Seconds
}

// closePhase settles what is decided at a phase's end.
func (r *Rehearsal) closePhase(now float64) {
	r.collect(now)
	r.referee.closePhase(r.session.Phases[r.phase], now)
	for _, p := range r.players {
		p.stop()
		r.out.take(p.drain())
	}
}

// play gives each robot's routine its tick.
func (r *Rehearsal) play(now float64) {
	for _, p := range r.players {
		p.tick(now)
		r.out.take(p.drain())
	}
}

// collect takes what happened in the world since the last tick and looks for fouls.
func (r *Rehearsal) collect(now float64) {
	for _, e := range r.world.TakeEvents() {
		if e.Robot >= 0 && e.Robot < len(r.players) {
			e = r.players[e.Robot].stamp(e)
		}
		r.out.event(e)
	}
	if r.phase < 0 || r.ended {
		return
	}
	for _, e := range r.referee.fouls(r.session.Phases[r.phase], now) {
		r.out.event(r.players[e.Robot].stamp(e))
	}
}

// sample records the state and the score where it changed.
func (r *Rehearsal) sample(now float64) {
	if r.setup.Sparse {
		r.out.path(now, r.players)
		if !r.ended {
			return
		}
	}
	if e, changed := r.referee.scoreChange(now, r.ended); changed {
		r.out.event(e)
	}
	r.out.sample(now, r.world, r.players)
}

var _ scripting.Machine = (*sim.Robot)(nil)
