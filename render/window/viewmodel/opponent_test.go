package viewmodel

import (
	"slices"
	"testing"

	"chalkfield/internal/app/rehearse"
)

// withOpponent is a model with another robot on the other side.
func withOpponent(t *testing.T, replays bool) *Model {
	t.Helper()
	d, _ := opened(t)
	driveFor(t, d, 30, ahead)
	d.EndDrive()
	first, side := d.Setup.Entrants[0], d.Setup.Field.Sides[d.Setup.Field.OtherSide(d.sideShown())].Name
	other := rehearse.Entrant{Robot: first.Robot, Routine: first.Routine, Side: side}
	if replays {
		other.Routine, other.Replay = nil, d.Driven.Record
	}
	d.Setup.Entrants = append(d.Setup.Entrants, other)
	return d
}

func TestADriveIsAgainstWhomTheCardNames(t *testing.T) {
	d := withOpponent(t, false)
	if want := []Rival{GivenRival, DrivenRival, NoRival}; !slices.Equal(d.Rivals(), want) {
		t.Fatalf("offers %v", d.Rivals())
	}
	name := d.Setup.Entrants[0].Routine.Name
	for _, c := range []struct {
		rival   Rival
		words   string
		robots  int
		replays bool
	}{
		{GivenRival, name, 2, false},
		{DrivenRival, "the drive kept as opponent", 2, true},
		{NoRival, "nobody", 1, false},
		{GivenRival, name, 2, false},
	} {
		if err := d.Face(c.rival); err != nil {
			t.Fatal(err)
		}
		if got := d.AgainstWords(); got != c.words || d.Against() != c.rival {
			t.Errorf("against %q (%d), not %q", got, d.Against(), c.words)
		}
		d.BeginDrive(d.DriverSessions()[0].Name, nil)
		there := d.Now.Setup.Entrants
		if len(there) != c.robots || len(d.Now.Record.Header.Robots) != c.robots || len(there) == 2 &&
			(there[1].Replay != nil) != c.replays {
			t.Errorf("%s: %d robots", c.words, len(there))
		}
		d.EndDrive()
		if len(d.Setup.Entrants) != 2 {
			t.Fatal("the opponent given is lost")
		}
	}
}

func TestAnOpponentFromARecordIsNamed(t *testing.T) {
	d := withOpponent(t, true)
	if got, want := d.AgainstWords(), "a record of "+d.Driven.Record.Header.Robots[0].Routine.Name; got != want {
		t.Errorf("against %q, not %q", got, want)
	}
	d.Setup.Entrants = d.Setup.Entrants[:1]
	if got := d.AgainstWords(); got != "nobody" {
		t.Errorf("alone, against %q", got)
	}
}
