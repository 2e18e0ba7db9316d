package viewmodel

import (
	"math"

	"chalkfield/fields"
	"chalkfield/internal/app/lesson"
	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
)

// driving is a rehearsal that a person drives, in real time.
type driving struct {
	rehearsal *rehearse.Rehearsal
	pad       *livePad
	run       *Run
	until     float64   // s: what comes before runs at once, without the clock; 0: nothing does
	lag       float64   // s of real time that the rehearsal has not lived through yet
	begun     bool      // a control has been touched
	hand      bool      // a routine of ours drives, not the person's own
	bound     []binding // what the routine's text binds to buttons
	started   bool      // the beginning of the clock was a cue
	cued      int       // events that were looked at for cues
	touched   float64   // s: of the last cue of a contact
	ghost     *Ghost    // the best drive so far; nil: none

	watch *lesson.Watch // of a course; nil: it is none
	heard int           // events of the record that were looked at for trouble
	back  view          // what was shown before, for a drive that comes to nothing
}

// view is what the model shows at a moment, to come back to.
type view struct {
	now, before *Run
	fault       *Fault
	time        float64
	unfinished  bool // a rehearsal was under way
}

// mostLag is how much real time is caught up at most in one step: a window that was held up for longer lets the rest
// go.
const mostLag = 0.1 // s

// DriverSessions are the sessions of the field in which somebody drives, those that begin with driving first.
func (d *Model) DriverSessions() []fields.Session {
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

// BeginsAlone reports whether a session begins with a phase in which nobody drives.
func (d *Model) BeginsAlone(session string) bool {
	s, err := d.Setup.Field.SessionNamed(session)
	return err == nil && len(s.Phases) > 0 && d.Setup.Field.Phases[s.Phases[0]].Control != fields.Driver
}

// BeginDrive prepares a rehearsal of a session that a person drives. It starts to run when a control is touched, or
// with Go. hand lends its driver function where the robot's own routine has none; nil: its own.
func (d *Model) BeginDrive(session string, hand *scripting.Program) {
	d.EndDrive() // one that is under way is kept as the last drive
	d.trial = nil
	setup := d.arranged.Apply(d.Setup)
	setup.Session = session
	setup.Entrants = d.facing(setup.Entrants)
	pad := &livePad{}
	setup.Entrants[0].Pad = pad
	source := d.Text
	switch routine := setup.Entrants[0].Routine; {
	case hand != nil && routine != nil:
		setup.Entrants[0].Routine = routine.DrivenBy(hand)
	case hand != nil:
		source = Source{} // it is not the text on the page that runs
		if start, ok := d.Standing(Thing{RobotThing, 0}); ok {
			setup.Entrants[0].Start = &start
		}
		if side := d.sideShown(); side < len(setup.Field.Sides) && setup.Entrants[0].Side == "" {
			setup.Entrants[0].Side = setup.Field.Sides[side].Name
		}
		setup.Entrants[0].Routine = hand
	}
	if d.Opponent() != nil {
		setup.Entrants = append(setup.Entrants, d.rival(setup))
	}
	rehearsal, err := rehearse.New(setup)
	if err != nil {
		d.fail(err)
		return
	}
	_, busy := d.Busy()
	back := view{d.Now, d.Before, d.Fault, d.Time, busy}
	d.job.cancel()
	rehearsal.Tick() // the first sample: where everything stands
	run := NewRun(setup, rehearsal.Record(), source)
	run.Live = true
	d.drive = &driving{rehearsal: rehearsal, pad: pad, run: run, back: back, hand: hand != nil,
		bound: bindings(source.Text)}
	if course := d.courseOpen(); course != nil {
		d.drive.watch = course.Watch()
	}
	d.putAside()
	d.Before, d.Now, d.Mode = nil, run, Drive
	d.Time, d.End, d.Playing = 0, 0, false
	d.Selected, d.Fault = Nothing, nil
	d.Say("The clock starts with your first move, or with Enter. Esc ends the drive.")
	d.hearDrive()
}

// sideShown is the side of the robot under test in the run shown.
func (d *Model) sideShown() int {
	if d.Now == nil || len(d.Now.Record.Header.Robots) == 0 {
		return 0
	}
	return d.Now.Record.Header.Robots[0].Side
}

// Driving reports whether a person drives now.
func (d *Model) Driving() bool { return d.drive != nil }

// Begun reports whether the driven rehearsal's clock runs.
func (d *Model) Begun() bool { return d.drive != nil && d.drive.begun }

// Go starts the clock of a drive.
func (d *Model) Go() {
	if d.drive != nil && d.drive.until == 0 {
		d.drive.begun = true
	}
}

// SkipToDriver lets all that comes before the first phase that somebody drives run at once, as soon as time passes. The
// clock then waits there.
func (d *Model) SkipToDriver() {
	if d.drive == nil || d.drive.begun {
		return
	}
	session, err := d.Setup.Field.SessionNamed(d.drive.run.Record.Header.Session)
	if err != nil {
		return
	}
	for i, phase := range session.Phases {
		if d.Setup.Field.Phases[phase].Control == fields.Driver {
			d.drive.until = d.drive.run.Record.Header.Phases[i].Start
			return
		}
	}
}

// skipTicks is how much of what is skipped is lived through in one step, in ticks: little enough that the window goes
// on.
const skipTicks = 100

// skip lives through some of what comes before the driver's phase.
func (d *Model) skip() {
	const half = rehearse.ControlTick / 2
	drive := d.drive
	for range skipTicks {
		if drive.rehearsal.Now() > drive.until+half { // the phase has its first sample
			drive.until = 0
			d.Say("Your phase begins: the clock starts with your first move, or with Enter. Esc ends the drive.")
			break
		}
		if !drive.rehearsal.Tick() {
			break
		}
	}
	d.refreshDrive()
}

// AdvanceDrive lets the driven rehearsal live through seconds of real time with the controls as they are.
func (d *Model) AdvanceDrive(seconds float64, controls scripting.PadState) {
	drive := d.drive
	if drive == nil {
		return
	}
	if drive.until > 0 {
		d.skip()
		return
	}
	drive.pad.hold(controls, drive.rehearsal.Now())
	if !drive.begun {
		drive.begun = touched(controls)
		return
	}
	drive.lag = math.Min(drive.lag+seconds, mostLag)
	for drive.lag >= rehearse.ControlTick {
		drive.lag -= rehearse.ControlTick
		if !drive.rehearsal.Tick() {
			d.EndDrive()
			if err := drive.rehearsal.Err(); err != nil {
				d.fail(err)
			}
			return
		}
		if drive.watch != nil && drive.watch.Look(drive.rehearsal) {
			d.EndDrive()
			return
		}
	}
	d.refreshDrive()
}

func touched(c scripting.PadState) bool {
	return c.LeftX != 0 || c.LeftY != 0 || c.RightX != 0 || c.RightY != 0 || len(c.Buttons) > 0
}

func (d *Model) refreshDrive() {
	d.drive.run.Refresh()
	d.End = d.drive.run.Index.End()
	d.Time = d.End
	d.hearDrive()
}

// EndDrive stops driving. What was driven stays in the model as a run like any other, and is kept as Driven; of a drive
// that had not begun nothing stays. It reports whether there was a drive to keep.
func (d *Model) EndDrive() bool {
	if d.drive == nil {
		return false
	}
	drive := d.drive
	if len(drive.run.Record.Samples) >= 2 {
		if drive.rehearsal.Finish() { // with the score sheet of this moment
			drive.run.Ended = drive.rehearsal.Now()
		}
	}
	if drive.watch != nil {
		drive.watch.Look(drive.rehearsal) // the last sample
	}
	d.refreshDrive()
	drive.rehearsal.Close()
	drive.run.Live = false
	drive.run.Setup.Entrants[0].Pad = drive.pad.taped()
	d.drive, d.Mode, d.Playing = nil, Watch, false
	if len(drive.run.Record.Samples) < 2 || !drive.begun {
		d.goBack(drive.back)
		d.tellUndriven(drive.run)
		return false
	}
	d.Driven = drive.run
	d.Runs++
	d.tellDriven()
	if drive.watch != nil {
		d.tookCourse(drive)
	}
	return true
}

// Length is how long what is shown lasts, s: of a drive under way, what it will last.
func (d *Model) Length() float64 {
	if d.Driving() {
		return d.drive.run.Seconds()
	}
	return d.End
}

// goBack shows what was shown before a drive.
func (d *Model) goBack(to view) {
	d.Now, d.Before, d.Fault, d.End = to.now, to.before, to.fault, 0
	if d.Now != nil {
		d.End = d.Now.Index.End()
	}
	d.Seek(to.time)
	if to.unfinished {
		d.Rehearse()
	}
}

// putAside keeps the rehearsal shown, which the next one is compared with. Neither a drive nor a run that failed takes
// the place of the last good one.
func (d *Model) putAside() { d.rehearsed = d.lastGood() }

// lastGood is the rehearsal shown, or where that is a drive or failed, the last good one before it; nil: there is none.
func (d *Model) lastGood() *Run {
	if d.Now != nil && d.Now != d.Driven && len(d.Now.Failures(0)) == 0 {
		return d.Now
	}
	return d.rehearsed
}

// PlayDriven plays the last drive back.
func (d *Model) PlayDriven() {
	d.ShowDriven()
	d.Playing, d.Follows = true, true
}

// ShowDriven puts the last drive into the model again, at its start.
func (d *Model) ShowDriven() {
	if d.Driven == nil || d.Driving() {
		return
	}
	d.job.cancel()
	d.putAside()
	d.Now, d.Before, d.Fault, d.Mode = d.Driven, nil, d.faultOfDriven(), Watch
	d.Selected = d.Now.kept(d.Selected)
	d.Robot = 0
	d.End = d.Now.Index.End()
	d.Seek(0)
	if d.Fault != nil {
		d.Warn(d.Fault.Short() + "\nShows the last drive. R rehearses the routine.")
		return
	}
	d.Say("Shows the last drive. R rehearses the routine.")
}
