package window

import (
	"fmt"
	"io"
	"path/filepath"

	"chalkfield/fields"
	"chalkfield/internal/record"
	"chalkfield/render/window/desk"
	"chalkfield/render/window/draft"
	"chalkfield/scripting"
)

// showDrive offers the sessions that can be driven, and how.
func (g *game) showDrive() {
	if g.desk.Setup.Field == nil || g.desk.Now == nil {
		g.desk.Warn("There is nothing to drive yet.")
		return
	}
	sessions := g.desk.DriverSessions()
	if len(sessions) == 0 {
		g.desk.Warn("This field has no session in which somebody drives: give one a driver phase in the field file.")
		return
	}
	g.show(&card{name: "drive", title: "Drive", foot: "Enter chooses, Esc closes. The keys are on the sheet (F1).", rows: func() []cardRow {
		return append(g.sessionRows(sessions), g.feelRows()...)
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
		p := g.desk.Setup.Field.Phases[phase]
		words += fmt.Sprintf("%s %g s", p.Name, p.Seconds)
	}
	return words
}

// feelRows are the settings of the sticks and the opponent; choosing one changes it.
func (g *game) feelRows() []cardRow {
	sticks, opponent := "arcade", "nobody"
	if g.pad.tank {
		sticks = "tank"
	}
	if g.desk.Opponent() != nil {
		opponent = "the drive kept as opponent"
	}
	next := func(value *float64, list []float64) func() {
		return func() {
			for i, v := range list {
				if v == *value {
					*value = list[(i+1)%len(list)]
					return
				}
			}
			*value = list[0]
		}
	}
	return []cardRow{
		{label: "Settings", head: true},
		{label: "sticks", note: sticks, keeps: true, do: func() { g.pad.tank = !g.pad.tank }},
		{label: "dead zone of a gamepad's sticks", note: fmt.Sprintf("%.0f %%", 100*g.pad.feel.Dead), keeps: true, do: next(&g.pad.feel.Dead, []float64{0.04, 0.08, 0.12, 0.2, 0})},
		{label: "response curve (1: straight)", note: fmt.Sprintf("%g", g.pad.feel.Power), keeps: true, do: next(&g.pad.feel.Power, []float64{1, 1.5, 2, 3})},
		{label: "against", note: opponent, keeps: true, do: g.desk.NoOpponent},
	}
}

func (g *game) beginDrive(session string) {
	var hand *scripting.Program
	if routine := g.desk.Setup.Entrants[0].Routine; routine == nil || !routine.HasDriver {
		program, err := handRoutine(g.pad.tank)
		if err != nil {
			g.desk.Warn(err.Error())
			return
		}
		hand = program
	}
	g.desk.BeginDrive(session, hand)
	switch {
	case !g.desk.Driving():
	case hand != nil:
		g.desk.Say("The routine has no driver function: the keys drive the wheels only (W S, A D). Your first move starts the clock, Esc ends.")
	case g.pad.tank:
		g.desk.Say("W S left side, Up Down right side, J K U I Q E Z C buttons. Your first move or Enter starts the clock, Esc ends.")
	default:
		g.desk.Say("W S ahead and back, A D turn, J K U I Q E Z C buttons. Your first move or Enter starts the clock, Esc ends.")
	}
}

// endDrive stops driving and asks what to do with the drive.
func (g *game) endDrive() {
	g.desk.EndDrive()
	g.showDriven()
}

// showDriven offers what can be done with the last drive.
func (g *game) showDriven() {
	run := g.desk.Driven
	if run == nil {
		return
	}
	g.show(&card{name: "driven", title: fmt.Sprintf("Drove %.1f s", run.Index.End()), foot: "Enter chooses, Esc closes. D comes back here by way of another drive.", rows: func() []cardRow {
		return []cardRow{
			{label: "Look at it", note: "play it back", do: func() { g.desk.Seek(0) }},
			{label: "Keep it as a record", note: ".jsonl", do: g.saveRecord},
			{label: "Make a draft routine of it", note: ".lua", do: func() { g.saveDraft(run) }},
			{label: "Drive against it", note: "as opponent", do: g.opposeDriven},
			{label: "Drive again", do: g.showDrive},
			{label: "Rehearse the routine", do: g.reload},
		}
	}})
}

func (g *game) opposeDriven() {
	if err := g.desk.Oppose(); err != nil {
		g.desk.Warn("Not opposed: " + err.Error() + ".")
		return
	}
	g.showDrive()
}

// saveRecord keeps the run shown as a record.
func (g *game) saveRecord() {
	if g.desk.Now == nil || g.desk.Driving() {
		g.desk.Say("There is no finished run to keep.")
		return
	}
	g.saveAs("record_", ".jsonl", g.desk.Now.Record.Write)
}

// saveDraft writes the routine that a drive suggests.
func (g *game) saveDraft(run *desk.Run) {
	moves := draft.Fit(run.Record.Samples, 0)
	if len(moves) == 0 {
		g.desk.Warn("Nothing was driven that a routine could repeat.")
		return
	}
	g.saveAs("draft_", ".lua", func(out io.Writer) error { return draft.Write(out, draftOf(run.Record, moves)) })
}

func draftOf(rec *record.Record, moves []draft.Move) draft.Routine {
	robot := rec.Header.Robots[0]
	r := draft.Routine{Start: robot.Start.Geom(), Moves: moves}
	if len(rec.Samples) > 0 {
		r.Start = rec.Samples[0].Robots[0].True.Geom()
	}
	for _, e := range rec.Events {
		if e.Kind == record.PressedKey && e.Robot == 0 {
			r.Presses = append(r.Presses, draft.Press{T: e.T, Button: e.What})
		}
	}
	return r
}

// saveAs writes a file under the next free name beside the routine.
func (g *game) saveAs(stem, ending string, fill func(io.Writer) error) {
	path, err := freeName(g.folder(), stem, ending)
	if err == nil {
		err = writeNew(path, fill)
	}
	if err != nil {
		g.desk.Warn("Not written: " + err.Error())
		return
	}
	if absolute, err := filepath.Abs(path); err == nil {
		path = absolute
	}
	g.desk.Say("Wrote " + path)
}
