package window

import (
	"os"

	"chalkfield/internal/base/wording"
)

// Of a command as it is shown. One that cannot be shown whole is not offered: who agrees must see what is started.
const (
	commandRow   = 64  // letters in a row
	longCommands = 900 // letters altogether
)

// showStartProgram asks before a program is started that a record names: whoever made the record wrote its command.
func (d *disk) showStartProgram() {
	commands, folder := d.model.Unstarted(), "?"
	if here, err := os.Getwd(); err == nil {
		folder = here
	}
	rows := []cardRow{
		{label: "It runs with your rights: it can read and delete your files."},
		{label: "Start it only if you know what it is. It would run in"},
	}
	rows = append(rows, inRows(folder)...)
	letters := 0
	for _, command := range commands {
		rows = append(rows, cardRow{label: "the command", head: true})
		rows = append(rows, inRows(command)...)
		letters += len([]rune(wording.Visible(command)))
	}
	if letters > longCommands {
		d.model.Warn("The record names a program by a command too long to be shown: if you know it, start it by " +
			"chalkfield open --program.")
		return
	}
	rows = append(rows, cardRow{label: "Leave it", do: func() { d.model.Say("No program was started.") }})
	if entrants := d.model.Setup.Entrants; len(entrants) > 0 && entrants[0].Routine != nil {
		rows = append(rows, cardRow{label: "Rehearse without it: its robot stands", do: d.model.Rehearse})
	}
	rows = append(rows, cardRow{label: "Start it", do: d.model.StartPrograms})
	d.show(&card{name: "start program", title: "Start the program that this record names?",
		foot: "Enter chooses, Esc starts nothing.", rows: func() []cardRow { return rows }})
}

// inRows is a text that somebody else wrote, whole, over as many rows as it takes.
func inRows(text string) (rows []cardRow) {
	letters := []rune(wording.Visible(text))
	for len(letters) > commandRow {
		rows = append(rows, cardRow{label: "  " + string(letters[:commandRow])})
		letters = letters[commandRow:]
	}
	return append(rows, cardRow{label: "  " + string(letters)})
}
