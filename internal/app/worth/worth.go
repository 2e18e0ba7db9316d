// Package worth tells what the things of a field are worth to a robot: the points that each brings by the game's own
// scoring, the way there and on by the robot's own motions, the time of its mechanisms, and the chance that its spread
// leaves.
package worth

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/scripting/motion"
	"chalkfield/sim"
	"chalkfield/sim/robot"
	"chalkfield/sim/scoring"
)

// Result is what is found.
type Result struct {
	Field  *fields.Field `json:"-"`
	Title  string        `json:"field"`
	Robot  string        `json:"robot"`
	Side   string        `json:"side"`
	Start  geom.Pose     `json:"start"`
	Phase  string        `json:"phase"`
	Tasks  []*Task       `json:"tasks"`          // the best first
	Driver float64       `json:"driver_seconds"` // the longest driver phase; 0: none
	Cycles []*Cycle      `json:"cycles"`         // in it
	Alone  []string      `json:"rules_of_no_thing"`
	Places []string      `json:"places"`
	From   [][]float64   `json:"seconds_between"` // from a place to another, straight or round what stands there
}

// Task is something to do, and what it brings.
type Task struct {
	What      string   `json:"what"`
	Thing     string   `json:"thing"`
	Place     string   `json:"place"`
	Rules     []string `json:"rules"`
	Points    float64  `json:"points"`
	Each      float64  `json:"more_for_each_piece"` // in a goal that is moved
	Drive     Way      `json:"drive"`
	Mechanism float64  `json:"mechanism"` // s
	Chance    float64  `json:"chance"`
	PerSecond float64  `json:"points_per_second"`
	At        geom.Vec `json:"at"`            // of the thing, m
	Not       string   `json:"not,omitempty"` // why it cannot be done
}

// Seconds is all that it takes.
func (t *Task) Seconds() float64 { return t.Drive.Seconds + t.Mechanism }

// Cycle is what is done again and again: to fetch pieces, and put them into a goal.
type Cycle struct {
	Place     string  `json:"place"`
	Pieces    float64 `json:"pieces"` // a cycle, on average
	Points    float64 `json:"points"` // a cycle
	Seconds   float64 `json:"seconds"`
	Fit       int     `json:"fit"` // cycles in the phase
	Total     float64 `json:"total"`
	Ends      string  `json:"ends"` // why no more fit
	PerSecond float64 `json:"points_per_second"`
}

// Options are what is looked at.
type Options struct {
	Side    string // "": the first
	Session string // "": the first
	Start   *geom.Pose
}

// finder works it out.
type finder struct {
	ctx     context.Context
	f       *fields.Field
	land    *land
	machine *machine
	judge   *judge
	still   *still
	start   geom.Pose
	side    int
}

// Find works out what a field is worth to a robot.
func Find(ctx context.Context, f *fields.Field, r *robot.Robot, o Options) (*Result, error) {
	session, err := f.SessionNamed(o.Session)
	if err != nil {
		return nil, err
	}
	side := 0
	if o.Side != "" {
		if side, err = f.SideIndex(o.Side); err != nil {
			return nil, err
		}
	}
	start, known := f.StartFor(side)
	if o.Start != nil {
		start, known = *o.Start, true
	}
	if !known {
		if start, known = sim.Room(sim.Config{Field: f, Robots: []sim.Entry{{Spec: r, Side: side}}}); !known {
			return nil, fmt.Errorf("%s has no room for %s", f.Title, r.Title)
		}
	}
	w := &finder{ctx: ctx, f: f, land: newLand(f, r), still: &still{Robot: r, model: r.Model()}, start: start, side: side}
	if w.judge, err = newJudge(f, r, side, session.Phases[0], start); err != nil {
		return nil, err
	}
	if w.machine, err = newMachine(ctx, r); err != nil {
		return nil, err
	}
	out := &Result{Field: f, Title: f.Title, Robot: r.Title, Side: f.Sides[side].Name, Start: start,
		Phase: f.Phases[session.Phases[0]].Name}
	for _, find := range []func() ([]*Task, error){w.pieces, w.hauls, w.parks} {
		list, err := find()
		if err != nil {
			return nil, err
		}
		out.Tasks = append(out.Tasks, list...)
	}
	out.Alone = w.alone(out.Tasks)
	slices.SortStableFunc(out.Tasks, func(a, b *Task) int {
		return cmp.Or(cmp.Compare(b.PerSecond, a.PerSecond), cmp.Compare(a.Seconds(), b.Seconds()))
	})
	out.Driver = w.driverSeconds()
	if out.Cycles, err = w.cycles(out.Driver); err != nil {
		return nil, err
	}
	return out, w.between(out)
}

// way begins one at a place.
func way(from geom.Pose) Way { return Way{End: from} }

// to drives to a place, past what stands there, and says whether there is a way.
func (w *finder) to(v *Way, at geom.Vec) error {
	points := w.land.between(v.End.At(), at)
	if points == nil {
		v.blocked = true
		return nil
	}
	for _, p := range points {
		if err := v.visit(w.still, p); err != nil {
			return err
		}
	}
	return nil
}

// last is how far before an end the robot drives straight and slowly, m.
const last = 0.2

// approach drives to a pose that is come to straight, forwards or backwards, over the last stretch.
func (w *finder) approach(v *Way, end geom.Pose, backwards bool) error {
	way := last
	if backwards {
		way = -last
	}
	if err := w.to(v, end.ToWorld(geom.Vec{X: -way})); err != nil || v.blocked {
		return err
	}
	if err := v.face(w.still, end.Heading); err != nil {
		return err
	}
	return v.ahead(w.still, way)
}

// fits tells whether the robot's middle may be at a place.
func (w *finder) fits(at geom.Vec) bool {
	return w.land.clear(at) >= w.land.wide-room && w.land.stands(at)
}

// directions are those from which a thing is come to, the straight one first.
func directions(from, to geom.Vec) []float64 {
	list := []float64{bearing(to.X-from.X, to.Y-from.Y)}
	for i := range 8 {
		list = append(list, float64(i)*math.Pi/4)
	}
	return list
}

// pick goes on to where a hand takes a piece. Of the directions the first is taken that has room.
func (w *finder) pick(v Way, h *hand, at geom.Vec) (Way, error) {
	for _, u := range directions(v.End.At(), at) {
		end := geom.Pose{Heading: u}
		if h.reach < 0 {
			end.Heading += math.Pi
		}
		off := geom.Rotate(geom.Vec{X: h.reach}, end.Heading)
		end.X, end.Y = at.X-off.X, at.Y-off.Y
		out := v
		out.Moves, out.Points = slices.Clone(v.Moves), slices.Clone(v.Points)
		if !w.fits(end.At()) || !w.fits(end.ToWorld(geom.Vec{X: -math.Copysign(last, h.reach)})) {
			continue
		}
		if err := w.approach(&out, end, h.reach < 0); err != nil || !out.blocked {
			return out, err
		}
	}
	v.blocked = true
	return v, nil
}

// put goes on to where a server puts pieces into a goal, and says by which chance it may.
func (w *finder) put(v Way, s *server, goal int) (best Way, chance float64, err error) {
	best.blocked = true
	g := &w.f.Goals[goal]
	kind := &w.f.GoalKinds[g.Kind]
	for _, u := range w.sides(goal) {
		end := w.stand(s, goal, u)
		out := v
		out.Moves, out.Points = slices.Clone(v.Moves), slices.Clone(v.Points)
		backwards := math.Abs(geom.WrapAngle(end.Heading-u)) < math.Pi/2
		if err := w.approach(&out, end, backwards); err != nil {
			return best, 0, err
		}
		if !out.blocked && (best.blocked || out.Seconds < best.Seconds) {
			best = out
		}
	}
	far := w.fromStart(g.At.At())
	if kind.Fixed {
		return best, within(s.offset, w.machine.sideways(far, 0)) * within(s.angle, w.machine.turned(0)), nil
	}
	c := w.machine.clamp
	return best, within(c.Offset, w.machine.sideways(far, w.f.Spread.GoalAt)) *
		within(c.Angle, w.machine.turned(w.f.Spread.GoalHeading)), nil
}

// sides are the directions, out of a goal, from which it is served: a fixed one's heading, and both ends of one that a
// clamp takes.
func (w *finder) sides(goal int) []float64 {
	at := w.f.Goals[goal].At
	if w.f.GoalKinds[w.f.Goals[goal].Kind].Fixed {
		return []float64{at.Heading}
	}
	return []float64{at.Heading, at.Heading + math.Pi}
}

// stand is where the robot stands to serve a goal from a direction.
func (w *finder) stand(s *server, goal int, u float64) geom.Pose {
	g := &w.f.Goals[goal]
	kind := &w.f.GoalKinds[g.Kind]
	_, high := kind.Shape.Bounds()
	out := geom.Unit(u)
	if kind.Fixed {
		far := high.X + w.machine.spec.Chassis.Length/2 + room
		return geom.Pose{X: g.At.X + float64(far*out.X), Y: g.At.Y + float64(far*out.Y),
			Heading: u + math.Pi - s.at.Heading}
	}
	c := w.machine.clamp.At
	end := geom.Pose{Heading: u + math.Pi - c.Heading}
	off := geom.Rotate(c.At(), end.Heading)
	end.X, end.Y = g.At.X-off.X, g.At.Y-off.Y
	return end
}

// serves tells whether a server can put pieces into a goal, and how long it takes beside the way: for the first one,
// and for each.
func (w *finder) serves(s *server, goal int) (first, each float64, can bool) {
	kind := &w.f.GoalKinds[w.f.Goals[goal].Kind]
	if kind.Height != "" {
		seconds, known := w.machine.lifts[kind.Height]
		if s.lift < 0 || !known {
			return 0, 0, false
		}
		first = seconds
	}
	if !kind.Fixed {
		if !s.clamps || w.machine.clamp == nil {
			return 0, 0, false
		}
		first += w.machine.clamp.Piston.Time
	}
	return first, s.seconds, true
}

// takes tells whether a goal takes a piece, and has room.
func (w *finder) takes(goal, piece int) bool {
	kind := &w.f.GoalKinds[w.f.Goals[goal].Kind]
	in := 0
	for _, p := range w.f.Pieces {
		if p.Goal == goal {
			in++
		}
	}
	return in < kind.Room && slices.Contains(kind.Takes, w.f.Pieces[piece].Kind)
}

// mine tells whether a piece may be had: it lies on the floor, or in the own robot.
func (w *finder) mine(piece int) (loaded, may bool) {
	p := &w.f.Pieces[piece]
	if w.judge.state.Pieces[piece].In.Robot() == 0 {
		return true, true
	}
	return false, p.Goal < 0 && w.judge.state.Pieces[piece].In == 0
}

// pieces are the tasks of pieces: each, by each set of rules, into the goal or zone where it brings the most a second.
func (w *finder) pieces() (list []*Task, err error) {
	for k := range w.f.Pieces {
		loaded, may := w.mine(k)
		if !may {
			continue
		}
		if err := w.ctx.Err(); err != nil {
			return nil, err
		}
		got, err := w.fetch(way(w.start), k, loaded)
		if err != nil {
			return nil, err
		}
		var kept []*Task // the best by each set of rules
		better := func(t *Task) {
			if t.Points <= 0 {
				return
			}
			if loaded {
				t.At = w.start.At()
			}
			for i, other := range kept {
				if slices.Equal(other.Rules, t.Rules) {
					if other.Not != "" || t.Not == "" && t.PerSecond > other.PerSecond {
						kept[i] = t
					}
					return
				}
			}
			kept = append(kept, t)
		}
		for _, g := range w.nearGoals(k) {
			t, err := w.intoGoal(k, g, got)
			if err != nil {
				return nil, err
			}
			better(t)
		}
		for z := range w.f.Zones {
			t, err := w.intoZone(k, z, got)
			if err != nil {
				return nil, err
			}
			better(t)
		}
		list = append(list, kept...)
	}
	return list, nil
}

// alike is how many goals of a kind and a side are looked at for a piece: the nearest by the straight line.
const alike = 3

// nearGoals are those that take a piece, the nearest of each kind and side.
func (w *finder) nearGoals(piece int) (list []int) {
	at := w.f.Pieces[piece].At
	far := func(g int) float64 {
		dx, dy := w.f.Goals[g].At.X-at.X, w.f.Goals[g].At.Y-at.Y
		return float64(dx*dx) + float64(dy*dy)
	}
	for g := range w.f.Goals {
		if w.takes(g, piece) {
			list = append(list, g)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(far(a), far(b)) })
	type sort struct{ kind, side int }
	seen := map[sort]int{}
	return slices.DeleteFunc(list, func(g int) bool {
		s := sort{w.f.Goals[g].Kind, w.f.Goals[g].Side}
		seen[s]++
		return seen[s] > alike
	})
}

// task begins one, with what it brings.
func (w *finder) task(what, thing, place string, at geom.Vec, before []float64, change func(*scoring.State)) *Task {
	t := &Task{What: what, Thing: thing, Place: place, At: at, Chance: 1}
	var rules []int
	t.Points, rules = w.judge.gain(before, change)
	for _, i := range rules {
		t.Rules = append(t.Rules, w.f.Rules[i].Name)
	}
	return t
}

// close works out what a second brings.
func (t *Task) close() *Task {
	if t.Drive.blocked {
		t.Not = "no way round what stands there"
	}
	if t.Not == "" && t.Seconds() > 0 {
		t.PerSecond = t.Points * t.Chance / t.Seconds()
	}
	return t
}

func (w *finder) intoGoal(piece, goal int, got fetched) (*Task, error) {
	p, g := &w.f.Pieces[piece], &w.f.Goals[goal]
	t := w.task(p.Name+" into "+g.Name, p.Name, g.Name, p.At.At(), w.judge.before, w.judge.into(piece, goal))
	if t.Points <= 0 {
		return t, nil
	}
	t.Not = "the robot has nothing that puts it there"
	for i := range w.machine.servers {
		s := &w.machine.servers[i]
		first, each, can := w.serves(s, goal)
		if !can {
			continue
		}
		one := *t
		one.Drive, one.Not, one.Chance = got.way, "", got.chance
		if !got.way.blocked {
			var placed float64
			var err error
			if one.Drive, placed, err = w.put(got.way, s, goal); err != nil {
				return nil, err
			}
			one.Chance *= placed
		}
		one.Mechanism = got.seconds + first + each
		if one.close(); t.Not != "" || one.PerSecond > t.PerSecond {
			*t = one
		}
	}
	return t, nil
}

// fetched is the way to a piece that is taken there.
type fetched struct {
	way     Way
	chance  float64
	seconds float64 // of the hand
}

// fetch goes to a piece and takes it by the quicker hand; one that is loaded is there.
func (w *finder) fetch(v Way, piece int, loaded bool) (best fetched, err error) {
	if loaded {
		return fetched{v, 1, 0}, nil
	}
	best.way = v
	best.way.blocked = true
	at := w.f.Pieces[piece].At.At()
	for i := range w.machine.hands {
		h := &w.machine.hands[i]
		out, err := w.pick(v, h, at)
		if err != nil {
			return best, err
		}
		if !out.blocked && (best.way.blocked || out.Seconds+h.seconds < best.way.Seconds+best.seconds) {
			best = fetched{out, within(h.tolerance, w.machine.sideways(w.fromStart(at), w.f.Spread.PieceAt)), h.seconds}
		}
	}
	return best, nil
}

// fromStart is how far a place is from the start, m: what the start's heading is off turns it about that.
func (w *finder) fromStart(at geom.Vec) float64 {
	return geom.Norm(geom.Vec{X: at.X - w.start.X, Y: at.Y - w.start.Y})
}

func (w *finder) intoZone(piece, zone int, got fetched) (*Task, error) {
	p, z := &w.f.Pieces[piece], &w.f.Zones[zone]
	middle := z.Shape.Centroid()
	t := w.task(p.Name+" into "+z.Name, p.Name, z.Name, p.At.At(), w.judge.before, w.judge.onto(piece, middle))
	if t.Points <= 0 {
		return t, nil
	}
	if len(w.machine.hands) == 0 {
		t.Not = "the robot has nothing to carry it with"
		return t, nil
	}
	v := got.way
	var err error
	if off := (geom.Vec{X: middle.X - v.End.X, Y: middle.Y - v.End.Y}); !v.blocked && geom.Norm(off) > 0 {
		u := geom.Direction(off)
		reach := math.Abs(w.machine.hands[0].reach)
		err = w.to(&v, geom.Vec{X: middle.X - float64(reach*u.X), Y: middle.Y - float64(reach*u.Y)})
	}
	t.Drive, t.Chance, t.Mechanism = v, got.chance, got.seconds+w.machine.hands[0].seconds
	return t.close(), err
}

// headings are those that a thing may have in a zone.
var headings = []float64{0, math.Pi / 2, math.Pi, -math.Pi / 2}

// hauls are the tasks of goals that are moved: each into each zone where it brings something; where what is in it
// counts more there, with as much as it may hold.
func (w *finder) hauls() (list []*Task, err error) {
	if w.machine.clamp == nil {
		return nil, nil
	}
	for g := range w.f.Goals {
		goal, kind := &w.f.Goals[g], &w.f.GoalKinds[w.f.Goals[g].Kind]
		if kind.Fixed {
			continue
		}
		for z := range w.f.Zones {
			t, err := w.haul(g, z)
			if err != nil {
				return nil, err
			}
			if t.Points > 0 { // else it has no way
				t.What = fmt.Sprintf("%s into %s", goal.Name, w.f.Zones[z].Name)
				if t.Each > 0 {
					t.What += fmt.Sprintf(", with %d in it", kind.Room)
				}
				list = append(list, t)
			}
		}
	}
	return list, nil
}

func (w *finder) haul(g, z int) (*Task, error) {
	goal, zone := &w.f.Goals[g], &w.f.Zones[z]
	v, chance, err := w.put(way(w.start), &server{}, g)
	if err != nil {
		return nil, err
	}
	none := &Task{}
	for _, end := range w.ends(&v, goal.At, zone.Shape) {
		moved := end.ToWorld(geom.Vec{X: -end.arm})
		move := func(s *scoring.State) {
			s.Goals[g] = geom.Pose{X: moved.X, Y: moved.Y, Heading: goal.At.Heading + end.Heading - v.End.Heading}
		}
		t := w.task("", goal.Name, zone.Name, goal.At.At(), w.judge.before, move)
		if w.more(t, g, move); t.Points <= 0 {
			continue
		}
		t.Drive, t.Chance, t.Mechanism = v, chance, w.machine.clamp.Piston.Time
		if !v.blocked {
			m, err := motion.Dock(end.Pose, motion.Options{Speed: hauling})
			call := fmt.Sprintf("dock(%.0f, %.0f, %.0f, {speed = %.0f})", 1000*end.X, 1000*end.Y,
				degrees(geom.WrapAngle(end.Heading)), 1000*hauling)
			if err := t.Drive.drive(w.still, call, m, err, end.Pose); err != nil {
				return nil, err
			}
		}
		return t.close(), nil
	}
	return none, nil
}

// more is what each piece in a goal brings more when the goal is moved: the goal is taken as full.
func (w *finder) more(t *Task, g int, move func(*scoring.State)) {
	for k := range w.f.Pieces {
		if _, may := w.mine(k); !may || !w.takes(g, k) {
			continue
		}
		filled := w.judge.rules(w.judge.into(k, g))
		each, rules := w.judge.gain(filled, all(w.judge.into(k, g), move))
		if t.Each = each - t.Points; t.Each > 0 {
			t.Points += t.Each * float64(w.f.GoalKinds[w.f.Goals[g].Kind].Room)
		}
		for _, i := range rules {
			if name := w.f.Rules[i].Name; !slices.Contains(t.Rules, name) {
				t.Rules = append(t.Rules, name)
			}
		}
		return
	}
}

// towed is where the robot ends with a goal behind it, whose middle is so far behind the robot's point, m.
type towed struct {
	geom.Pose
	arm float64
}

// grid is into how many places a zone is divided along each side, for where a goal may be left.
const grid = 5

// ends are where the robot may leave a goal in a zone, the nearest first: where there is room for the robot ahead of
// it.
func (w *finder) ends(v *Way, goal geom.Pose, zone geom.Polygon) (list []towed) {
	arm := geom.Norm(geom.Vec{X: goal.X - v.End.X, Y: goal.Y - v.End.Y})
	low, high := zone.Bounds()
	for i := range grid * grid {
		at := geom.Vec{X: low.X + float64((high.X-low.X)*(float64(i%grid)+0.5)/grid),
			Y: low.Y + float64((high.Y-low.Y)*(float64(i/grid)+0.5)/grid)}
		for _, h := range headings {
			ahead := geom.Unit(h)
			end := geom.Pose{X: at.X + float64(arm*ahead.X), Y: at.Y + float64(arm*ahead.Y), Heading: h}
			if zone.Contains(at) && w.land.clear(end.At()) >= w.machine.spec.Chassis.Length/2+room {
				list = append(list, towed{end, arm})
			}
		}
	}
	far := func(e towed) float64 {
		turn := math.Abs(geom.WrapAngle(e.Heading - v.End.Heading))
		return geom.Norm(geom.Vec{X: e.X - v.End.X, Y: e.Y - v.End.Y}) + float64(turnWorth*turn)
	}
	slices.SortStableFunc(list, func(a, b towed) int { return cmp.Compare(far(a), far(b)) })
	return list
}

// hauling is how fast a goal is moved, m/s; turnWorth is the way that a turn takes as long as, m/rad.
const (
	hauling   = 0.7
	turnWorth = 0.3
)

// parks are the tasks of the robot itself: to stand in a zone.
func (w *finder) parks() (list []*Task, err error) {
	for z := range w.f.Zones {
		zone := &w.f.Zones[z]
		middle := zone.Shape.Centroid()
		away := all(func(s *scoring.State) { s.Robots[0].At = geom.Pose{X: -100, Y: -100} })
		before := w.judge.rules(away)
		var best *Task
		for _, h := range headings {
			t := w.task("robot in "+zone.Name, "robot", zone.Name, middle, before, func(s *scoring.State) {
				s.Robots[0].At = geom.Pose{X: middle.X, Y: middle.Y, Heading: h}
			})
			if t.Points <= 0 || best != nil && t.Points <= best.Points {
				continue
			}
			v := way(w.start)
			if err := w.to(&v, middle); err != nil {
				return nil, err
			}
			v.blocked = v.blocked || !w.land.stands(middle)
			if !v.blocked {
				if err := v.face(w.still, h); err != nil {
					return nil, err
				}
			}
			t.Drive = v
			best = t.close()
		}
		if best != nil {
			list = append(list, best)
		}
	}
	return list, nil
}

// alone are the rules by which no single thing brings anything.
func (w *finder) alone(tasks []*Task) (list []string) {
	for _, r := range w.f.Rules {
		if !slices.ContainsFunc(tasks, func(t *Task) bool { return slices.Contains(t.Rules, r.Name) }) {
			list = append(list, fmt.Sprintf("%s (%s)", r.Name, r.Kind))
		}
	}
	return list
}

// between works out how long it takes from each goal and zone's middle to each other.
func (w *finder) between(out *Result) error {
	var at []geom.Vec
	for g := range w.f.Goals {
		out.Places, at = append(out.Places, w.f.Goals[g].Name), append(at, w.f.Goals[g].At.At())
	}
	for _, t := range out.Tasks {
		if t.Place != "" && !slices.Contains(out.Places, t.Thing) && len(out.Places) < mostPlaces {
			out.Places, at = append(out.Places, t.Thing), append(at, t.At)
		}
	}
	for i := range at {
		row := make([]float64, len(at))
		for k := range at {
			if i == k {
				continue
			}
			v := way(geom.Pose{X: at[i].X, Y: at[i].Y})
			v.End.Heading = bearing(at[k].X-at[i].X, at[k].Y-at[i].Y)
			if err := w.to(&v, at[k]); err != nil {
				return err
			}
			if row[k] = v.Seconds; v.blocked {
				row[k] = -1
			}
		}
		out.From = append(out.From, row)
	}
	return nil
}

const mostPlaces = 24
