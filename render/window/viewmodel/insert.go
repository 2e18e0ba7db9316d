package viewmodel

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/scripting"
	"chalkfield/scripting/literal"
)

// HoldDefault takes the default of a value in hand, with the one in force tried: Keep writes it.
func (d *Model) HoldDefault(p scripting.Param) error {
	d.ShowFile("")
	from, to, with, err := p.DefaultIn(d.Source().Text)
	if err != nil {
		return err
	}
	if err := d.Hold(from, to); err != nil {
		return err
	}
	d.trial.value = p.Name
	d.exchange(with)
	return nil
}

// without is a copy of values with one left out.
func without(values map[string]float64, name string) map[string]float64 {
	out := maps.Clone(values)
	delete(out, name)
	return out
}

// Adding is a call that can be put into the routine at the moment shown, for a place of the field.
type Adding string

const (
	AddVisit Adding = "visit"
	AddBack  Adding = "back"
	AddDock  Adding = "dock"
	AddFace  Adding = "face"
	AddTrace Adding = "trace"
	AddWait  Adding = "wait"
)

// CanAdd reports whether there is a routine whose text a call can be put into.
func (d *Model) CanAdd() bool {
	return d.Now != nil && !d.Driving() && d.hasRoutine() && !d.Setup.Entrants[0].Routine.Foreign() &&
		d.Now.Source.Same(d.main())
}

// HoldAdding takes the place after the line that the main task is at in hand, with a call tried there: Keep writes it.
// Where another place was pointed at than the call is for, that is told then.
func (d *Model) HoldAdding(what Adding, at, pointed geom.Vec) error {
	err := d.holdCall(func(bot string) string { return d.callFor(what, at, bot) })
	if from, to := LuaPoint(pointed), LuaPoint(at); err == nil && from != to && what != AddFace {
		d.trial.told = fmt.Sprintf(" (%s was pointed at; it was brought to what is near)", from)
	}
	return err
}

// BesideFixed is where the robot under test stands, coming from where it is, in front of a goal that stands fixed, or
// with its back to it; any other thing is driven to its middle.
func (d *Model) BesideFixed(thing Thing, at geom.Vec, back bool) geom.Vec {
	robot := Thing{RobotThing, 0}
	pose, ok := d.poseBefore()
	if !ok || thing.Kind != GoalThing || !d.Now.isFixed(thing) {
		return at
	}
	goal, _ := d.Now.PoseOf(thing, d.Time)
	way := math.Atan2(pose.Y-goal.Y, pose.X-goal.X)
	own := 0.0 // towards the goal
	if back {
		own = math.Pi
	}
	far := besideFixed + reach(d.Now.Outline(thing), way-goal.Heading) + reach(d.Now.Outline(robot), own)
	sin, cos := math.Sincos(way)
	return geom.Vec{X: goal.X + far*cos, Y: goal.Y + far*sin}
}

// reach is how far a shape goes in a direction from its middle.
func reach(shape geom.Polygon, way float64) float64 {
	sin, cos := math.Sincos(way)
	most := 0.0
	for _, v := range shape {
		most = math.Max(most, v.X*cos+v.Y*sin)
	}
	return most
}

const besideFixed = 0.02 // m between the robot and a fixed goal that it is driven to

func (d *Model) holdCall(write func(bot string) string) error {
	if !d.CanAdd() {
		return errors.New("the text shown is not what ran")
	}
	d.ShowFile("")
	spot, err := d.spot()
	if err != nil {
		return err
	}
	call := write(spot.bot)
	text := d.Source().Text
	if _, err := d.Setup.Entrants[0].Routine.WithText("", text[:spot.from]+spot.with(call)+text[spot.to:]); err != nil {
		return fmt.Errorf("it cannot stand there: %w", err)
	}
	if err := d.Hold(spot.from, spot.to); err != nil {
		return err
	}
	d.exchange(spot.with(call))
	d.trial.edit.What = ""
	d.trial.added, d.trial.line = call, 1+strings.Count(text[:spot.from]+spot.before, "\n")
	return nil
}

// callFor is the Lua of a call, in the coordinates of the routine's side.
func (d *Model) callFor(what Adding, at geom.Vec, bot string) string {
	towards := 0.0
	if pose, ok := d.poseBefore(); ok {
		towards = math.Atan2(at.Y-pose.Y, at.X-pose.X)
	}
	own := d.asWritten(geom.Pose{X: at.X, Y: at.Y, Heading: towards})
	x, y := millimetres(own.X), millimetres(own.Y)
	heading := tidy(WholeTurn(geom.Degrees(own.Heading)), 0)
	switch what {
	case AddVisit:
		return fmt.Sprintf("%s.drive:visit(%s, %s)", bot, x, y)
	case AddBack:
		return fmt.Sprintf("%s.drive:visit(%s, %s, {reverse = true})", bot, x, y)
	case AddDock:
		return fmt.Sprintf("%s.drive:dock(%s, %s, %s)", bot, x, y, heading)
	case AddFace:
		return fmt.Sprintf("%s.drive:face(%s)", bot, heading)
	case AddTrace:
		return fmt.Sprintf("%s.drive:trace({{%s, %s}})", bot, x, y)
	}
	return "wait(0.5)"
}

// poseBefore is where the robot under test is when what is added begins: where the line ends that it is put after.
func (d *Model) poseBefore() (geom.Pose, bool) {
	t := d.Time
	if spot, err := d.spot(); err == nil && d.Source().Module == "" && spot.line > 0 {
		if left, ok := d.Now.leavesFrom(0, spot.line, t); ok {
			t = left
		}
	}
	return d.Now.PoseOf(Thing{RobotThing, 0}, t)
}

// added is the line that was added or chosen last for what is added next, the text that it stands in, and the moment
// (s) shown after it.
type added struct {
	line int
	text string
	time float64
}

// addingSpot is a stretch of the text with what goes before a call that is put there, and after it.
type addingSpot struct {
	from, to      int
	before, after string
	bot           string // as the robot is called there
	where         string // for a person: "after line 7"
	line          int    // that it is put after; 0: none
}

func (s addingSpot) with(call string) string { return s.before + call + s.after }

// spot is the place after the line of the moment shown, or after what was added at it last; before the first line where
// nothing runs yet; at the end of the function of the autonomous phase where nothing runs any more.
func (d *Model) spot() (addingSpot, error) {
	text := d.Source().Text
	newline := newlineOf(text)
	if d.added.line > 0 && d.added.text == text && d.added.time == d.Time {
		return spotAfter(text, d.added.line, newline)
	}
	if lit := d.LitLines(); len(lit) > 0 && lit[0] > 0 {
		return spotAfter(text, lit[0], newline)
	}
	if first := d.Now.FirstLine(0); first > 0 && d.Time <= d.firstMoment() {
		from, to := lineOf(text, first)
		line := text[from:to]
		indent := indentOf(line)
		return addingSpot{from: from, to: to, before: indent, after: newline + line, bot: botIn(text, to),
			where: fmt.Sprintf("before line %d: %s", first, inShort(line))}, nil
	}
	return bodyEnd(text, newline)
}

// AddUnder makes what is added next stand after a line of the routine, as long as this moment is shown.
func (d *Model) AddUnder(line int) {
	if d.Source().Module == "" {
		d.added = added{line, d.Source().Text, d.Time}
	}
}

// AddedLine is the line that was added or chosen last for what is added next; 0: there is none.
func (d *Model) AddedLine() int {
	if d.added.text != d.Source().Text {
		return 0
	}
	return d.added.line
}

// AddsWhere says where what is added next will stand, "" where that is not known: in a text that is not shown.
func (d *Model) AddsWhere() string {
	if !d.CanAdd() || d.Source().Module != "" {
		return ""
	}
	spot, err := d.spot()
	if err != nil {
		return ""
	}
	return spot.where
}

// firstMoment is when the main task first stands at a line.
func (d *Model) firstMoment() float64 {
	for i := range d.Now.Record.Samples {
		if state, ok := d.Now.Index.Robot(0, i); ok && len(state.Lines) > 0 && state.Lines[0] > 0 {
			return d.Now.Record.Samples[i].T
		}
	}
	return math.Inf(1)
}

// leaves is the last moment at which a robot's main task stands at a line.
func (r *Run) leaves(robot, line int) (t float64, ok bool) {
	for i := range r.Record.Samples {
		if state, has := r.Index.Robot(robot, i); has && len(state.Lines) > 0 && state.Lines[0] == line {
			t, ok = r.Record.Samples[i].T, true
		}
	}
	return t, ok
}

// leavesFrom is the end of the stretch of a line that is under way at a time, else the last moment at which the main
// task stands there.
func (r *Run) leavesFrom(robot, line int, now float64) (t float64, ok bool) {
	for i := range r.Record.Samples {
		if r.Record.Samples[i].T < now {
			continue
		}
		state, has := r.Index.Robot(robot, i)
		if !has || len(state.Lines) == 0 || state.Lines[0] != line {
			break
		}
		t, ok = r.Record.Samples[i].T, true
	}
	if ok {
		return t, true
	}
	return r.leaves(robot, line)
}

// spotAfter is the place after the statement that begins in a line, or in the block that the line opens.
func spotAfter(text string, line int, newline string) (addingSpot, error) {
	from, _ := lineOf(text, line)
	depth, end := 0, -1
	opens := false
	tokens := literal.Code(text)
	for i, t := range tokens {
		if t.From < from {
			continue
		}
		word := t.Of(text)
		switch word {
		case "(", "{", "[":
			depth++
		case ")", "}", "]":
			depth--
		}
		opens = word == "then" || word == "do" || word == "else" || word == "repeat"
		if last := i+1 == len(tokens); depth <= 0 && (last || tokens[i+1].Line > t.Line) {
			end = t.To
			break
		}
	}
	if end < 0 {
		return addingSpot{}, fmt.Errorf("line %d is not there any more", line)
	}
	if stop := strings.IndexByte(text[end:], '\n'); stop >= 0 {
		end += stop
	} else {
		end = len(text)
	}
	whole := strings.TrimSuffix(text[from:end], "\r")
	indent := indentOf(whole)
	if opens {
		indent += "  "
	}
	return addingSpot{from: from, to: from + len(whole), before: whole + newline + indent, bot: botIn(text, end),
		line: line, where: fmt.Sprintf("after line %d: %s", line, inShort(whole))}, nil
}

// bodyEnd is the end of the function of the autonomous phase.
func bodyEnd(text, newline string) (addingSpot, error) {
	tokens := literal.Code(text)
	word := func(i int) string {
		if i >= len(tokens) {
			return ""
		}
		return tokens[i].Of(text)
	}
	for i := range tokens {
		if word(i) != "auto" || word(i+1) != "=" || word(i+2) != "function" || word(i+3) != "(" || word(i+5) != ")" {
			continue
		}
		last, depth := i+6, 1
		for ; last < len(tokens); last++ {
			switch word(last) {
			case "function", "if", "do", "repeat":
				depth++
			case "end", "until":
				depth--
			}
			if depth == 0 {
				break
			}
		}
		if last == len(tokens) {
			break
		}
		from, to := tokens[last-1].To, tokens[last].From
		line := strings.LastIndexByte(text[:tokens[i].From], '\n') + 1
		indent := indentOf(text[line:from])
		remarks := strings.TrimRight(text[from:to], " \t\r\n")
		return addingSpot{from: from, to: to, before: remarks + newline + indent + "  ", after: newline + indent,
			bot: word(i + 4), where: "at the end of the routine"}, nil
	}
	return addingSpot{}, errors.New("no line runs here: begin with `auto = function(bot) end` in the routine")
}

// lineOf is where a line begins and ends, without its end.
func lineOf(text string, line int) (from, to int) {
	for ; line > 1; line-- {
		next := strings.IndexByte(text[from:], '\n')
		if next < 0 {
			break
		}
		from += next + 1
	}
	to = len(text)
	if next := strings.IndexByte(text[from:], '\n'); next >= 0 {
		to = from + next
	}
	return from, from + len(strings.TrimSuffix(text[from:to], "\r"))
}

// newlineOf is what ends a text's lines.
func newlineOf(text string) string {
	if strings.Contains(text, "\r\n") {
		return "\r\n"
	}
	return "\n"
}

func indentOf(line string) string { return line[:len(line)-len(strings.TrimLeft(line, " \t"))] }

// botIn is what the robot is called before a place: the argument of the function that was begun last.
func botIn(text string, before int) string {
	bot := "bot"
	tokens := literal.Code(text)
	for i := 0; i+1 < len(tokens) && tokens[i+1].To <= before; i++ {
		if tokens[i].Kind == literal.Name && tokens[i+1].Of(text) == "." && i+2 < len(tokens) &&
			tokens[i+2].Of(text) == "drive" {
			bot = tokens[i].Of(text)
		}
	}
	return bot
}
