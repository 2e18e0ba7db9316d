package logfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// Quantity is what a column holds: its name in a header, and the SI unit that its values are kept in. The name of what
// is no quantity of the base is a part's.
type Quantity struct{ Name, SI string }

// The quantities of the base that a log is asked for. Pairs are left, right; x, y.
var (
	clock        = Quantity{"time", "s"}
	Volts        = [2]Quantity{{"left", "V"}, {"right", "V"}}
	Duty         = [2]Quantity{{"left", share}, {"right", share}}
	Travel       = [2]Quantity{{"left travel", "m"}, {"right travel", "m"}}
	Speed        = [2]Quantity{{"left speed", "m/s"}, {"right speed", "m/s"}}
	Heading      = Quantity{"heading", "rad"}
	Turning      = Quantity{"turning", "rad/s"}
	BatteryVolts = Quantity{"battery", "V"}
	BatteryAmps  = Quantity{"battery", "A"}
	Place        = [2]Quantity{{"x", "m"}, {"y", "m"}}
)

const (
	share  = "share" // of the battery's volts
	tick   = "ticks"
	ticksS = "ticks/s"
)

// kind is a row of the guide's table: columns that take the same units.
type kind struct {
	names []string // none: a part's name
	si    string
	wheel string // SI unit of the wheel's turning that stands for it too
	ticks string
}

var kinds = []kind{
	{names: []string{"time"}, si: "s"},
	{names: []string{"left", "right"}, si: "V"},
	{names: []string{"left", "right"}, si: share},
	{names: []string{"left", "right"}, si: "A"},
	{names: []string{"left travel", "right travel"}, si: "m", wheel: "rad", ticks: tick},
	{names: []string{"left speed", "right speed"}, si: "m/s", wheel: "rad/s", ticks: ticksS},
	{names: []string{"heading"}, si: "rad"},
	{names: []string{"turning"}, si: "rad/s"},
	{names: []string{"battery"}, si: "V"},
	{names: []string{"battery"}, si: "A"},
	{names: []string{"x", "y"}, si: "m"},
	{si: "V"},
	{si: share},
	{si: "A"},
	{si: "m"},
	{si: "rad"},
}

// units are the spellings that a header may use for a kind.
func (k kind) units() []string {
	list := namesOf(k.si)
	if k.wheel != "" {
		list = append(append(list, units.Names(k.wheel)...), k.ticks)
	}
	return slices.DeleteFunc(list, func(unit string) bool { return unit == "deg/h" }) // a drift's
}

func namesOf(si string) []string {
	if si == share {
		return []string{"%", share}
	}
	return slices.Clone(units.Names(si))
}

// worth is how many SI units one of a unit is.
func worth(si, unit string) float64 {
	switch {
	case si == share && unit == "%":
		return 0.01
	case si == share:
		return 1
	}
	value, _, err := units.Parse(si, "1 "+unit)
	if err != nil {
		panic("logfile: " + err.Error()) // the caller took the unit from namesOf
	}
	return value
}

// meaning is what a header says.
type meaning struct {
	is    Quantity
	unit  string
	scale float64 // SI units in one of the unit
}

// understand reads a header, or the "is" of a setting: a name and a unit, such as "left travel mm" or "lift_1 (deg)".
// known is false where it is no quantity; the error says what is wrong with one that nearly is.
func understand(text string, wheel Wheel) (m meaning, known bool, err error) {
	name, unit := parted(text)
	var fits []kind
	for _, k := range kinds {
		if slices.Contains(k.names, name) {
			fits = append(fits, k)
		}
	}
	ofAPart := len(fits) == 0
	if ofAPart {
		name, unit = cutLast(bare(text), " \t") // what has underscores is a name of the team's program
		unit = units.Plain(unit)
		fits = slices.DeleteFunc(slices.Clone(kinds), func(k kind) bool { return k.names != nil })
	}
	for _, k := range fits {
		if slices.Contains(k.units(), unit) && name != "" {
			scale, err := k.scale(unit, wheel)
			return meaning{Quantity{name, k.si}, unit, scale}, err == nil, err
		}
	}
	if ofAPart {
		return meaning{}, false, nil
	}
	var all []string
	for _, k := range fits {
		all = append(all, k.units()...)
	}
	if unit == "" {
		return meaning{}, false, fmt.Errorf("%q has no unit: write %q (units known: %s)", text, name+" "+all[0],
			strings.Join(all, ", "))
	}
	return meaning{}, false, fmt.Errorf("%q is no unit of %s: %s", unit, name, wording.Instead(unit, all))
}

// scale converts a unit of the kind; of wheels' turns and ticks by the wheel's size.
func (k kind) scale(unit string, wheel Wheel) (float64, error) {
	ofTicks := unit == k.ticks
	if !ofTicks && slices.Contains(namesOf(k.si), unit) {
		return worth(k.si, unit), nil
	}
	if wheel.Diameter == 0 || ofTicks && wheel.Ticks == 0 {
		lines := `wheel_diameter = "90 mm"`
		if ofTicks {
			lines += ` and ticks_per_turn = 360`
		}
		return 0, fmt.Errorf("how far the robot goes for one of %q is not known: write %s, with your own numbers, "+
			"into log.toml beside the log", unit, lines)
	}
	if ofTicks {
		return math.Pi * wheel.Diameter / wheel.Ticks, nil
	}
	return worth(k.wheel, unit) * wheel.Diameter / 2, nil
}

// parted cuts the unit off a header. A name in any letters and with underscores is one of ours.
func parted(text string) (name, unit string) {
	text = bare(text)
	for _, k := range kinds {
		if whole := plain(text); slices.Contains(k.names, whole) {
			return whole, ""
		}
	}
	name, unit = cutLast(text, " _\t")
	return plain(name), units.Plain(unit)
}

// plain is a name in small letters, with one blank between its words.
func plain(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(name, "_", " "))), " ")
}

// cutLast cuts a text at the last of some signs.
func cutLast(text, signs string) (before, after string) {
	cut := strings.LastIndexAny(text, signs)
	if cut < 0 {
		return text, ""
	}
	return strings.TrimSpace(text[:cut]), text[cut+1:]
}

// bare is a header without blanks around it and brackets around its unit.
func bare(text string) string {
	text = strings.TrimSpace(text)
	for _, pair := range []string{"()", "[]"} {
		if open := strings.LastIndexByte(text, pair[0]); open > 0 && text[len(text)-1] == pair[1] {
			return strings.TrimSpace(text[:open]) + " " + strings.TrimSpace(text[open+1:len(text)-1])
		}
	}
	return text
}

// nearby is a column of ours that a name, its unit off, was perhaps meant to be.
func nearby(name string) string {
	var all []string
	for _, k := range kinds {
		all = append(all, k.names...)
	}
	if near := wording.Nearest(name, all); len(name) > len("lift") && near != name {
		return near
	}
	return ""
}
