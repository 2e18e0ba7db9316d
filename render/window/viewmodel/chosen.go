package viewmodel

import (
	"slices"

	"chalkfield/internal/app/rehearse"
)

// Choices are what of a rehearsal is chosen beside its files: on the command line first, then in the window.
type Choices struct {
	Seed      uint64
	Nominal   bool // nothing is drawn
	Side      string
	Partner   string   // routine, record or log of a robot on the same side; "": none
	Opponents []string // of robots on another
}

// Chosen are those that count now.
func (d *Model) Chosen() Choices {
	if d.chosen != nil && d.Files.Record == "" {
		c := *d.chosen
		c.Opponents = slices.Clone(c.Opponents)
		return c
	}
	c := Choices{Seed: d.Setup.Seed, Nominal: d.Setup.Nominal}
	if len(d.Setup.Entrants) > 0 {
		c.Side = d.Setup.Entrants[0].Side
	}
	return c
}

// Choose rehearses with others. Where they cannot be had, it says why and leaves all as it is.
func (d *Model) Choose(c Choices) {
	if d.Driving() {
		d.Say("Not while somebody drives.")
		return
	}
	if d.Files.Record != "" {
		d.Setup = c.draws(d.Setup)
		d.Rehearse()
		return
	}
	if c.Side != d.Chosen().Side {
		d.arranged.Start = nil // on the other side it would be another place
	}
	before := d.chosen
	d.chosen = &c
	d.reread(func() { d.chosen = before })
}

// ChooseSession rehearses another session of the field; "": its first.
func (d *Model) ChooseSession(name string) {
	if d.Files.Record != "" {
		d.Setup.Session = name
		d.Rehearse()
		return
	}
	before := d.Files.Session
	d.Files.Session = name
	d.reread(func() { d.Files.Session = before })
}

// reread reads the files and rehearses, or puts back what was changed where that cannot be.
func (d *Model) reread(back func()) {
	if d.Read() {
		d.Rehearse()
		return
	}
	notice, fault := d.Notice, d.Fault
	back()
	if d.Read() {
		d.Fault = nil
		d.Warn("Not changed: " + fault.Text)
		return
	}
	d.Notice = notice // the files cannot be read whatever is chosen
}

// draws is a set-up with the chance that is chosen.
func (c Choices) draws(setup rehearse.Setup) rehearse.Setup {
	setup.Seed, setup.Nominal = c.Seed, c.Nominal
	return setup
}

// Sessions are those of the field, by name.
func (d *Model) Sessions() []string {
	var list []string
	if d.Setup.Field != nil {
		for _, s := range d.Setup.Field.Sessions {
			list = append(list, s.Name)
		}
	}
	return list
}

// Session is the one that is rehearsed.
func (d *Model) Session() string {
	if d.Setup.Field == nil {
		return ""
	}
	session, err := d.Setup.Field.SessionNamed(d.Setup.Session)
	if err != nil {
		return d.Setup.Session
	}
	return session.Name
}

// Sides are those of the field, by name.
func (d *Model) Sides() []string {
	var list []string
	if d.Setup.Field != nil {
		for _, s := range d.Setup.Field.Sides {
			list = append(list, s.Name)
		}
	}
	return list
}

// OwnSide is that of the robot under test.
func (d *Model) OwnSide() string {
	if d.Setup.Field == nil || len(d.Setup.Entrants) == 0 {
		return ""
	}
	side, err := rehearse.SideOf(d.Setup.Field, d.Setup.Entrants[0])
	if err != nil {
		return d.Setup.Entrants[0].Side
	}
	return d.Setup.Field.Sides[side].Name
}
