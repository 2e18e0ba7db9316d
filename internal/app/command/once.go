package command

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study"

	"github.com/alecthomas/kong"
)

// givenOnce refuses a flag that takes one value and is given two: the parser would drop the first without a word. A
// switch without a value, given twice, says nothing else than once.
func givenOnce(parsed *kong.Context) error {
	seen := map[*kong.Flag]bool{}
	for _, step := range parsed.Path {
		flag := step.Flag
		if flag == nil || flag.IsBool() || flag.IsCumulative() {
			continue
		}
		if seen[flag] && flag.PlaceHolder == "LIST" {
			return fmt.Errorf("%s is given twice: write both lists in one, with a comma between them", flagWords(flag))
		}
		if seen[flag] {
			return fmt.Errorf("%s is given twice and takes one value: leave one out", flagWords(flag))
		}
		seen[flag] = true
	}
	return nil
}

func flagWords(flag *kong.Flag) string {
	if flag.Short != 0 {
		return fmt.Sprintf("--%s (-%c)", flag.Name, flag.Short)
	}
	return "--" + flag.Name
}

// values are what --param gives, by name; what they mean only the routine knows.
type values map[string]string

// Decode adds one NAME=VALUE.
func (v *values) Decode(ctx *kong.DecodeContext) error {
	var text string
	if err := ctx.Scan.PopValueInto("value", &text); err != nil {
		return err
	}
	name, value, is := strings.Cut(text, "=")
	switch value = strings.TrimSpace(value); {
	case !is || name == "":
		return fmt.Errorf("write NAME=VALUE, such as turn_gain=0.15, not %q", text)
	case value == "":
		return fmt.Errorf("%s: there is no value: write, for example, %s=0.15", name, name)
	}
	if _, given := (*v)[name]; given {
		return fmt.Errorf("%s is given twice: leave one out", name)
	}
	if *v == nil {
		*v = values{}
	}
	(*v)[name] = value
	return nil
}

// of are the values as the routines of a rehearsal take them.
func (v values) of(setup rehearse.Setup) (map[string]float64, error) {
	if len(v) == 0 {
		return nil, nil
	}
	given := map[string]float64{}
	for _, name := range slices.Sorted(maps.Keys(v)) {
		read := unseen
		if p, known := study.ParamNamed(setup, name); known {
			read = p.Value
		}
		value, err := read(v[name])
		if err != nil {
			return nil, fmt.Errorf("the value of %s: %w", name, err)
		}
		given[name] = value
	}
	return given, nil
}

// unseen reads the value of what is only asked for later: a number, or of a choice or an order its place.
func unseen(text string) (float64, error) {
	x, err := strconv.ParseFloat(strings.TrimPrefix(text, "#"), 64)
	switch {
	case err != nil:
		return 0, fmt.Errorf("%q is no number, and the routine's text has no plain choice of the name: write a number, or "+
			"the place of what you choose, from 1", text)
	case math.IsNaN(x) || math.IsInf(x, 0):
		return 0, errors.New("write a finite number")
	}
	return x, nil
}
