package scripting

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting/talk"
	"chalkfield/sim/robot"

	lua "github.com/yuin/gopher-lua"
)

// Guest is a program outside that commands one robot through a rehearsal. An error ends the routine; it may be a
// *Trouble.
type Guest interface {
	Begin(talk.Begin) error
	Ask(talk.Tick) (talk.Answer, error)
	End(talk.End)
}

// Trouble is why a program outside can go on no more, and what it said last.
type Trouble struct {
	What string
	At   talk.Place // in its text, if it told it itself when it ended
	Said []string   // the last lines of its standard error
}

func (t *Trouble) Error() string {
	return strings.Join(append([]string{t.What}, t.said()...), "\n  ")
}

// said is what a failure's traceback is for a program.
func (t *Trouble) said() []string {
	if len(t.Said) == 0 {
		return nil
	}
	return append([]string{"the last that it wrote to its standard error:"}, t.Said...)
}

// NewForeign makes a routine of a program outside: ready is what it said of itself, parts what it was told that it can
// command, and meet is called for each rehearsal. Errors are about what it said.
func NewForeign(name string, ready talk.Ready, parts []talk.Part, meet func() (Guest, error)) (*Program, error) {
	p := &Program{Name: name, Title: ready.Title, Side: ready.Side, meet: meet, heard: parts}
	for _, phase := range ready.Phases {
		switch phase {
		case Auto.String():
			p.HasAuto = true
		case Driver.String():
			p.HasDriver = true
		default:
			return nil, fmt.Errorf("%s: there is no phase %q: %s", name, phase,
				wording.Instead(phase, []string{Auto.String(), Driver.String()}))
		}
	}
	if !p.HasAuto && !p.HasDriver {
		return nil, fmt.Errorf(`%s: is ready for no phase: write "phases": ["auto"]`, name)
	}
	if s := ready.Start; s != nil {
		if math.Abs(s.X) > reach/mm || math.Abs(s.Y) > reach/mm {
			return nil, fmt.Errorf("%s: its start (%.6g, %.6g) is far off any field: it is in mm", name, s.X, s.Y)
		}
		p.Start = &geom.Pose{X: s.X * mm, Y: s.Y * mm, Heading: geom.WrapAngle(s.Heading * deg)}
	}
	for _, q := range ready.Params {
		param := Param{Name: q.Name, Default: q.Default, Min: q.Least, Max: q.Greatest, Used: q.Default}
		if wrong := param.wrong(); wrong != "" {
			return nil, fmt.Errorf("%s: param: %s", name, wrong)
		}
		p.Params = withParam(p.Params, param)
	}
	if len(p.Params) > maxParams {
		return nil, fmt.Errorf("%s: more than %d parameters", name, maxParams)
	}
	return p, nil
}

// NewLost makes a routine of a program outside that did not come to say what it is: it fails in its first tick.
func NewLost(name string, why *Trouble) *Program {
	return &Program{Name: name, HasAuto: true, HasDriver: true, lost: true,
		meet: func() (Guest, error) { return nil, why }}
}

// Lost reports whether the routine is a program that did not come to say what it is, such as where it starts.
func (p *Program) Lost() bool { return p.lost }

// Foreign reports whether the routine is a program outside.
func (p *Program) Foreign() bool { return p.meet != nil }

// Wants is what a routine has of a phase in which it drives, as it is written.
func (p *Program) Wants(phase Phase) string {
	if p.Foreign() {
		return fmt.Sprintf(`"%s" among the phases that it is ready for`, phase)
	}
	return phase.String() + " = function(bot)"
}

// Hears lists what a program can tell a robot's drive base and mechanisms to do and what it reads of them: the calls of
// Lua. A reading is what answers at any time and needs to be told nothing; all else is a command.
func Hears(r *robot.Robot) ([]talk.Part, error) {
	h, err := newHost(&Program{meet: func() (Guest, error) { return nil, nil }}, shelf{robot: r}, Env{})
	if err != nil {
		return nil, err
	}
	defer h.Close()
	var list []talk.Part
	for _, t := range h.guest.things {
		list = append(list, talk.Part{Name: t.name, Kind: t.kind, Commands: t.commands, Readings: t.readings})
	}
	return list, nil
}

// Tells lists a robot's sensors as a program reads them.
func Tells(r *robot.Robot) []talk.Sensor {
	list := []talk.Sensor{}
	for _, s := range r.Sensors {
		reading := strings.Replace(sensorMethods[s.Kind].reading, " (`read()`: 1 or 0)", "", 1)
		list = append(list, talk.Sensor{Name: s.Name, Kind: string(s.Kind), Reading: reading, Looks: looksOf(s)})
	}
	return list
}

// shelf is a robot that stands on a shelf: it can be asked what it has, and does nothing.
type shelf struct {
	Machine // none: nothing is commanded
	robot   *robot.Robot
}

func (s shelf) Parts() []robot.Part     { return s.robot.Parts }
func (s shelf) Sensors() []robot.Sensor { return s.robot.Sensors }
func (s shelf) Look(int) robot.Status   { return robot.Status{} }
func (s shelf) Heat() float64           { return 0 }
func (s shelf) Belief() geom.Pose       { return geom.Pose{} }

// thing is the drive base or a mechanism as a program knows it.
type thing struct {
	name, kind         string
	object             *object
	calls              map[string]method
	commands, readings []string // names of calls
}

// newThings lists what a program can command, the drive base first.
func (h *Host) newThings() []*thing {
	things := []*thing{{name: "drive", kind: "drive", calls: driveMethods(),
		object: &object{class: h.classes.drive, owner: "drive"}}}
	for i, p := range h.parts {
		t := &thing{name: p.Name, kind: string(p.Kind), calls: map[string]method{},
			object: &object{class: h.partClass(p), owner: p.Name, index: i}}
		for _, c := range partCalls[p.Kind] {
			if p.Lift == nil || c.name() != notOf(p.Lift) {
				t.calls[c.name()] = c.method
			}
		}
		things = append(things, t)
	}
	for i, t := range things {
		if i < len(h.program.heard) && h.program.heard[i].Name == t.name {
			t.commands, t.readings = h.program.heard[i].Commands, h.program.heard[i].Readings
		} else {
			h.sort(t)
		}
	}
	return things
}

// sort parts a thing's calls into commands and readings. No task runs: a command refuses.
func (h *Host) sort(t *thing) {
	t.commands, t.readings = []string{}, []string{}
	for _, name := range sortedNames(t.calls) {
		thread := h.box.NewThread()
		_, refused := h.box.Call(thread, h.box.State().NewFunction(func(L *lua.LState) int {
			return t.calls[name](call{L, h, t.object, name})
		}), lua.LNil)
		h.box.Drop(thread)
		if refused == nil {
			t.readings = append(t.readings, name)
		} else {
			t.commands = append(t.commands, name)
		}
	}
}

func sortedNames[T any](m map[string]T) []string {
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}
