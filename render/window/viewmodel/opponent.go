package viewmodel

import (
	"errors"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
)

// Rival says which robot a drive is against.
type Rival int

const (
	GivenRival  Rival = iota // the opponents that were opened together with the routine
	DrivenRival              // a drive that was kept as opponent
	NoRival
)

// Against is the robot that the next drive is against.
func (d *Model) Against() Rival {
	switch {
	case d.Opponent() != nil:
		return DrivenRival
	case d.alone || len(d.given()) == 0:
		return NoRival
	}
	return GivenRival
}

// Rivals are those that can be chosen, in the order in which they are offered.
func (d *Model) Rivals() []Rival {
	var list []Rival
	if len(d.given()) > 0 {
		list = append(list, GivenRival)
	}
	if d.Driven != nil || len(list) == 0 { // where there is nothing to choose, Oppose says why
		list = append(list, DrivenRival)
	}
	return append(list, NoRival)
}

// Face chooses the robot that drives are against from the next one on.
func (d *Model) Face(r Rival) error {
	if r == DrivenRival {
		return d.Oppose()
	}
	d.opponent, d.alone = nil, r == NoRival
	return nil
}

// AgainstWords names the robot that the next drive is against.
func (d *Model) AgainstWords() string {
	switch d.Against() {
	case DrivenRival:
		return "the drive kept as opponent"
	case NoRival:
		return "nobody"
	}
	var names []string
	for _, e := range d.given() {
		names = append(names, rivalName(e))
	}
	return strings.Join(names, ", ")
}

func rivalName(e rehearse.Entrant) string {
	switch {
	case e.Routine != nil:
		return e.Routine.Name
	case e.Replay != nil && len(e.Replay.Header.Robots) > 0 && e.Replay.Header.Robots[0].Routine.Name != "":
		return "a record of " + e.Replay.Header.Robots[0].Routine.Name
	case e.Replay != nil:
		return "a record"
	}
	return "a robot that stands"
}

// given are the robots of the set-up that play for another side than the first.
func (d *Model) given() []rehearse.Entrant {
	var list []rehearse.Entrant
	for i, e := range d.Setup.Entrants {
		if i > 0 && d.opposes(e) {
			list = append(list, e)
		}
	}
	return list
}

func (d *Model) opposes(e rehearse.Entrant) bool {
	if d.Setup.Field == nil {
		return false
	}
	own, err := rehearse.SideOf(d.Setup.Field, d.Setup.Entrants[0])
	other, otherErr := rehearse.SideOf(d.Setup.Field, e)
	return err == nil && otherErr == nil && own != other
}

// facing are the robots that are there in a drive: without those given as opponents when it is against others or
// nobody.
func (d *Model) facing(entrants []rehearse.Entrant) []rehearse.Entrant {
	against := d.Against()
	var list []rehearse.Entrant
	for i, e := range entrants {
		if i == 0 || against == GivenRival || !d.opposes(e) {
			list = append(list, e)
		}
	}
	return list
}

// Oppose makes the last drive drive against the person from the next one on: from the other side, as the field's
// symmetry maps it.
func (d *Model) Oppose() error {
	f := d.Setup.Field
	switch {
	case d.Driven == nil:
		return errors.New("nothing has been driven yet")
	case f == nil || f.Symmetry == fields.NoSymmetry || len(f.Sides) < 2:
		return errors.New("this field has no second side that mirrors the first: the drive would start where your " +
			"robot stands")
	case d.Driven.Record.Header.Field.SHA256 != f.SHA256:
		return errors.New("it was driven on another field")
	}
	d.opponent = d.Driven.Record
	return nil
}

// Opponent is that record; nil: none, or it was driven on another field than the present one.
func (d *Model) Opponent() *record.Record {
	if d.opponent == nil || d.Setup.Field == nil || d.opponent.Header.Field.SHA256 != d.Setup.Field.SHA256 {
		return nil
	}
	return d.opponent
}

// rival is the recorded drive on the other side; rehearse maps its path there.
func (d *Model) rival(setup rehearse.Setup) rehearse.Entrant {
	f := setup.Field
	return rehearse.Entrant{Robot: setup.Entrants[0].Robot, Replay: d.opponent,
		Side: f.Sides[f.OtherSide(d.opponent.Header.Robots[0].Side)].Name}
}
