package viewmodel

import (
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// Starter starts a program outside that is to command a robot on a field. It has the rights of the person, who was
// asked before.
type Starter func(command string, f *fields.Field, r *robot.Robot) (*scripting.Program, error)

// Starts gives the model what starts programs, and the one that the person has named already; "": none.
func (d *Model) Starts(start Starter, named string) { d.starter, d.named = start, named }

// Unstarted are the commands of the programs that commanded robots in the record shown, and that are not started.
func (d *Model) Unstarted() []string {
	var commands []string
	for _, i := range d.unstarted() {
		if command := d.Now.Record.Header.Robots[i].Routine.Name; !slices.Contains(commands, command) {
			commands = append(commands, command)
		}
	}
	return commands
}

// unstarted are the robots that stand because their program is not started.
func (d *Model) unstarted() (list []int) {
	if d.Files.Record == "" || d.Now == nil {
		return nil
	}
	for i, r := range d.Now.Record.Header.Robots {
		if r.Outside && i < len(d.Setup.Entrants) && d.Setup.Entrants[i].Routine == nil {
			list = append(list, i)
		}
	}
	return list
}

// MustAsk reports whether one of the programs was not named by the person.
func (d *Model) MustAsk() bool {
	return slices.ContainsFunc(d.Unstarted(), func(command string) bool { return command != d.named })
}

// StartPrograms starts the programs of the record and rehearses with them.
func (d *Model) StartPrograms() {
	if d.starter == nil {
		d.Warn("No program is started here.")
		return
	}
	commands := map[int]string{}
	for _, i := range d.unstarted() {
		commands[i] = d.Now.Record.Header.Robots[i].Routine.Name
	}
	start := d.starter
	d.turns = turns{}
	d.rehearse(func(setup *rehearse.Setup) (map[int]*scripting.Program, error) {
		started := map[int]*scripting.Program{}
		setup.Entrants = slices.Clone(setup.Entrants)
		for i, command := range commands {
			program, err := start(command, setup.Field, setup.Entrants[i].Robot)
			if err != nil {
				return nil, err
			}
			started[i], setup.Entrants[i].Routine = program, program
		}
		return started, nil
	})
}

// keep has the robots keep the programs that were started for them.
func (d *Model) keep(started map[int]*scripting.Program) {
	for i, program := range started {
		if i < len(d.Setup.Entrants) {
			d.Setup.Entrants[i].Routine = program
		}
	}
}
