package viewmodel

import (
	"context"
	"fmt"

	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting/literal"
)

// option is one that a motion can get, with the values that are tried, the one that changes most first.
type option struct {
	call   literal.Call
	values []float64
}

// motionOptions are what is tried of each motion: mm/s and mm/s^2, of turns deg/s and deg/s^2. More than the robot can
// does no harm: a motion asks for what its tyres and motors give. They are whole round numbers as people write them.
var motionOptions = func() map[string][]namedValues {
	accel, speed := namedValues{"accel", []float64{6000, 4000, 2500}}, namedValues{"speed", []float64{2000, 1200}}
	turns := []namedValues{{"turn_speed", []float64{600, 360}}, {"turn_accel", []float64{3000, 2000, 1200}}}
	exit := namedValues{"exit", []float64{800, 400, 200}}
	return map[string][]namedValues{
		"ahead": {accel, speed, exit},
		"visit": append([]namedValues{accel, speed, exit}, turns...),
		"trace": append([]namedValues{accel, speed, exit}, turns...),
		"dock":  append([]namedValues{accel, speed}, turns...),
		"face":  {{"accel", []float64{3000, 2000, 1200}}, {"speed", []float64{600, 360}}},
	}
}()

type namedValues struct {
	name   string
	values []float64
}

// optionsOf are the options that the motions of lines that ran do not have.
func optionsOf(text string, ran func(line int) bool) []turnable {
	var list []turnable
	line, nth := 0, 0
	for _, call := range motionsIn(text) {
		if nth++; call.Line != line {
			line, nth = call.Line, 1
		}
		if !ran(line) {
			continue
		}
		for _, o := range motionOptions[call.Name] {
			if !hasOption(call, o.name) {
				list = append(list, turnable{Spot: Spot{line, nth, o.name}, text: text, feeds: -1,
					option: &option{call, o.values}})
			}
		}
	}
	return list
}

// motionsIn are the motions of a text that stand in one line.
func motionsIn(text string) []literal.Call {
	var list []literal.Call
	for _, call := range literal.Calls(text) {
		if _, is := motionOptions[call.Name]; is && call.Of == "drive" && call.Line == call.Last && len(call.Args) > 0 {
			list = append(list, call)
		}
	}
	return list
}

// motionIn is a motion of a line, both counted from 1.
func motionIn(text string, line, nth int) (literal.Call, error) {
	for _, call := range motionsIn(text) {
		if call.Line != line {
			continue
		}
		if nth--; nth == 0 {
			return call, nil
		}
	}
	return literal.Call{}, fmt.Errorf("line %d does not have that motion any more", line)
}

// between is what stands between a call's brackets.
func between(call literal.Call) (from, to int) {
	return call.Args[0].From, call.Args[len(call.Args)-1].To
}

// tableOf is the call's table of options; false: it has none.
func tableOf(call literal.Call) (literal.Value, bool) {
	last := call.Args[len(call.Args)-1]
	return last, len(last.List) > 0 && last.List[0].Key != ""
}

func hasOption(call literal.Call, name string) bool {
	table, _ := tableOf(call)
	for _, o := range table.List {
		if o.Key == name {
			return true
		}
	}
	return false
}

// with is the motion with a value of the option, and the text with that.
func (o *option) with(at Spot, text string, value float64) (Sooner, string) {
	from, to := between(o.call)
	added := fmt.Sprintf("%s = %g", at.Option, value)
	words := text[from:to] + ", {" + added + "}"
	if table, has := tableOf(o.call); has {
		end := table.List[len(table.List)-1].To
		words = text[from:end] + ", " + added + text[end:to]
	}
	return Sooner{Line: at.Line, Nth: at.Nth, Option: at.Option, Old: text[from:to], New: words, Share: value},
		text[:from] + words + text[to:]
}

// provedOption is the first of the option's values that saves time and loses no points on average; where all lose some,
// the first.
func (t turnable) provedOption(ctx context.Context, setup rehearse.Setup, now []outcome) (Sooner, error) {
	var best Sooner
	for _, value := range t.option.values {
		one, lost, err := t.try(ctx, setup, now, value)
		switch {
		case err != nil:
			return best, err
		case lost:
			continue
		case one.Saves <= 0: // less of it changes less
			return best, nil
		}
		if one, err = t.weigh(ctx, setup, now, one); err != nil || !one.Costs() {
			return one, err
		}
		if best.Saves == 0 {
			best = one
		}
	}
	return best, nil
}
