package desk

import (
	"errors"
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/record"
	"chalkfield/internal/rehearse"
	"chalkfield/scripting"
)

// driving is a rehearsal that a person drives, in real time.
type driving struct {
	rehearsal *rehearse.Rehearsal
	pad       *livePad
	run       *Run
	lag       float64 // s of real time that the rehearsal has not lived through yet
	begun     bool    // a control has been touched
}

// livePad hands the person's controls to the rehearsal.
type livePad struct{ state scripting.PadState }

// At gives the controls as they are now; the rehearsal runs in real time.
func (p *livePad) At(float64) scripting.PadState { return p.state }

// mostLag is how much real time is caught up at most in one step: a window that was held up for longer lets the rest go.
const mostLag = 0.1 // s

// DriverSessions are the sessions of the field in which somebody drives, those that begin with driving first.
func (d *Desk) DriverSessions() []fields.Session {
	f := d.Setup.Field
	if f == nil {
		return nil
	}
	var first, later []fields.Session
	for _, s := range f.Sessions {
		for i, phase := range s.Phases {
			if f.Phases[phase].Control != fields.Driver {
				continue
			}
			if i == 0 {
				first = append(first, s)
			} else {
				later = append(later, s)
			}
			break
		}
	}
	return append(first, later...)
}

// BeginDrive prepares a rehearsal of a session that a person drives. It starts to run when a control is touched, or with
// Go. hand is the routine that drives where the robot's own has no driver function; nil: its own.
func (d *Desk) BeginDrive(session string, hand *scripting.Program) {
	setup := d.arranged.Apply(d.Setup)
	setup.Session = session
	setup.Entrants = append([]rehearse.Entrant(nil), setup.Entrants...)
	pad := &livePad{}
	setup.Entrants[0].Pad = pad
	if hand != nil {
		if start, ok := d.Standing(Thing{RobotThing, 0}); ok {
			setup.Entrants[0].Start = &start
		}
		if d.Now != nil && setup.Entrants[0].Side == "" {
			setup.Entrants[0].Side = setup.Field.Sides[d.Now.Record.Header.Robots[0].Side].Name
		}
		setup.Entrants[0].Routine = hand
	}
	if d.opponent != nil {
		setup.Entrants = append(setup.Entrants, d.rival(setup))
	}
	rehearsal, err := rehearse.New(setup)
	if err != nil {
		d.fail(err)
		return
	}
	d.job.cancel()
	rehearsal.Tick() // the first sample: where everything stands
	run := NewRun(setup, rehearsal.Record(), d.Text)
	run.Live = true
	d.drive = &driving{rehearsal: rehearsal, pad: pad, run: run}
	d.Before, d.Now, d.Mode = nil, run, Drive
	d.Time, d.Playing = 0, false
	d.Selected, d.Fault = Nothing, nil
	d.Say("The clock starts with your first move, or with Enter. Esc ends the drive.")
}

// rival is the recorded drive on the other side; rehearse maps its path there.
func (d *Desk) rival(setup rehearse.Setup) rehearse.Entrant {
	f := setup.Field
	return rehearse.Entrant{Robot: setup.Entrants[0].Robot, Replay: d.opponent, Side: f.Sides[f.OtherSide(d.opponent.Header.Robots[0].Side)].Name}
}

// Driving reports whether a person drives now.
func (d *Desk) Driving() bool { return d.drive != nil }

// Begun reports whether the driven rehearsal's clock runs.
func (d *Desk) Begun() bool { return d.drive != nil && d.drive.begun }

// Go starts the clock of a drive.
func (d *Desk) Go() {
	if d.drive != nil {
		d.drive.begun = true
	}
}

// AdvanceDrive lets the driven rehearsal live through seconds of real time with the controls as they are.
func (d *Desk) AdvanceDrive(seconds float64, controls scripting.PadState) {
	drive := d.drive
	if drive == nil {
		return
	}
	drive.pad.state = controls
	if !drive.begun {
		drive.begun = touched(controls)
		return
	}
	drive.lag = math.Min(drive.lag+seconds, mostLag)
	for drive.lag >= rehearse.ControlTick {
		drive.lag -= rehearse.ControlTick
		if !drive.rehearsal.Tick() {
			d.EndDrive()
			return
		}
	}
	d.refreshDrive()
}

func touched(c scripting.PadState) bool {
	return c.LeftX != 0 || c.LeftY != 0 || c.RightX != 0 || c.RightY != 0 || len(c.Buttons) > 0
}

func (d *Desk) refreshDrive() {
	d.drive.run.Refresh()
	d.End = d.drive.run.Index.End()
	d.Time = d.End
}

// EndDrive stops driving. What was driven stays on the desk as a run like any other, and is kept as Driven.
func (d *Desk) EndDrive() {
	if d.drive == nil {
		return
	}
	d.refreshDrive()
	drive := d.drive
	drive.rehearsal.Close()
	drive.run.Live = false
	d.drive, d.Mode, d.Playing = nil, Watch, false
	if len(drive.run.Record.Samples) < 2 {
		d.Say("Nothing was driven.")
		return
	}
	d.Driven = drive.run
	d.Runs++
	d.Say(fmt.Sprintf("Drove %.1f s. Keep it as a record, an opponent or a draft routine, or press R for the routine.", d.End))
}

// Oppose makes the last drive drive against the person from the next one on: from the other side, as the field's
// symmetry maps it.
func (d *Desk) Oppose() error {
	f := d.Setup.Field
	switch {
	case d.Driven == nil:
		return errors.New("nothing has been driven yet")
	case f == nil || f.Symmetry == fields.NoSymmetry || len(f.Sides) < 2:
		return errors.New("this field has no second side that mirrors the first: the drive would start where your robot stands")
	}
	d.opponent = d.Driven.Record
	return nil
}

// NoOpponent takes it away.
func (d *Desk) NoOpponent() { d.opponent = nil }

// Opponent is that record.
func (d *Desk) Opponent() *record.Record { return d.opponent }
