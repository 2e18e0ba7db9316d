package window

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/codegen"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// showDrive offers the sessions that can be driven, and how.
func (g *game) showDrive() {
	if g.model.Setup.Field == nil || g.model.Now == nil || len(g.model.Setup.Entrants) == 0 {
		g.model.Warn("There is nothing to drive yet.")
		return
	}
	sessions := g.model.DriverSessions()
	if len(sessions) == 0 {
		g.model.Warn("This field has no session in which somebody drives: give one a driver phase in the field file.")
		return
	}
	g.show(&card{name: "drive", title: "Drive", foot: "Enter chooses, Left and Right change a setting, Esc closes. F1 " +
		"has the keys.", rows: func() []cardRow {
		return slices.Concat(g.sessionRows(sessions), g.lastDriveRows(), g.feelRows())
	}})
}

func (g *game) sessionRows(sessions []fields.Session) []cardRow {
	rows := []cardRow{{label: "Start", head: true}}
	for _, s := range sessions {
		rows = append(rows, cardRow{label: s.Name, note: g.sessionWords(s), do: func() { g.beginDrive(s.Name) }})
	}
	return rows
}

func (g *game) sessionWords(s fields.Session) string {
	words := ""
	for i, phase := range s.Phases {
		if i > 0 {
			words += ", "
		}
		p := g.model.Setup.Field.Phases[phase]
		words += fmt.Sprintf("%s %g s", p.Name, p.Seconds)
	}
	return words
}

// lastDriveRows lead back to the drive that was driven last.
func (g *game) lastDriveRows() []cardRow {
	if g.model.Driven == nil {
		return nil
	}
	return []cardRow{
		{label: "Driven before", head: true},
		{label: fmt.Sprintf("The last drive, %.1f s", g.model.Driven.Index.End()),
			note: "play it back, keep, draft, oppose", do: g.showDriven},
	}
}

// feelRows are the settings of the sticks and the opponent; Left, Right or Enter changes one.
func (g *game) feelRows() []cardRow {
	sticks := "arcade"
	if g.pad.tank {
		sticks = "tank"
	}
	dead := choice{&g.pad.response.Dead, []float64{0, 0.04, 0.08, 0.12, 0.2}}
	power := choice{&g.pad.response.Power, []float64{1, 1.5, 2, 3}}
	otherSticks := func() { g.pad.tank = !g.pad.tank }
	return []cardRow{
		{label: "Settings", head: true},
		{label: "sticks", note: sticks, keeps: true, do: otherSticks, turn: func(float64) { otherSticks() }},
		{label: "dead zone of a gamepad's sticks", note: fmt.Sprintf("%.0f %%", 100**dead.value), keeps: true,
			do: dead.next, turn: dead.turn},
		{label: "response curve (1: straight)", note: fmt.Sprintf("%g", *power.value), keeps: true, do: power.next,
			turn: power.turn},
		{label: "against", note: g.model.AgainstWords(), keeps: true, do: func() { g.otherOpponent(1) },
			turn: g.otherOpponent},
	}
}

// choice is a setting with a few values, least first.
type choice struct {
	value *float64
	list  []float64
}

// turn goes to the next smaller or larger value, and stays at the last.
func (c choice) turn(way float64) {
	at := max(slices.Index(c.list, *c.value), 0)
	if way < 0 {
		at--
	} else {
		at++
	}
	*c.value = c.list[min(max(at, 0), len(c.list)-1)]
}

// next goes to the next larger value, from the last to the first.
func (c choice) next() { *c.value = c.list[(slices.Index(c.list, *c.value)+1)%len(c.list)] }

// otherOpponent chooses the next of those that a drive can be against, or the one before.
func (g *game) otherOpponent(way float64) {
	rivals := g.model.Rivals()
	at := slices.Index(rivals, g.model.Against())
	for range rivals {
		if way < 0 {
			at += len(rivals) - 1
		} else {
			at++
		}
		at %= len(rivals)
		err := g.model.Face(rivals[at])
		if err == nil {
			return
		}
		g.model.Warn("Not opposed: " + err.Error() + ".")
	}
}

func (g *game) beginDrive(session string) {
	if g.model.Saved && !g.readSaved() {
		return
	}
	var hand *scripting.Program
	if routine := g.model.Setup.Entrants[0].Routine; routine == nil || !routine.HasDriver {
		program, err := handRoutine(g.pad.tank)
		if err != nil {
			g.model.Warn(err.Error())
			return
		}
		hand = program
	}
	g.pad.rest()
	g.model.BeginDrive(session, hand)
	if g.model.Driving() && !g.model.Notice.Bad { // what has gone wrong already is told before the keys
		g.model.Say(driveHint(hand == nil, g.pad.tank, g.model.BeginsAlone(session)))
	}
}

// driveHint is what can be said of the keys before a drive: a routine's own driver function may do with the sticks what
// it likes. alone: the session begins with a phase in which the routine drives by itself.
func driveHint(own, tank, alone bool) string {
	sticks, clock := "The routine has no driver function: the keys drive the wheels only (W S, A D).",
		"Your first move starts the clock, Esc ends."
	switch {
	case own && tank:
		sticks = "Tank keys: W S are the left stick (left_y), Up Down the right one (right_y); your driver function " +
			"decides what they do."
	case own:
		sticks = "Arcade keys: W S are the left stick (left_y), A D the right one across (right_x); your driver function " +
			"decides what they do."
	case tank:
		sticks = "The routine has no driver function: the keys drive the wheels only (W S left side, Up Down right side)."
	}
	switch {
	case alone:
		clock = "First the routine drives by itself: the keys count from the driver phase on. Enter starts the clock, Esc " +
			"ends, F1 has the buttons."
	case own:
		clock = "J K U I are the buttons a b x y, F1 has the others. Your first move or Enter starts the clock, Esc ends."
	}
	return sticks + "\n" + clock
}

// endDrive stops driving and asks what to do with the drive.
func (g *game) endDrive() { g.afterDrive(g.model.EndDrive()) }

// afterDrive asks what to do with a drive. Files saved meanwhile wait, so that it is not lost from sight; where nothing
// was driven they are rehearsed at once.
func (g *game) afterDrive(driven bool) {
	switch {
	case driven && g.model.Saved:
		g.model.Say("The files were saved meanwhile: R rehearses them. D offers this drive again.")
		g.showDriven()
	case driven:
		g.showDriven()
	case g.model.Saved:
		g.reload()
	}
}

// takeSave rehearses the files that were saved. While somebody drives, or is asked what to do with the drive, they
// wait.
func (g *game) takeSave() {
	if g.model.Driving() || g.asksAboutDrive() {
		g.model.Later()
		return
	}
	g.reload()
}

// asksAboutDrive: the card of the last drive is open, or waits under the sheet of keys.
func (g *game) asksAboutDrive() bool {
	for c := g.card; c != nil; c = c.under {
		if c.name == "driven" {
			return true
		}
	}
	return false
}

// readSaved reads what was saved during the last drive, for the next one.
func (g *game) readSaved() bool {
	read := g.model.Read()
	g.watch.follow(g.model.Watch)
	return read
}

// showDriven offers what can be done with the last drive.
func (g *game) showDriven() {
	run := g.model.Driven
	if run == nil {
		return
	}
	g.show(&card{name: "driven", title: fmt.Sprintf("Drove %.1f s", run.Index.End()),
		foot: "Enter chooses, Esc closes. D offers this drive again.", rows: func() []cardRow {
			news := ""
			if g.model.Saved {
				news = "saved meanwhile"
			}
			return append(g.failureRows(run), []cardRow{
				{label: "Look at it", note: "play it back", do: g.model.PlayDriven},
				{label: "Keep it as a record", note: ".jsonl", do: func() { g.saveAs("record_", ".jsonl", run.Record.Write) }},
				{label: "Make a draft routine of it", note: ".lua", do: func() { g.saveDraft(run) }},
				{label: "Drive against it", note: "as opponent", do: g.opposeDriven},
				{label: "Drive again", do: g.showDrive},
				{label: "Rehearse the routine", note: news, do: g.reload},
			}...)
		}})
}

// failureRows tell what went wrong in a drive, wrapped.
func (g *game) failureRows(run *viewmodel.Run) []cardRow {
	const rowWords = cardWidth - 80 // what a row leaves for its words, with room to spare
	var rows []cardRow
	for _, failed := range run.Failures(0) {
		for _, line := range paint.Wrap(viewmodel.FailureWords(failed), rowWords, normal, false, noteMost) {
			rows = append(rows, cardRow{label: line})
		}
	}
	return rows
}

func (g *game) opposeDriven() {
	if err := g.model.Oppose(); err != nil {
		g.model.Warn("Not opposed: " + err.Error() + ".")
		return
	}
	g.showDrive()
}

// showKeep asks before the run shown is kept as a record, and names the file.
func (g *game) showKeep() {
	if g.model.Now == nil || g.model.Driving() {
		g.model.Say("There is no finished run to keep.")
		return
	}
	path, err := freeName(g.folder(), "record_", ".jsonl")
	if err != nil {
		g.model.Warn("Not written: " + err.Error())
		return
	}
	path, run := absolute(path), g.model.Now
	g.show(&card{name: "keep", title: "Keep the run shown as a record?", foot: "Enter chooses, Esc writes nothing.",
		rows: func() []cardRow {
			return []cardRow{
				{label: "folder: " + filepath.Dir(path)},
				{label: "Write " + filepath.Base(path), note: "a new file", do: func() { g.writeNamed(path, run.Record.Write) }},
				{label: "Write nothing", do: func() { g.model.Say("Nothing was written.") }},
			}
		}})
}

func absolute(path string) string {
	if full, err := filepath.Abs(path); err == nil {
		return full
	}
	return path
}

// saveDraft writes the routine that a drive suggests.
func (g *game) saveDraft(run *viewmodel.Run) {
	moves := codegen.Fit(run.Record.Samples, 0)
	if len(moves) == 0 {
		g.model.Warn("Nothing was driven that a routine could repeat.")
		return
	}
	g.saveAs("draft_", ".lua", func(out io.Writer) error { return codegen.Write(out, draftOf(run, moves)) })
}

func draftOf(run *viewmodel.Run, moves []codegen.Move) codegen.Routine {
	rec := run.Record
	robot := rec.Header.Robots[0]
	r := codegen.Routine{Side: run.Setup.Field.Sides[robot.Side].Name, Start: robot.Start.Geom(), Moves: moves}
	if len(rec.Samples) > 0 { // where it was to stand: at first it believes just that, whatever the spread drew
		r.Start = rec.Samples[0].Robots[0].Belief.Geom()
	}
	for _, phase := range run.Setup.Field.Phases {
		if phase.Control == fields.Autonomous {
			r.Seconds = max(r.Seconds, phase.Seconds)
		}
	}
	for _, e := range rec.Events {
		if e.Kind == record.PressedKey && e.Robot == 0 {
			r.Presses = append(r.Presses, codegen.Press{T: e.T, Button: e.What})
		}
	}
	return r
}

// saveAs writes a file under the next free name beside the routine.
func (g *game) saveAs(stem, ending string, fill func(io.Writer) error) {
	path, err := freeName(g.folder(), stem, ending)
	if err != nil {
		g.model.Warn("Not written: " + err.Error())
		return
	}
	g.writeNamed(absolute(path), fill)
}

// writeNamed writes a new file; one that has come to be there meanwhile is left alone.
func (g *game) writeNamed(path string, fill func(io.Writer) error) {
	if err := writeNew(path, fill); err != nil {
		g.model.Warn("Not written: " + err.Error())
		return
	}
	g.model.Say("Wrote " + path)
}
