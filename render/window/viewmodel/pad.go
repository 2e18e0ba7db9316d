package viewmodel

import (
	"cmp"
	"slices"

	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
)

// livePad hands the person's controls to a rehearsal that runs in real time.
type livePad struct {
	state scripting.PadState
	fresh []press // since the rehearsal last asked
	tape  tape    // what the rehearsal was given
}

// press is a button that went down.
type press struct {
	button string
	at     float64 // s of the session: when it was last down
}

// pressLasts is how long a short press waits to be asked for: a robot that is slow to start (its drawn reaction time)
// must not miss the press that started the clock, and one pressed in a phase without a driver is no press of the next.
const pressLasts = 0.25 // s

// hold takes the controls as they are at a time of the session.
func (p *livePad) hold(controls scripting.PadState, now float64) {
	p.state = controls
	for _, button := range controls.Buttons {
		p.fresh = slices.DeleteFunc(p.fresh, func(f press) bool { return f.button == button })
		p.fresh = append(p.fresh, press{button, now})
	}
}

// At gives the controls of this moment. A button let go before the rehearsal asked counts as down once.
func (p *livePad) At(now float64) scripting.PadState {
	state := p.state
	state.Buttons = slices.Clone(state.Buttons)
	for _, f := range p.fresh {
		if now-f.at <= pressLasts {
			state.Buttons = append(state.Buttons, f.button)
		}
	}
	p.fresh = p.fresh[:0]
	slices.Sort(state.Buttons)
	state.Buttons = slices.Compact(state.Buttons)
	p.tape = append(p.tape, taped{now, state})
	return state
}

// tape is what a pad gave, to be given again.
type tape []taped

type taped struct {
	at    float64 // s of the session
	state scripting.PadState
}

// all goes through what was given, in order of time.
func (t tape) all(yield func(at float64, state scripting.PadState) bool) {
	for _, given := range t {
		if !yield(given.at, given.state) {
			return
		}
	}
}

// taped is a pad that gives the same again.
func (p *livePad) taped() rehearse.Pad { return p.tape }

// At gives what was given at a time.
func (t tape) At(now float64) scripting.PadState {
	i, found := slices.BinarySearchFunc(t, now, func(m taped, now float64) int { return cmp.Compare(m.at, now) })
	if !found {
		return scripting.PadState{}
	}
	return t[i].state
}
