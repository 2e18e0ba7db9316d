package study

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/units"
)

// Target says what an axis changes.
type Target string

const (
	Param Target = "param" // a routine's param()
	Robot Target = "robot" // a key of the robot file
	Field Target = "field" // a key of the field file
	Goal  Target = "goal"  // a goal's place, as an offset from where the field file puts it
	Piece Target = "piece" // the same of a piece

	Number Target = "number" // a number that stands in the routine's file
)

// Axis is one quantity of the inputs and the values that it takes: a parameter of the routine, a key of the robot or
// field file, the place of a goal or piece. Sweeps walk such axes.
type Axis struct {
	Name   string // "robot:chassis.mass"
	Target Target
	Path   string
	Labels []string  // as the user would write them: "6.5 kg"
	Values []float64 // in Unit; the number of the value where it is a word
	Unit   string
	words  bool
}

func (a *Axis) among(targets []Target) bool { return slices.Contains(targets, a.Target) }

const (
	forms = "write NAME=FROM..TO/STEPS or NAME=VALUE,VALUE,... with NAME one of param:NAME, number:LINE, robot:KEY, " +
		"field:KEY, goal:NAME.x, .y or .heading, piece:NAME.x, .y or .heading; for example " +
		"\"robot:chassis.mass=5 kg..8 kg/7\""
	mostSet = 1000 // values of one axis
)

// ParseAxis reads an axis: "param:turn_gain=0.05..0.2/7", "robot:chassis.mass=5 kg..8 kg/7", "goal:sled 3.x=-40 mm,0
// mm,40 mm".
func ParseAxis(text string) (Axis, error) {
	name, values, found := strings.Cut(text, "=")
	if !found {
		return Axis{}, fmt.Errorf("%q has no values: %s", text, forms)
	}
	a := Axis{Name: strings.TrimSpace(name)}
	target, path, _ := strings.Cut(a.Name, ":")
	a.Target, a.Path = Target(target), strings.TrimSpace(path)
	switch a.Target {
	case Param, Number, Robot, Field, Goal, Piece:
	default:
		return Axis{}, fmt.Errorf("%q names no quantity: %s", a.Name, forms)
	}
	if a.Path == "" {
		return Axis{}, fmt.Errorf("%q names no quantity after the colon: %s", a.Name, forms)
	}
	read := a.list
	if strings.Contains(values, "..") {
		read = a.grid
	}
	if err := read(values); err != nil {
		return Axis{}, fmt.Errorf("%s: %w", a.Name, err)
	}
	for i, label := range a.Labels {
		if slices.Contains(a.Labels[:i], label) {
			return Axis{}, fmt.Errorf("%s: %s is among the values twice: write each once", a.Name, label)
		}
	}
	return a, a.fits()
}

// grid reads "5 kg..8 kg/7".
func (a *Axis) grid(text string) error {
	ends, steps, found := strings.Cut(text, "/")
	from, to, _ := strings.Cut(ends, "..")
	n, err := strconv.Atoi(strings.TrimSpace(steps))
	if !found || err != nil || n < 2 || n > mostSet {
		return fmt.Errorf("%q needs a number of values from 2 to %d behind a slash: %s", text, mostSet, forms)
	}
	low, unit, err := quantity(from)
	if err != nil {
		return err
	}
	high, unitTo, err := quantity(to)
	if err != nil {
		return err
	}
	if unit != unitTo {
		return fmt.Errorf("%q has the unit %q at one end and %q at the other: write the same twice", text, unit, unitTo)
	}
	a.Unit = unit
	for k := range n {
		a.add(low + (high-low)*float64(k)/float64(n-1))
	}
	return nil
}

// add takes a value to six digits, so that what is printed is what is tried.
func (a *Axis) add(value float64) {
	text := strconv.FormatFloat(value, 'g', 6, 64)
	rounded, _ := strconv.ParseFloat(text, 64) // just formatted
	a.Values = append(a.Values, rounded+0)
	a.Labels = append(a.Labels, strings.TrimSpace(text+" "+a.Unit))
}

// list reads "5 kg, 6 kg" or words: "omni, traction".
func (a *Axis) list(text string) error {
	items := strings.Split(text, ",")
	if len(items) > mostSet {
		return fmt.Errorf("%d values: at most %d are possible", len(items), mostSet)
	}
	for i, item := range items {
		item = strings.TrimSpace(item)
		value, unit, err := quantity(item)
		switch {
		case item == "":
			return fmt.Errorf("value %d is empty: %s", i+1, forms)
		case i == 0:
			a.words, a.Unit = err != nil, unit
		case a.words != (err != nil) || a.Unit != unit:
			return fmt.Errorf("%q does not go with %q: write every value with the same unit", item, a.Labels[0])
		}
		if a.words {
			a.Labels, a.Values = append(a.Labels, item), append(a.Values, float64(i))
			continue
		}
		a.add(value)
	}
	return nil
}

// quantity splits "5 kg" into number and unit.
func quantity(text string) (value float64, unit string, err error) {
	text = strings.TrimSpace(text)
	number, unit, _ := strings.Cut(text, " ")
	value, err = strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(value) || math.IsInf(value, 0) {
		return 0, "", fmt.Errorf("%q is not a number, nor a number, a space and a unit", text)
	}
	return value, strings.TrimSpace(unit), nil
}

// fits refuses units and words where the target has none.
func (a *Axis) fits() error {
	switch a.Target {
	case Param:
		if a.Unit != "" {
			return fmt.Errorf("%s: a routine's parameter has no unit: write %s=0.1,0.2", a.Name, a.Name)
		}
	case Number:
		if a.words || a.Unit != "" {
			return fmt.Errorf("%s: a number of the routine is a plain one: write %s=500,600", a.Name, a.Name)
		}
		_, _, err := a.stands()
		return err
	case Goal, Piece:
		for i := range a.Labels {
			if _, err := a.offset(i); err != nil {
				return fmt.Errorf("%s: %w", a.Name, err)
			}
		}
	}
	return nil
}

// offset is a value in m, or rad for a heading.
func (a *Axis) offset(i int) (float64, error) {
	_, coordinate := a.placed()
	switch coordinate {
	case "x", "y":
		x, _, err := units.Parse("m", a.Labels[i])
		return x, err
	case "heading":
		x, _, err := units.Parse("rad", a.Labels[i])
		return x, err
	}
	return 0, fmt.Errorf("end the name in .x, .y or .heading: %s:sled 1.x", a.Target)
}

// stands splits "31.2" into the routine's line and which of its numbers is meant, both from 1: "31" is its first.
func (a *Axis) stands() (line, nth int, err error) {
	first, second, more := strings.Cut(a.Path, ".")
	line, err = strconv.Atoi(first)
	if nth = 1; more && err == nil {
		nth, err = strconv.Atoi(second)
	}
	if err != nil || line < 1 || nth < 1 {
		return 0, 0, fmt.Errorf("%s: write the line of the routine, and which of its numbers is meant: number:31 is the "+
			"first of line 31, number:31.2 its second", a.Name)
	}
	return line, nth, nil
}

// placed splits "sled 3.x" into the thing's name and the coordinate.
func (a *Axis) placed() (name, coordinate string) {
	cut := strings.LastIndexByte(a.Path, '.')
	if cut < 0 {
		return a.Path, ""
	}
	return a.Path[:cut], a.Path[cut+1:]
}

// toml is a value as a TOML file has it.
func (a *Axis) toml(i int) string {
	if a.words || a.Unit != "" {
		return strconv.Quote(a.Labels[i])
	}
	return a.Labels[i]
}
