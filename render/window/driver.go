package window

import (
	"fmt"
	"io"
	"slices"

	"chalkfield/fields"
	"chalkfield/render/window/sound"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// driver lets a person drive.
type driver struct {
	*shared
	disk *disk
	pad  padMaker
	desk *desk

	lessons *lessons

	player func() *sound.Player // opens the system's device at the first call; nil: there are no sounds
	best   *viewmodel.Ghost     // the best drive before the one under way; nil: none
	bestAt string               // its file; "": none is kept
}

// drive lets the drive go on, but not behind a card.
func (d *driver) drive() {
	d.sound()
	controls := d.desk.held(d.pad.read(&d.hand, d.passed, d.card != nil))
	if d.card == nil {
		d.model.AdvanceDrive(d.passed, controls)
	}
}

func (d *driver) begin(session string) {
	if d.model.Saved { // during the last drive
		read := d.model.Read()
		if d.disk.watch.follow(d.model.Watch); !read {
			return
		}
	}
	var hand *scripting.Program
	if routine := d.model.Setup.Entrants[0].Routine; routine == nil || !routine.HasDriver {
		program, err := handRoutine(d.pad.tank)
		if err != nil {
			d.model.Warn(err.Error())
			return
		}
		hand = program
	}
	d.pad.rest()
	d.aside = false
	d.model.BeginDrive(session, hand)
	if d.model.Driving() {
		d.race(session)
	}
	if d.model.Driving() && !d.model.Notice.Bad { // what has gone wrong already is told before the keys
		d.model.Say(d.hint(hand == nil, d.model.BeginsAlone(session)))
	}
}

// beginDriving begins where the session's first phase begins in which somebody drives.
func (d *driver) beginDriving(session string) {
	if d.begin(session); d.model.Driving() {
		d.model.SkipToDriver()
	}
}

// open begins the drive that the window opens with: of the session that is open where somebody drives in it, else of
// the first that can be driven, where it says so one that begins by itself.
func (d *driver) open(how Drive) {
	sessions := d.model.DriverSessions()
	i := slices.IndexFunc(sessions, func(s fields.Session) bool { return s.Name == d.model.Files.Session })
	if i < 0 && how == PhaseDrive {
		i = slices.IndexFunc(sessions, func(s fields.Session) bool { return d.model.BeginsAlone(s.Name) })
	}
	switch {
	case len(sessions) == 0:
		d.showDrive() // which says what is missing
	case how == PhaseDrive:
		d.beginDriving(sessions[max(i, 0)].Name)
	default:
		d.begin(sessions[max(i, 0)].Name)
	}
}

// hint is what can be said of the keys before a drive: a routine's own driver function may do with the sticks what
// it likes. alone: the session begins with a phase in which the routine drives by itself.
func (d *driver) hint(own, alone bool) string {
	along, across := d.pad.puts.names(stickForward, stickBack), d.pad.puts.names(stickLeft, stickRight)
	sticks := fmt.Sprintf("The routine has no driver function: the keys drive the wheels only (%s, %s).", along, across)
	clock := "Your first move starts the clock, Esc ends."
	switch tank := d.pad.tank; {
	case own && tank:
		sticks = fmt.Sprintf("Tank keys: %s are the left stick (left_y), Up Down the right one (right_y); your driver "+
			"function decides what they do.", along)
	case own:
		sticks = fmt.Sprintf("Arcade keys: %s are the left stick (left_y), %s the right one across (right_x); your driver "+
			"function decides what they do.", along, across)
	case tank:
		sticks = fmt.Sprintf("The routine has no driver function: the keys drive the wheels only (%s left side, Up Down "+
			"right side).", along)
	}
	switch {
	case alone:
		clock = "First the routine drives by itself: the keys count from the driver phase on. Enter starts the clock, Esc " +
			"ends, F1 has the buttons."
	case own:
		clock = d.pad.puts.names("a", "b", "x", "y") + " are the buttons a b x y, F1 has the others. Your first move or " +
			"Enter starts the clock, Esc ends."
	}
	return sticks + "\n" + clock
}

// end stops driving and asks what to do with the drive.
func (d *driver) end() { d.afterDrive(d.model.EndDrive()) }

// afterDrive asks what to do with a drive. Files saved meanwhile wait, so that it is not lost from sight; where nothing
// was driven they are rehearsed at once.
func (d *driver) afterDrive(driven bool) {
	if driven {
		d.keepBest()
	}
	switch {
	case driven && d.model.DrivesCourse():
		d.lessons.showCourse()
	case driven && d.model.Saved:
		d.model.Say("The files were saved meanwhile: R rehearses them. D offers this drive again.")
		d.showDriven()
	case driven:
		d.showDriven()
	case d.model.Saved:
		d.disk.reload()
	}
}

// takeSave rehearses the files that were saved. While somebody drives, or is asked what to do with the drive, they
// wait.
func (d *driver) takeSave() {
	if d.model.Driving() || d.asksAboutDrive() {
		d.model.Later()
		return
	}
	d.disk.reload()
}

// asksAboutDrive: the card of the last drive is open, or waits under the sheet of keys.
func (d *driver) asksAboutDrive() bool {
	for c := d.card; c != nil; c = c.under {
		if c.name == "driven" {
			return true
		}
	}
	return false
}

// saveDraft writes the routine that a drive suggests, and opens it.
func (d *driver) saveDraft(run *viewmodel.Run) {
	text := run.Draft()
	if text == "" {
		d.model.Warn("Nothing was driven that a routine could repeat.")
		return
	}
	path := d.disk.newName("draft_", ".lua")
	if path == "" {
		return
	}
	wrote := d.disk.writeNamed(path, func(out io.Writer) error { _, err := io.WriteString(out, text); return err })
	if !wrote || d.model.Files.Record != "" { // beside a record no other routine can be opened
		return
	}
	d.disk.exchanged(func() { d.model.OpenDraft(d.disk.beside(path)) })
}
