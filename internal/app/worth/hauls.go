package worth

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/scripting/motion"
	"chalkfield/sim/scoring"
)

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
	v, err := w.put(way(w.start), &server{}, g)
	if err != nil {
		return nil, err
	}
	chance := 1.0
	if !v.blocked {
		takes, err := w.serverPuts(&v, nil, g)
		if err != nil {
			return nil, err
		}
		chance = takes.mean()
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
				geom.Degrees(geom.WrapAngle(end.Heading)), 1000*hauling)
			if err := t.Drive.drive(w.still, call, m, err, end.Pose); err != nil {
				return nil, err
			}
			if err := w.tow(&t.Drive); err != nil {
				return nil, err
			}
		}
		return t.close(), nil
	}
	return none, nil
}

// tow rehearses the last move of a way, with a goal behind the robot: its mass and the floor under it hold the robot
// back, so that its plan waits for it. Where that does not come to an end in time the plan's time stays.
func (w *finder) tow(v *Way) error {
	n := len(v.Moves) - 1
	before := Way{Moves: v.Moves[:n]}
	text := fmt.Sprintf(`return routine {title = "tow", side = %q, auto = function(bot)
%sbot[%q]:shut() wait(%g)
local r = bot.drive:%s
if r.ok then result("took", r.took, "s") end
end}`, w.f.Sides[w.side].Name, before.Lua(), w.machine.clampName, w.machine.clamp.Piston.Time+0.05, v.Moves[n].Call)
	took, err := w.machine.took(w.ctx, w.patient(), text, w.start)
	if err != nil || took == 0 {
		return err
	}
	v.Seconds += took - v.Moves[n].Seconds
	v.Moves[n].Seconds = took
	return nil
}

// patient is the field with time enough in its phases.
func (w *finder) patient() *fields.Field {
	f := *w.f
	f.Phases = append([]fields.Phase(nil), f.Phases...)
	for i := range f.Phases {
		f.Phases[i].Seconds = math.Max(f.Phases[i].Seconds, towing)
	}
	return &f
}

// towing is the time in which a goal must be there, s.
const towing = 30.0

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
