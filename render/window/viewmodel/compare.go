package viewmodel

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// Difference is what a run changed against the run before it.
type Difference struct {
	Sides []Gain  // the side of the robot under test first
	Ended float64 // s: when its routine had ended, now less before; NaN if one of them has not
}

// Gain is how many points more a side has; NaN where one of the runs does not tell.
type Gain struct {
	Side   string
	Points float64
}

// Compare reads the difference off two finished records.
func Compare(now, before *Run) (Difference, bool) {
	if now == nil || before == nil || len(now.Record.Header.Robots) == 0 || len(before.Record.Header.Robots) == 0 {
		return Difference{}, false
	}
	d := Difference{Ended: ended(now) - ended(before)}
	own := now.Record.Header.Robots[0].Side
	for i, name := range now.Record.Sheet.Sides {
		gain := Gain{name, points(now, i) - points(before, i)}
		if i == own {
			d.Sides = append([]Gain{gain}, d.Sides...)
		} else {
			d.Sides = append(d.Sides, gain)
		}
	}
	return d, true
}

func points(r *Run, side int) float64 {
	if side < len(r.Record.Sheet.Total) {
		return r.Record.Sheet.Total[side]
	}
	total, err := strconv.ParseFloat(r.Total(side, math.Inf(1)), 64)
	if err != nil {
		return math.NaN()
	}
	return total
}

// ended is when the robot under test had nothing more to do: the start of the idle samples at the record's end.
func ended(r *Run) float64 {
	samples := r.Record.Samples
	at := math.NaN()
	for i := len(samples) - 1; i >= 0 && samples[i].Robots[0].Doing == record.Idle; i-- {
		at = samples[i].T
	}
	return at
}

// Outcome is the score and end of a run beside those of the run before, for the robot under test: "ochre 31 → 35,
// ends 12.98 s (-0.22)". "": there are not both.
func Outcome(now, before *Run) string {
	d, ok := Compare(now, before)
	if !ok || len(d.Sides) == 0 {
		return ""
	}
	own := now.Record.Header.Robots[0].Side
	words := fmt.Sprintf("%s %s", d.Sides[0].Side, change(points(before, own), points(now, own)))
	switch was, is := ended(before), ended(now); {
	case math.IsNaN(was) && math.IsNaN(is):
	case math.IsNaN(is):
		words += ", never ends"
	case math.IsNaN(was):
		words += fmt.Sprintf(", ends %.2f s (before: never)", is)
	default:
		words += fmt.Sprintf(", ends %.2f s (%+.2f)", is, is-was)
	}
	return words
}

// Outcome is what the turns under way made of score and end; "": there are none, or nothing is rehearsed yet.
func (d *Model) Outcome() string {
	if d.turns.of == "" || d.Before != d.turns.from {
		return ""
	}
	return Outcome(d.Now, d.Before)
}

// change is a number old → new, or once where it is the same; "never" where there is none.
func change(was, is float64) string {
	word := func(x float64) string {
		if math.IsNaN(x) {
			return "never"
		}
		return fmt.Sprintf("%g", x)
	}
	if word(was) == word(is) {
		return word(is)
	}
	return word(was) + " → " + word(is)
}

// String is the difference in words: "ochre +4 points, routine ends 1.20 s sooner".
func (d Difference) String() string {
	words := d.score()
	switch {
	case math.IsNaN(d.Ended):
	case math.Abs(d.Ended) < record.SamplePeriod/2:
		words = append(words, "routine ends at the same time")
	case d.Ended < 0:
		words = append(words, fmt.Sprintf("routine ends %.2f s sooner", -d.Ended))
	default:
		words = append(words, fmt.Sprintf("routine ends %.2f s later", d.Ended))
	}
	return strings.Join(words, ", ")
}

// score says each side's difference, but those that have none.
func (d Difference) score() []string {
	var words []string
	for _, gain := range d.Sides {
		switch {
		case gain.Points == 0 || math.IsNaN(gain.Points):
		case math.Abs(gain.Points) == 1:
			words = append(words, fmt.Sprintf("%s %+g point", gain.Side, gain.Points))
		default:
			words = append(words, fmt.Sprintf("%s %+g points", gain.Side, gain.Points))
		}
	}
	if len(words) == 0 {
		words = append(words, "same score")
	}
	return words
}

// Exchanged says which robot and field a run was made with, where the run before it had others; empty: the same.
func Exchanged(now, before *Run) string {
	if now == nil || before == nil || len(now.Record.Header.Robots) == 0 || len(before.Record.Header.Robots) == 0 {
		return ""
	}
	var words string
	own, was := now.Record.Header.Robots[0].File, before.Record.Header.Robots[0].File
	if own.Name != was.Name {
		words += fmt.Sprintf("The robot is now %s, not %s. ", nameOfFile(own, builtInRobot(own)), was.Name)
	}
	field, wasField := now.Record.Header.Field, before.Record.Header.Field
	if field.Name != wasField.Name {
		words += fmt.Sprintf("The field is now %s, not %s. ", nameOfFile(field, builtInField(field)), wasField.Name)
	}
	return words
}

func nameOfFile(f record.File, builtIn bool) string {
	if builtIn {
		return "the built-in " + f.Called()
	}
	return f.Name
}

// builtInRobot reports whether a robot is one that comes with the program: by its name and content.
func builtInRobot(f record.File) bool {
	robot, err := robot.OpenEmbedded(f.Name)
	return err == nil && robot.SHA256 == f.SHA256
}

func builtInField(f record.File) bool {
	field, err := fields.OpenEmbedded(strings.TrimSuffix(f.Name, ".toml"))
	return err == nil && field.SHA256 == f.SHA256
}
