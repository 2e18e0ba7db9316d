package scripting

import (
	"cmp"
	"errors"
	"fmt"
	"hash/fnv"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting/sandbox"
	"chalkfield/scripting/talk"

	lua "github.com/yuin/gopher-lua"
)

// guest is a program outside as the host's routine: its main task asks the program at each tick, and makes the calls
// that it wants by the methods that Lua has. So it can do and see what a Lua routine can, no less and no more.
type guest struct {
	host    *Host
	things  []*thing
	link    Guest // nil: not met yet
	lost    bool  // it can go on no more
	number  int
	pending []*pending
	at      place    // of its text, where it stands
	first   string   // the first file of it that it told
	trace   []string // what it said before it was lost
	why     string   // the rehearsal ends
}

// pending is something that takes time.
type pending struct {
	id      int // 0: nobody wants to know
	of      string
	wait    waiter
	outcome func() outcome
	over    bool
}

func newGuest(h *Host) *guest { return &guest{host: h, things: h.newThings(), why: "over"} }

// play is the main task of a phase.
func (g *guest) play(L *lua.LState) int {
	g.pending = nil
	if g.link == nil {
		g.open(L)
	}
	for {
		answer := g.ask(L)
		for _, command := range answer.Commands {
			g.stand(command.Place)
			g.do(L, command)
		}
		g.stand(answer.Place)
		switch {
		case answer.Done:
			return 0
		case answer.Again || g.someOver():
			g.host.box.Charge(L, askingAgain)
		default:
			g.host.running.pause(&guestWait{g, g.host.now + answer.Wait})
		}
	}
}

// drives reports whether the program wants to drive in a phase and still can.
func (g *guest) drives(p Phase) bool {
	if p == Driver {
		return g.host.program.HasDriver && !g.lost
	}
	return g.host.program.HasAuto && !g.lost
}

// blame makes a failure one of the program: no line of Lua is its place, but where it said last that it stands.
func (g *guest) blame(e *sandbox.Error) {
	e.File, e.Line, e.Message, e.Trace = g.at.file, g.at.line, strings.TrimSpace(e.Message), g.trace
	g.why = e.Message
}

// close tells the program that the rehearsal is over.
func (g *guest) close() {
	if g.link != nil {
		g.link.End(talk.End{Message: "end", Why: g.why})
	}
}

// askingAgain is what telling the same moment again costs in steps: a program that never lets time pass comes to an
// end.
const askingAgain = 5_000

// open meets the program for this rehearsal.
func (g *guest) open(L *lua.LState) {
	h := g.host
	link, err := h.program.meet()
	g.lose(L, err)
	g.link = link
	g.number, g.at, g.first = 0, place{}, ""
	start := h.env.Frame.Pose(h.machine.Belief())
	begin := talk.Begin{Message: "begin", Side: h.env.Side, Start: poseOf(start), Params: map[string]float64{},
		Random: h.random(), Marks: []talk.Mark{}}
	for _, p := range h.params {
		begin.Params[p.Name] = p.Used
	}
	for _, m := range h.env.Marks {
		begin.Marks = append(begin.Marks, talk.Mark{Name: m.Name, X: m.At.X / mm, Y: m.At.Y / mm})
	}
	g.lose(L, link.Begin(begin))
}

// random is drawn from the seed and tells nothing of it.
func (h *Host) random() uint32 {
	sum := fnv.New32a()
	fmt.Fprintf(sum, "a program's random numbers, %d, %d", h.env.Seed, h.env.Robot)
	return sum.Sum32()
}

// lose ends the routine if the program can go on no more.
func (g *guest) lose(L *lua.LState, err error) {
	if err == nil {
		return
	}
	g.lost = true
	what := err.Error()
	var trouble *Trouble
	if errors.As(err, &trouble) {
		what, g.trace = trouble.What, trouble.said()
		g.blameLine(trouble.At, &what)
	}
	L.RaiseError("%s", what)
}

// blameLine has a failure stand where the program said itself that it ended. Else it stands nowhere, and its words say
// after which line it was: the program had gone on from there.
func (g *guest) blameLine(at talk.Place, what *string) {
	switch {
	case at.Line > 0:
		g.at = place{at.File, at.Line}
	case g.at.line > 0:
		*what = fmt.Sprintf("after line %d of %s: %s", g.at.line, g.at.file, *what)
		g.at = place{}
	}
}

func (g *guest) ask(L *lua.LState) talk.Answer {
	g.number++
	answer, err := g.link.Ask(g.sight(L))
	g.lose(L, err)
	g.mayStand(L, answer.Place)
	if answer.To != g.number || !(answer.Wait >= 0) || math.IsInf(answer.Wait, 1) {
		g.stand(answer.Place)
	}
	switch {
	case answer.To != g.number:
		L.RaiseError(`the program's answer is to tick %d, this is tick %d: write "to": %d`, answer.To, g.number, g.number)
	case answer.Wait < 0 || math.IsNaN(answer.Wait) || math.IsInf(answer.Wait, 0):
		L.RaiseError("the program's answer waits for %v s: write 0 or more", answer.Wait)
	}
	for _, command := range answer.Commands {
		g.mayStand(L, command.Place)
	}
	return answer
}

// The greatest that a place may be.
const (
	longestFile = 100 // bytes of a name
	lastLine    = 1_000_000
)

// mayStand refuses a place that is none.
func (g *guest) mayStand(L *lua.LState, at talk.Place) {
	if at == (talk.Place{}) {
		return
	}
	if at.Line < 1 || at.Line > lastLine || at.File == "" || len(at.File) > longestFile ||
		strings.ContainsFunc(at.File, func(r rune) bool { return r == '/' || r == '\\' || !unicode.IsPrint(r) }) {
		L.RaiseError(`the program stands at line %d of %.60q, which is no place: write "file": "robot.py", "line": 12, or `+
			"neither", at.Line, at.File)
	}
}

// stand notes where the program says that it stands.
func (g *guest) stand(at talk.Place) {
	if at.Line > 0 {
		g.at = place{at.File, at.Line}
		g.first = cmp.Or(g.first, at.File)
	}
}

// line is where it stands in its first file, 0 elsewhere.
func (g *guest) line() int {
	if g.at.file == g.first {
		return g.at.line
	}
	return 0
}

// sight is what a routine may see now.
func (g *guest) sight(L *lua.LState) talk.Tick {
	h := g.host
	seen := talk.Tick{
		Message: "tick", Number: g.number, Time: h.now, Phase: h.phase.String(),
		Belief: poseOf(h.env.Frame.Pose(h.machine.Belief())), Battery: h.machine.Terminal(), Air: h.machine.Air() / 1000,
		Parts: map[string]map[string]any{}, Sensors: map[string]any{}, Looks: h.looks(), Results: g.results(),
	}
	for _, t := range g.things {
		readings := make(map[string]any, len(t.readings))
		for _, name := range t.readings {
			readings[name] = t.read(L, h, name)
		}
		seen.Parts[t.name] = readings
	}
	for i, s := range h.machine.Sensors() {
		seen.Sensors[s.Name] = h.sensed(i, s)
	}
	if h.pad != nil {
		s := h.pad.state
		seen.Pad = &talk.Pad{LeftX: s.LeftX, LeftY: s.LeftY, RightX: s.RightX, RightY: s.RightY,
			Buttons: append([]string{}, s.Buttons...)}
	}
	return seen
}

// read makes a call that only reads.
func (t *thing) read(L *lua.LState, h *Host, name string) any {
	L.SetTop(1)
	t.calls[name](call{L, h, t.object, name})
	v := L.Get(-1)
	L.SetTop(0)
	if truth, is := v.(lua.LBool); is {
		return bool(truth)
	}
	return float64(lua.LVAsNumber(v))
}

// results takes what has ended.
func (g *guest) results() []talk.Result {
	ended, still := []talk.Result{}, g.pending[:0]
	for _, p := range g.pending {
		switch {
		case !p.over:
			still = append(still, p)
		case p.id != 0:
			o := p.outcome()
			ended = append(ended, talk.Result{ID: p.id, Of: p.of, OK: o.ok(), Why: o.Why, Left: o.Left, Took: o.Took,
				Overshoot: o.Overshoot, Settle: o.Settle, Planned: o.Planned})
		}
	}
	g.pending = still
	return ended
}

func (g *guest) someOver() bool {
	for _, p := range g.pending {
		if p.over && p.id != 0 {
			return true
		}
	}
	return false
}

// do makes one call.
func (g *guest) do(L *lua.LState, command talk.Command) {
	h := g.host
	L.SetTop(0)
	owner, name, of := strings.Cut(command.Do, ".")
	if !of {
		g.say(L, command)
		return
	}
	t := g.thing(L, owner)
	m := t.calls[name]
	if m == nil {
		L.RaiseError("%s has no %q: %s", owner, name, h.suggest("bot."+owner, name, sortedNames(t.calls)))
	}
	L.Push(lua.LNil) // where Lua has the object
	g.push(L, command)
	before := len(g.pending)
	m(call{L, h, t.object, name})
	for _, p := range g.pending[before:] {
		p.id, p.of = command.ID, command.Do
	}
}

func (g *guest) thing(L *lua.LState, name string) *thing {
	var known []string
	for _, t := range g.things {
		if t.name == name {
			return t
		}
		known = append(known, t.name)
	}
	L.RaiseError("the robot has no %q: %s", name, wording.Instead(name, known))
	return nil
}

// say makes a call that is no mechanism's.
func (g *guest) say(L *lua.LState, command talk.Command) {
	calls := map[string]method{"note": leaveNote, "here": setWhere, "signal": recordSignal, "result": giveResult}
	m := calls[command.Do]
	if m == nil {
		L.RaiseError("there is no command %q: %s, or a part's, such as drive.ahead", command.Do,
			wording.Instead(command.Do, sortedNames(calls)))
	}
	g.push(L, command)
	m(call{L, g.host, nil, command.Do})
}

// push gives the call its arguments.
func (g *guest) push(L *lua.LState, command talk.Command) {
	values := 0
	for i, v := range command.With {
		if hasNull(v) {
			L.RaiseError("%s: value %d is null, not a number: it was NaN or infinite, or there was none", command.Do, i+1)
		}
		L.Push(g.value(L, v, &values))
	}
}

// hasNull tells whether a value is null or has one: what programs write for a number that JSON has no word for.
func hasNull(v any) bool {
	switch v := v.(type) {
	case []any:
		return slices.ContainsFunc(v, hasNull)
	case map[string]any:
		return slices.ContainsFunc(slices.Collect(maps.Values(v)), hasNull)
	}
	return v == nil
}

// The most values that the arguments of a call may have.
const maxValues = 1000

// value is a JSON value for Lua.
func (g *guest) value(L *lua.LState, v any, values *int) lua.LValue {
	if *values++; *values > maxValues {
		L.RaiseError("the arguments have more than %d values", maxValues)
	}
	switch v := v.(type) {
	case float64:
		return lua.LNumber(v)
	case bool:
		return lua.LBool(v)
	case string:
		g.host.box.Hold(L, len(v))
		return lua.LString(v)
	case []any:
		t := L.CreateTable(len(v), 0)
		for i, member := range v {
			t.RawSetInt(i+1, g.value(L, member, values))
		}
		return t
	case map[string]any:
		t := L.CreateTable(0, len(v))
		for _, name := range sortedNames(v) {
			t.RawSetString(name, g.value(L, v[name], values))
		}
		return t
	}
	return lua.LNil
}

// guestWait waits until a time, or until something that was begun has ended.
type guestWait struct {
	guest *guest
	until float64 // s
}

func (w *guestWait) over(h *Host) bool {
	for _, p := range w.guest.pending {
		p.over = p.over || p.wait.over(h)
	}
	return w.guest.someOver() || h.now >= w.until-slack
}

func (w *guestWait) activity() record.Activity {
	for _, p := range w.guest.pending {
		if does := p.wait.activity(); does != record.Waiting {
			return does
		}
	}
	return record.Waiting
}

func (w *guestWait) abandon(h *Host) {
	for _, p := range w.guest.pending {
		p.wait.abandon(h)
	}
}

// poseOf is a pose in a routine's units.
func poseOf(p geom.Pose) talk.Pose {
	return talk.Pose{X: p.X / mm, Y: p.Y / mm, Heading: p.Heading / deg}
}
