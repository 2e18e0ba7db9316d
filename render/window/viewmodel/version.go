package viewmodel

import (
	"errors"
	"slices"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/units"
)

// version is the files as they once were read.
type version struct {
	setup rehearse.Setup
	words string
}

const mostVersions = 20 // kept: that as it was opened, and the latest

// noteVersion keeps the files as they were read just now, where they are others than before.
func (d *Model) noteVersion() {
	if d.Setup.Field == nil || len(d.Setup.Entrants) == 0 {
		return
	}
	now := version{setup: d.Setup, words: "as it was opened"}
	if n := len(d.versions); n > 0 {
		if now.same(d.versions[n-1].setup) {
			return
		}
		d.writes++
		now.words = "after " + units.Counted(d.writes, "write")
	}
	d.versions = append(d.versions, now)
	if len(d.versions) > mostVersions {
		d.versions = slices.Delete(d.versions, 1, 2)
	}
}

// same reports whether a set-up has the version's routine, robot and field.
func (v version) same(setup rehearse.Setup) bool {
	a, b := v.setup.Entrants[0], setup.Entrants[0]
	if a.Routine == nil || b.Routine == nil || a.Robot == nil || b.Robot == nil {
		return a.Routine == b.Routine && a.Robot == b.Robot
	}
	return a.Routine.SHA256 == b.Routine.SHA256 && a.Robot.SHA256 == b.Robot.SHA256 &&
		v.setup.Field.SHA256 == setup.Field.SHA256
}

// Versions are what the routine as it is now can be compared with, the first as it was opened. The files as they are
// count as one where something else is arranged, turned or tried.
func (d *Model) Versions() []string {
	var list []string
	for i, v := range d.versions {
		if i == len(d.versions)-1 && i > 0 {
			v.words = "as the file is"
		}
		list = append(list, v.words)
	}
	if n := len(list); n > 0 && !d.Arranged() && (d.trial == nil || d.trial.edit.New == d.trial.edit.Old) {
		list = list[:n-1]
	}
	return list
}

// version is the set-up of now, but with routine, robot and field as they once were.
func (d *Model) version(i int) (rehearse.Setup, string, error) {
	list := d.Versions()
	if i < 0 || i >= len(list) {
		return rehearse.Setup{}, "", errors.New("nothing has changed since the routine was opened: change something first, " +
			"in the file or in the window")
	}
	old, setup := d.versions[i].setup, d.Setup
	setup.Field = old.Field
	setup.Entrants = slices.Clone(setup.Entrants)
	setup.Entrants[0].Robot, setup.Entrants[0].Routine = old.Entrants[0].Robot, old.Entrants[0].Routine
	return setup, list[i], nil
}
