package window

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/fields"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// showDrive offers the sessions that can be driven, and how.
func (d *driver) showDrive() {
	if d.model.Setup.Field == nil || d.model.Now == nil || len(d.model.Setup.Entrants) == 0 {
		d.model.Warn("There is nothing to drive yet.")
		return
	}
	sessions := d.model.DriverSessions()
	if len(sessions) == 0 {
		d.model.Warn("This field has no session in which somebody drives: give one a driver phase in the field file.")
		return
	}
	best := d.bestRows()
	d.show(&card{name: "drive", title: "Drive", foot: "Enter chooses, Left and Right change a setting, Esc closes. F1 " +
		"has the keys.", rows: func() []cardRow {
		return slices.Concat(d.sessionRows(sessions), d.lastDriveRows(), best, d.feelRows())
	}})
}

func (d *driver) sessionRows(sessions []fields.Session) []cardRow {
	rows := []cardRow{{label: "Start", head: true}}
	for _, s := range sessions {
		rows = append(rows, cardRow{label: s.Name, note: d.sessionWords(s), do: func() { d.begin(s.Name) }})
		if d.model.BeginsAlone(s.Name) {
			rows = append(rows, cardRow{label: s.Name + ", from where you drive", note: "what comes before runs at once",
				do: func() { d.beginDriving(s.Name) }})
		}
	}
	return rows
}

func (d *driver) sessionWords(s fields.Session) string {
	words := ""
	for i, phase := range s.Phases {
		if i > 0 {
			words += ", "
		}
		p := d.model.Setup.Field.Phases[phase]
		words += fmt.Sprintf("%s %g s", p.Name, p.Seconds)
	}
	return words
}

// lastDriveRows lead back to the drive that was driven last.
func (d *driver) lastDriveRows() []cardRow {
	if d.model.Driven == nil {
		return nil
	}
	return []cardRow{
		{label: "Driven before", head: true},
		{label: fmt.Sprintf("The last drive, %.1f s", d.model.Driven.Index.End()),
			note: "play it back, keep, draft, oppose", do: d.showDriven},
	}
}

// feelRows are the settings of the sticks and the opponent; Left, Right or Enter changes one.
func (d *driver) feelRows() []cardRow {
	sticks := "arcade"
	if d.pad.tank {
		sticks = "tank"
	}
	dead := choice{&d.pad.response.Dead, []float64{0, 0.04, 0.08, 0.12, 0.2}}
	power := choice{&d.pad.response.Power, []float64{1, 1.5, 2, 3}}
	otherSticks := func() {
		d.pad.tank = !d.pad.tank
		d.disk.memory.Sticks(d.pad.tank)
	}
	return []cardRow{
		{label: "Settings", head: true},
		{label: "sticks", note: sticks, keeps: true, do: otherSticks, turn: func(float64) { otherSticks() }},
		{label: "dead zone of a gamepad's sticks", note: fmt.Sprintf("%.0f %%", 100**dead.value), keeps: true,
			do: dead.next, turn: dead.turn},
		{label: "response curve (1: straight)", note: fmt.Sprintf("%g", *power.value), keeps: true, do: power.next,
			turn: power.turn},
		{label: "sounds", note: d.soundWords(), keeps: true, do: d.hush, turn: func(float64) { d.hush() }},
		{label: "keys and buttons", note: "put them elsewhere", keeps: true, do: d.showPad},
		{label: "against", note: d.model.AgainstWords(), keeps: true, do: func() { d.otherOpponent(1) },
			turn: d.otherOpponent},
	}
}

// choice is a setting with a few values, least first.
type choice struct {
	value *float64
	list  []float64
}

// turn goes to the next smaller or larger value, with Shift at least ten times as far, and stays at the last.
func (c choice) turn(way float64) {
	from := *c.value
	*c.value = c.beside(way)
	step := math.Abs(*c.value - from)
	for far := math.Abs(way) * step; math.Abs(way) >= 10 && math.Abs(*c.value-from) < far; {
		next := c.beside(way)
		if next == *c.value {
			return
		}
		*c.value = next
	}
}

// beside is the next value of the list below or above, the last where there is none.
func (c choice) beside(way float64) float64 {
	if way > 0 {
		if i := slices.IndexFunc(c.list, func(x float64) bool { return x > *c.value }); i >= 0 {
			return c.list[i]
		}
		return c.list[len(c.list)-1]
	}
	for _, x := range slices.Backward(c.list) {
		if x < *c.value {
			return x
		}
	}
	return c.list[0]
}

// next goes to the next larger value, from the last to the first.
func (c choice) next() {
	if next := c.beside(1); next > *c.value {
		*c.value = next
	} else {
		*c.value = c.list[0]
	}
}

// otherOpponent chooses the next of those that a drive can be against, or the one before.
func (d *driver) otherOpponent(way float64) {
	rivals := d.model.Rivals()
	at := slices.Index(rivals, d.model.Against())
	for range rivals {
		if way < 0 {
			at += len(rivals) - 1
		} else {
			at++
		}
		at %= len(rivals)
		err := d.model.Face(rivals[at])
		if err == nil {
			return
		}
		d.model.Warn("Not opposed: " + err.Error() + ".")
	}
}

// showDriven offers what can be done with the last drive.
func (d *driver) showDriven() {
	run := d.model.Driven
	if run == nil {
		return
	}
	d.show(&card{name: "driven", title: fmt.Sprintf("Drove %.1f s", run.Index.End()),
		foot: "Enter chooses, Esc closes. D offers this drive again.", rows: func() []cardRow {
			news := ""
			if d.model.Saved {
				news = "saved meanwhile"
			}
			return append(d.failureRows(run), []cardRow{
				{label: "Look at it", note: "play it back", do: d.model.PlayDriven},
				{label: "Keep it as a record", note: ".jsonl", do: func() { d.disk.saveAs("record_", ".jsonl", run.Record.Write) }},
				{label: "Make a draft routine of it", note: ".lua, and open it", do: func() { d.saveDraft(run) }},
				{label: "Drive against it", note: "as opponent", do: d.opposeDriven},
				{label: "Drive again", do: d.showDrive},
				{label: "Rehearse the routine", note: news, do: d.disk.reload},
			}...)
		}})
}

// failureRows tell what went wrong in a drive, wrapped.
func (d *driver) failureRows(run *viewmodel.Run) []cardRow {
	const rowWords = cardWidth - 80 // what a row leaves for its words, with room to spare
	var rows []cardRow
	for _, failed := range run.Failures(0) {
		for _, line := range paint.Wrap(viewmodel.FailureWords(failed), rowWords, normal, false, noteMost) {
			rows = append(rows, cardRow{label: line})
		}
	}
	return rows
}

func (d *driver) opposeDriven() {
	if err := d.model.Oppose(); err != nil {
		d.model.Warn("Not opposed: " + err.Error() + ".")
		return
	}
	d.showDrive()
}
