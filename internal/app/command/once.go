package command

import (
	"fmt"
	"math"
	"strconv"
	"strings"

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

// values are numbers by name, as --param gives them.
type values map[string]float64

// Decode adds one NAME=VALUE.
func (v *values) Decode(ctx *kong.DecodeContext) error {
	var text string
	if err := ctx.Scan.PopValueInto("value", &text); err != nil {
		return err
	}
	name, number, is := strings.Cut(text, "=")
	if !is || name == "" {
		return fmt.Errorf("write NAME=VALUE, such as turn_gain=0.15, not %q", text)
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	switch {
	case err != nil:
		return fmt.Errorf("%s: %q is no number: write, for example, %s=0.15", name, number, name)
	case math.IsNaN(x) || math.IsInf(x, 0):
		return fmt.Errorf("%s: write a finite number", name)
	}
	if _, given := (*v)[name]; given {
		return fmt.Errorf("%s is given twice: leave one out", name)
	}
	if *v == nil {
		*v = values{}
	}
	(*v)[name] = x
	return nil
}
