package viewmodel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// told are what parts can be told without anything that only their robot's file knows, with a usual number where one
// is needed, to be turned then: of a run most of the battery's volts.
var told = map[string]string{"run": "run(%.0f)", "stop": "stop()", "hold": "hold()", "grab": "grab()",
	"place": "place()", "drop": "drop()", "give": "give()", "out": "out()", "back": "back()", "shut": "shut()",
	"open": "open()"}

// awaited is what a reading that is a number is compared with, to be turned then.
var awaited = map[robot.SensorKind]string{robot.Encoder: " > 300", robot.Tracking: " > 300", robot.Inertial: " > 90",
	robot.Distance: " < 300", robot.Rotation: " > 30", robot.Line: " > 0.5", robot.Mark: " > 0"}

// HoldPart does as HoldAdding with what a part is told to do: one of PartCalls.
func (d *Model) HoldPart(call string) error {
	return d.holdCall(func(bot string) string { return bot + "." + call })
}

// HoldUntil does with waiting, 2 s at most, until a sensor or a part tells something: one of Conditions.
func (d *Model) HoldUntil(condition string) error {
	return d.holdCall(func(bot string) string {
		return fmt.Sprintf("await(function() return %s.%s end, 2)", bot, condition)
	})
}

// vocabulary is what can be put into a routine for a robot. An open menu asks for it in every update, and it takes a
// world of the routine's to find.
type vocabulary struct {
	of                *robot.Robot
	calls, conditions []scripting.Call
}

func (d *Model) vocabulary() vocabulary {
	if r := d.Machine(); r != d.known.of {
		d.known = vocabulary{r, partCalls(r), conditions(r)}
	}
	return d.known
}

// PartCalls are what the parts of the robot can be told to do: "intake:run(10)". Conditions are what they and its
// sensors tell, as a truth: "sense.chute:sees()".
func (d *Model) PartCalls() []scripting.Call { return d.vocabulary().calls }

func (d *Model) Conditions() []scripting.Call { return d.vocabulary().conditions }

func partCalls(r *robot.Robot) (list []scripting.Call) {
	if r == nil {
		return nil
	}
	calls := scripting.Calls(r)
	add := func(form, as string) {
		is := func(c scripting.Call) bool { return strings.HasPrefix(c.Form, "bot."+form+"(") }
		if at := slices.IndexFunc(calls, is); at >= 0 {
			part, _, _ := strings.Cut(form, ":")
			list = append(list, scripting.Call{Form: as, Does: doesHere(plain(calls[at].Does), part, as, r)})
		}
	}
	hears, err := scripting.Hears(r)
	if err != nil {
		return nil
	}
	for _, part := range hears {
		for _, command := range part.Commands {
			if call := told[command]; call != "" && part.Name != "drive" {
				add(part.Name+":"+command, part.Name+":"+forRobot(call, r))
			}
		}
	}
	heights(r, func(part, height string) { add(part+":to", fmt.Sprintf("%s:to(%q)", part, height)) })
	return list
}

// doesHere is what a call does with its volts to this robot, at which end of it.
func doesHere(does, part, as string, r *robot.Robot) string {
	at := slices.IndexFunc(r.Parts, func(p robot.Part) bool { return p.Name == part })
	ends := r.Parts[at].Ends(r)
	if _, volts, runs := strings.Cut(as, ":run("); runs {
		first, rest, _ := strings.Cut(does, ",")
		does = first + " with " + strings.TrimSuffix(volts, ")") + " V"
		if len(ends) > 0 {
			does += " and " + ends[0].Does + " the " + ends[0].Side()
		}
		return does + "," + rest
	}
	if len(ends) > 0 {
		does += ". It " + r.Parts[at].EndWords(r)
	}
	return does
}

// forRobot is a call with a robot's own number.
func forRobot(call string, r *robot.Robot) string {
	if !strings.Contains(call, "%") {
		return call
	}
	return fmt.Sprintf(call, math.Max(1, math.Floor(0.85*r.Battery.Open)))
}

func conditions(r *robot.Robot) (list []scripting.Call) {
	if r == nil {
		return nil
	}
	compared := map[string]string{}
	for _, s := range r.Sensors {
		compared["sense."+s.Name] = awaited[s.Kind]
	}
	var others []scripting.Call
	for _, c := range scripting.Calls(r) {
		form, does := strings.TrimPrefix(c.Form, "bot."), plain(c.Does)
		owner, _, _ := strings.Cut(form, ":")
		with, sensor := compared[owner]
		switch {
		case sensor: // by the call of its reading, its first
			list = append(list, scripting.Call{Form: form + with, Does: does})
			delete(compared, owner)
		case strings.HasPrefix(does, "whether ") && strings.HasSuffix(form, "()"):
			others = append(others, scripting.Call{Form: form, Does: does})
		}
	}
	heights(r, func(part, height string) {
		others = append(others, scripting.Call{Form: fmt.Sprintf("%s:at(%q)", part, height), Does: "whether it is there"})
	})
	return append(list, others...)
}

// Machine is the robot under test; nil: there is none.
func (d *Model) Machine() *robot.Robot {
	if len(d.Setup.Entrants) == 0 {
		return nil
	}
	return d.Setup.Entrants[0].Robot
}

func heights(r *robot.Robot, each func(part, height string)) {
	for _, part := range r.Parts {
		if part.Lift == nil {
			continue
		}
		for _, height := range part.Lift.Heights {
			each(part.Name, height.Name)
		}
	}
}

// plain is a line of help without Markdown.
func plain(does string) string {
	return strings.ReplaceAll(strings.Replace(does, " (`read()`: 1 or 0)", "", 1), "`", "")
}
