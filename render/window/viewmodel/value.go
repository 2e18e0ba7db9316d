package viewmodel

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/scripting"
)

// Values are the routine's param() calls with the value in force.
func (d *Model) Values() []scripting.Param {
	if len(d.Setup.Entrants) == 0 || d.Setup.Entrants[0].Routine == nil {
		return nil
	}
	list := append([]scripting.Param(nil), d.Setup.Entrants[0].Routine.Params...)
	given := d.arranged.Apply(d.Setup).Params
	for i := range list {
		list[i].Used = list[i].Default
		if value, ok := given[list[i].Name]; ok {
			list[i].Used = value
		}
	}
	return list
}

// SetValue rehearses with another value of a param(), kept within its limits. Undo takes it back.
func (d *Model) SetValue(p scripting.Param, value float64) {
	if value = tidyValue(value, p.Max-p.Min); p.Whole() {
		value = math.Round(value)
	}
	value = geom.Clamp(value, p.Min, p.Max)
	if value == p.Used {
		return
	}
	next := d.arranged
	next.Params = withKey(next.Params, p.Name, value)
	d.change(next, d.turnsOf(p.Name))
	d.Say(fmt.Sprintf("%s = %s; the file keeps %s. Undo with Ctrl+Z.", p.Name, p.Words(value), p.Words(p.Default)))
}

// turns are quick turns of one value. The runs between them are on the way only: what each gives is compared with the
// last good run before the first. The zero turns are none.
type turns struct {
	of    string
	from  *Run    // nil: there was no good run
	quiet float64 // s since the last turn
	kept  bool    // the last is written
}

const lastTurn = 1.5 // s without a turn after which the next one begins anew

// turnsOf are the turns under way if they are of that value, else new ones.
func (d *Model) turnsOf(name string) turns {
	if d.turns.of == name && d.turns.quiet < lastTurn {
		return turns{of: name, from: d.turns.from}
	}
	return turns{of: name, from: d.lastGood()}
}

// Turning reports whether the run shown came of turns of a value.
func (d *Model) Turning(name string) bool { return name != "" && d.turns.of == name }

// Wait lets seconds pass in which nothing was turned.
func (d *Model) Wait(seconds float64) { d.turns.quiet += seconds }

// tidyValue rounds to a thousandth of the range's order of magnitude, so that steps give numbers a person would write.
func tidyValue(value, within float64) float64 {
	if !(within > 0) {
		return value
	}
	scale := math.Pow(10, 3-math.Floor(math.Log10(within)))
	return math.Round(value*scale) / scale
}
