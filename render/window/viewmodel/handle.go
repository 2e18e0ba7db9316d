package viewmodel

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/literal"
)

// HandleKind is what moving a handle changes.
type HandleKind string

const (
	PointHandle HandleKind = "point"    // where a motion goes
	TurnHandle  HandleKind = "turn"     // which way it faces in the end
	PullHandle  HandleKind = "distance" // how far it goes
)

// Handle is a place on the field that the numbers of one call of the routine make.
type Handle struct {
	Kind   HandleKind
	Motion string // as the routine calls it: "visit"; "here" and "start" too
	Line   int
	At     geom.Vec  // m, where it is taken
	About  geom.Pose // of a turn: the place that it is about; of a pull: the pose that it goes from
	Why    string    // nothing of it can be moved: what computes it; "": it can
	T, End float64   // s, when the motion ran; of the start End is before T
	Number int       // of its call's points, from 0

	x, y *literal.Number // of a point; nil: computed. Else x alone
}

const startName = "start" // what the start's handles have in place of a motion

// Name tells handles apart.
func (h Handle) Name() string { return fmt.Sprintf("%s %s %d.%d", h.Motion, h.Kind, h.Line, h.Number) }

// armLength is how far from its middle a turn is taken; of the start it is half of that.
const armLength = 0.3 // m

// Starts reports whether it is the place at which the robot starts.
func (h Handle) Starts() bool { return h.Motion == startName && h.Kind == PointHandle }

func (h Handle) arm() geom.Vec {
	if h.Motion == startName {
		return geom.Vec{X: armLength / 2}
	}
	return geom.Vec{X: armLength}
}

// Handles are those of what the first robot's routine did, in the order of time. A call that ran more than once has
// those of its first time.
func (d *Model) Handles() []Handle {
	run, source := d.Now, d.Source()
	if run == nil || d.Driving() || len(run.Record.Header.Robots) == 0 ||
		!d.ran(run, source) {
		return nil
	}
	if d.handlesOf == run && d.handlesIn == source.Text {
		return d.handles
	}
	d.handlesOf, d.handlesIn, d.handles = run, source.Text, d.findHandles(run, source)
	return d.handles
}

func (d *Model) findHandles(run *Run, source Source) []Handle {
	text, calls := source.Text, literal.Calls(source.Text)
	file := cmp.Or(source.Module, run.Record.Header.Robots[0].Routine.Name)
	ran := map[string]int{} // motions of a line so far
	var list []Handle
	for i, e := range run.Record.Events {
		if e.Kind != record.MotionStart || e.Robot != 0 || e.File != file {
			continue
		}
		var there []literal.Call
		for _, c := range calls {
			if c.Name == e.What && c.Of == "drive" && c.Line <= e.Line && e.Line <= c.Last {
				there = append(there, c)
			}
		}
		key := fmt.Sprint(e.Line, e.What)
		if len(there) > 0 {
			m := ranMotion{run: run, text: text, call: there[ran[key]%len(there)], from: e.T, to: endOf(run, i)}
			for _, h := range d.handlesFor(m) {
				if !slices.ContainsFunc(list, func(o Handle) bool { return o.Name() == h.Name() && o.x == h.x && o.y == h.y }) {
					list = append(list, h)
				}
			}
		}
		ran[key]++
	}
	return append(d.startHandles(run, source), d.withPlaces(list, run, text, calls)...)
}

// startHandles are those of the start that the text has, while the robot starts there.
func (d *Model) startHandles(run *Run, source Source) []Handle {
	tables := literal.Tables(source.Text, startName)
	if len(tables) != 1 || d.arranged.Start != nil || source.Module != "" {
		return nil
	}
	call := literal.Call{Name: startName, Line: tables[0].Line, Args: tables}
	return d.handlesFor(ranMotion{run: run, text: source.Text, call: call, to: -1})
}

// withPlaces are handles with those of the places that the odometry was told, each beside the motion after it.
func (d *Model) withPlaces(list []Handle, run *Run, text string, calls []literal.Call) []Handle {
	for _, c := range calls {
		if c.Name != "here" || c.Of == "" {
			continue
		}
		m := ranMotion{run: run, text: text, call: c}
		told := d.handlesFor(m)
		if len(told) == 0 {
			continue
		}
		at, ok := d.toldAt(told, run)
		if !ok {
			continue
		}
		next := slices.IndexFunc(list, func(h Handle) bool { return h.T >= at })
		m.from, m.to = at, run.Index.End()
		if next >= 0 {
			m.from, m.to = list[next].T, list[next].End
		} else {
			next = len(list)
		}
		list = slices.Insert(list, next, d.handlesFor(m)...)
	}
	return list
}

// toldAt is when the belief first was at a place that is written whole: the odometry was told it no later than that.
func (d *Model) toldAt(told []Handle, run *Run) (t float64, ok bool) {
	const off, turned = 0.05, 5 * deg // what a robot at speed goes on until the next sample
	pose := d.asWritten(geom.Pose{X: told[0].At.X, Y: told[0].At.Y})
	for i, sample := range run.Record.Samples {
		state, has := run.Index.Robot(0, i)
		if !has {
			continue
		}
		belief := d.asWritten(state.Belief.Geom())
		near := math.Hypot(belief.X-pose.X, belief.Y-pose.Y) < off
		if near && len(told) > 1 && told[1].x != nil {
			near = math.Abs(geom.WrapAngle(belief.Heading-told[1].x.Value()*deg)) < turned
		}
		if near {
			return sample.T, told[0].Why == ""
		}
	}
	return 0, false
}

// endOf is when the motion ended that an event began.
func endOf(run *Run, start int) float64 {
	began := run.Record.Events[start]
	for _, e := range run.Record.Events[start:] {
		if e.Kind == record.MotionEnd && e.Robot == began.Robot && e.What == began.What && e.T >= began.T {
			return e.T
		}
	}
	return run.Index.End()
}

// ranMotion is a motion as it ran, with the call that the text has for it.
type ranMotion struct {
	run      *Run
	text     string
	call     literal.Call
	from, to float64 // s
}

// belief is where the robot thought it was at a time.
func (m ranMotion) belief(t float64) geom.Pose {
	if state, ok := m.run.Index.Robot(0, max(m.run.Index.At(t), 0)); ok {
		return state.Belief.Geom()
	}
	return geom.Pose{}
}

func (d *Model) handlesFor(m ranMotion) []Handle {
	args := m.call.Args
	if len(args) == 0 {
		return nil
	}
	var list []Handle
	add := func(h Handle) {
		h.Motion, h.Line, h.T, h.End, h.Number = m.call.Name, m.call.Line, m.from, m.to, len(list)
		list = append(list, h)
	}
	whole := args
	if args[0].List != nil && m.call.Name != "trace" {
		whole = members(args[0].List, "x", "y", "heading")
	}
	switch m.call.Name {
	case "visit", "dock", "here", startName:
		if len(whole) < 2 {
			return nil
		}
		point := d.pointHandle(m, whole[0], whole[1])
		add(point)
		if m.call.Name != "visit" && len(whole) > 2 {
			add(d.turnHandle(m, whole[2], point.At))
		}
	case "face":
		if args[0].List == nil {
			add(d.turnHandle(m, args[0], m.belief(m.to).At()))
		} else if len(whole) > 1 {
			add(d.pointHandle(m, whole[0], whole[1]))
		}
	case "ahead":
		add(pullHandle(m, args[0]))
	case "trace":
		for _, p := range args[0].List {
			if point := members(p.List, "x", "y"); len(point) == 2 {
				add(d.pointHandle(m, point[0], point[1]))
			}
		}
	}
	return list
}

// members are the values of a table by their names, or by their places.
func members(list []literal.Value, names ...string) []literal.Value {
	var out []literal.Value
	for i, name := range names {
		at := slices.IndexFunc(list, func(v literal.Value) bool { return v.Key == name })
		if at < 0 && i < len(list) && list[i].Key == "" {
			at = i
		}
		if at < 0 {
			return out
		}
		out = append(out, list[at])
	}
	return out
}

const (
	mm  = 1e-3          // m
	deg = math.Pi / 180 // rad
)

// pointHandle is where two numbers are; what of them is computed is read off where the robot came to.
func (d *Model) pointHandle(m ranMotion, x, y literal.Value) Handle {
	h := Handle{Kind: PointHandle, x: x.Number, y: y.Number}
	at := d.asWritten(m.belief(m.to))
	if x.Number != nil {
		at.X = x.Number.Value() * mm
	}
	if y.Number != nil {
		at.Y = y.Number.Value() * mm
	}
	if x.Number == nil && y.Number == nil {
		h.Why = m.computes(x)
	}
	h.At = d.asWritten(at).At()
	return h
}

func (d *Model) turnHandle(m ranMotion, heading literal.Value, about geom.Vec) Handle {
	h := Handle{Kind: TurnHandle, Motion: m.call.Name, x: heading.Number}
	if pose := m.belief(m.to); heading.Number != nil {
		h.About = d.asWritten(geom.Pose{Heading: heading.Number.Value() * deg})
	} else {
		h.Why, h.About = m.computes(heading), pose
	}
	h.About.X, h.About.Y = about.X, about.Y
	h.At = h.About.ToWorld(h.arm())
	return h
}

func pullHandle(m ranMotion, distance literal.Value) Handle {
	h := Handle{Kind: PullHandle, x: distance.Number, About: m.belief(m.from)}
	if distance.Number != nil {
		h.At = h.About.ToWorld(geom.Vec{X: distance.Number.Value() * mm})
	} else {
		h.Why, h.At = m.computes(distance), m.belief(m.to).At()
	}
	return h
}

// computes says which line computes a value: that of the variable that it is, or its own.
func (m ranMotion) computes(v literal.Value) string {
	words := m.text[v.From:v.To]
	line, tokens := v.Line, literal.Code(m.text)
	for i, t := range tokens {
		if t.From >= v.From {
			break
		}
		if t.Of(m.text) == words && i+1 < len(tokens) && tokens[i+1].Of(m.text) == "=" {
			line = t.Line
		}
	}
	return fmt.Sprintf("computed in line %d: %s", line, strings.Join(strings.Fields(words), " "))
}

// HandlesNow are the handles to show: those of the motion under way, or of the next, and in arranging all. The start's
// show while the robot stands there; in arranging the robot itself is dragged.
func (d *Model) HandlesNow() []Handle {
	all := d.Handles()
	if d.Mode != Arrange && (d.Mode != Watch || d.Playing) {
		return nil
	}
	next := slices.IndexFunc(all, func(h Handle) bool { return h.End > d.Time })
	var now []Handle
	for _, h := range all {
		switch {
		case h.Motion == startName:
			if d.Mode == Watch && d.Time == 0 {
				now = append(now, h)
			}
		case d.Mode == Arrange, next >= 0 && h.T == all[next].T, h.Name() == d.grasped.name && d.Time == d.grasped.time:
			now = append(now, h)
		}
	}
	return now
}

// grasped is the handle that was taken last, and the moment (s) shown then: while that is shown it stays, though the
// motion may end before it now.
type grasped struct {
	name string
	time float64
}

// HoldHandle takes a handle in hand.
func (d *Model) HoldHandle(h Handle) error {
	d.grasped = grasped{h.Name(), d.Time}
	first, last := h.span()
	if first == nil {
		return fmt.Errorf("%s is %s", h.Kind, h.Why)
	}
	return d.Hold(first.From, last.To)
}

// span is from the first number of a handle to its last.
func (h Handle) span() (first, last *literal.Number) {
	first, last = h.x, h.x
	if h.y != nil && (first == nil || h.y.From < first.From) {
		first = h.y
	}
	if h.y != nil && (last == nil || h.y.To > last.To) {
		last = h.y
	}
	return first, last
}

// MoveHandle tries the numbers that bring the handle in hand to a place, and tells where it is then.
func (d *Model) MoveHandle(h Handle, to geom.Vec) Handle {
	t := d.trial
	if t == nil {
		return h
	}
	x, y := h.x, h.y
	switch h.Kind {
	case PointHandle:
		at := d.asWritten(geom.Pose{X: to.X, Y: to.Y})
		now := d.asWritten(geom.Pose{X: h.At.X, Y: h.At.Y})
		if x, now.X = near(x, at.X, mm, now.X); y != nil {
			y, now.Y = near(y, at.Y, mm, now.Y)
		}
		h.At = d.asWritten(now).At()
	case TurnHandle:
		heading := d.asWritten(geom.Pose{Heading: math.Atan2(to.Y-h.About.Y, to.X-h.About.X)}).Heading
		was := x.Value() * deg
		heading = geom.WrapAngle(heading)
		if was > math.Pi && heading < 0 { // as it is written: 270, not -90
			heading += 2 * math.Pi
		}
		x, heading = near(x, heading, deg, 0)
		h.About.Heading = d.asWritten(geom.Pose{Heading: heading}).Heading
		h.At = h.About.ToWorld(h.arm())
	case PullHandle:
		sin, cos := math.Sincos(h.About.Heading)
		along := (to.X-h.About.X)*cos + (to.Y-h.About.Y)*sin
		x, along = near(x, along, mm, 0)
		h.At = h.About.ToWorld(geom.Vec{X: along})
	}
	d.Try(d.respelt(h, x, y))
	return h
}

// near is the number nearest to a value in SI, and that number's own value; otherwise stands for one that is computed.
func near(n *literal.Number, value, unit, otherwise float64) (*literal.Number, float64) {
	if n == nil {
		return nil, otherwise
	}
	now := n.Near(value / unit)
	return &now, now.Value() * unit
}

// respelt is the text from a handle's first number to its last with others in their place.
func (d *Model) respelt(h Handle, x, y *literal.Number) string {
	first, last := h.span()
	text := d.trial.edit.text
	out, at := "", first.From
	for _, n := range []*literal.Number{x, y} {
		if n != nil && n.From < at {
			x, y = y, x // y stands first
		}
	}
	for _, n := range []*literal.Number{x, y} {
		if n != nil {
			out += text[at:n.From] + n.Text
			at = n.To
		}
	}
	return out + text[at:last.To]
}
