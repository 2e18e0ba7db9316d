package command

import (
	"fmt"
	"regexp"
	"strings"

	"chalkfield/internal/base/wording"
)

var (
	negative  = regexp.MustCompile(`^-\.?[0-9]`)
	negated   = regexp.MustCompile(`^-[a-z_]{2,}|^-[( ]`) // of a goal: -way
	longFlag  = regexp.MustCompile(`^--[a-z-]+$`)
	shortFlag = regexp.MustCompile(`^-[a-z]$`)
)

// joined binds negative numbers and goals to the flag before them, "--need" "-5" to "--need=-5": no flag of ours begins
// with a digit, and the parser would look for one.
func joined(args []string) []string {
	var out []string
	for _, arg := range args {
		last := len(out) - 1
		switch {
		case last >= 0 && (out[last] == "--for" || out[last] == "--need") && negated.MatchString(arg):
			out[last] += "=" + arg
		case last < 0 || !negative.MatchString(arg) || strings.Contains(out[last], "="):
			out = append(out, arg)
		case longFlag.MatchString(out[last]):
			out[last] += "=" + arg
		case shortFlag.MatchString(out[last]):
			out[last] += arg
		default:
			out = append(out, arg)
		}
	}
	return out
}

// plain is how the parser's errors about values read in our words.
var plain = []struct {
	parsers *regexp.Regexp
	ours    string
}{
	{regexp.MustCompile(`expected a valid \d+ bit uint but got (".*")`), "write a whole number from 0 on, not $1"},
	{regexp.MustCompile(`expected a valid \d+ bit int but got (".*")`), "write a whole number, not $1"},
	{regexp.MustCompile(`expected a float but got (".*") \(.*\)`), "write a number, not $1"},
	{regexp.MustCompile(`expected "<key>=<value>" but got (".*")`), "write NAME=VALUE, not $1"},
	{regexp.MustCompile(`expected duration but got (".*"): time: .*`), "write a time with its unit, such as 3s, not $1"},
	{regexp.MustCompile(`expected "<robot> <logs> \.\.\."`),
		"name the robot file and the logs: chalkfield fit robot.toml logs"},
	{regexp.MustCompile(`expected "<logs> \.\.\."`),
		"name the logs behind the robot file: chalkfield fit robot.toml logs"},
	{regexp.MustCompile(`expected "<parts> \.\.\."`), "name the parts to merge: chalkfield merge p1 p2 p3"},
	{regexp.MustCompile(`^--columns: expected \S+ value but got .*`),
		`--columns: it needs a list behind it: --columns "left V=motor_a, heading deg=imu_z"`},
	{regexp.MustCompile(`expected \S+ value but got .*`), "it needs a value behind it"},
}

// choice is the parser's error about a word that is none of a flag's.
var choice = regexp.MustCompile(`^(--[a-z-]+) must be one of (.*) but got "(.*)"$`)

// plainWords is an error of the parser for a person.
func plainWords(text string) string {
	if m := choice.FindStringSubmatch(text); m != nil {
		known := strings.FieldsFunc(m[2], func(r rune) bool { return r == '"' || r == ',' })
		return fmt.Sprintf("%s: %q is no word for it: %s", m[1], m[3], wording.Instead(m[3], known))
	}
	for _, p := range plain {
		text = p.parsers.ReplaceAllString(text, p.ours)
	}
	return text
}
