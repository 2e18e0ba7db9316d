package sim

import (
	"fmt"
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"

	"pgregory.net/rapid"
)

// tippy has a sled of three cores that bears 0.5 m/s, with its middle at a place.
func tippy(x, y float64) *fields.Field {
	f := sleds(cores(yard(4, 3), 3, 0.3, 0.3), geom.Pose{X: x, Y: y})
	f.GoalKinds[0].Spills = 0.5
	return filled(f, 0, 3)
}

// spills runs a world and gives the events of spilling.
func spills(w *World, seconds float64) (list []record.Event) {
	for end := w.Time() + seconds; w.Time() < end; {
		w.Tick()
		for _, e := range w.TakeEvents() {
			if e.Kind == record.Spilled {
				list = append(list, e)
			}
		}
	}
	return list
}

// The event has the speed at which the two closed when they met. The robot rolls 40 mm before that, without motors: its
// speed falls by less than 3 %.
func TestAGoalTipsWhenItIsHitFasterThanItBears(t *testing.T) {
	for _, row := range []struct {
		name        string
		speed       float64 // m/s, of the robot
		rest        float64 // s that the sled has stood before: it sleeps
		full, tips  bool
		gripped     bool
		wantedSpeed float64
	}{
		{"slower", 0.48, 0, true, false, false, 0},
		{"faster", 0.54, 0, true, true, false, 0.53},
		{"much faster, asleep before", 1.5, 0.5, true, true, false, 1.49},
		{"empty", 1.5, 0, false, false, false, 0},
		{"in a clamp", 1.5, 0, true, false, true, 0},
	} {
		f := tippy(2, 1.5)
		if !row.full {
			for i := range f.Pieces {
				f.Pieces[i].Goal = -1
			}
		}
		w := build(t, f, Entry{Spec: cart(ideal), Start: geom.Pose{X: 1.61, Y: 1.5}})
		goal := w.bodies[3]
		goal.gripped = row.gripped
		for w.Time() < row.rest {
			w.Tick()
		}
		r := w.robots[0]
		r.launch(row.speed, 0, 0)
		r.drive.rollers[0].speed, r.drive.rollers[1].speed = row.speed/0.04, row.speed/0.04
		r.coast()
		list := spills(w, 0.3)
		if (len(list) == 1) != row.tips {
			t.Errorf("%s: %+v, want tips %v", row.name, list, row.tips)
			continue
		}
		if !row.tips {
			continue
		}
		e := list[0]
		if math.Abs(e.Value-row.wantedSpeed) > 0.02 || e.Limit != 0.5 || e.What != "goal 1" || e.Robot != 0 ||
			e.Text != "by the robot, 3 out" {
			t.Errorf("%s: %+v, want %.2f m/s", row.name, e, row.wantedSpeed)
		}
		if len(goal.stack) != 0 || goal.body.Mass() != 1.6 {
			t.Errorf("%s: %d are left in it, it weighs %g kg", row.name, len(goal.stack), goal.body.Mass())
		}
		for _, b := range w.bodies[:3] { // away from the blow: before the sled
			if at := b.Pose(); at.X < goal.Pose().X || b.Holder != record.OnFloor {
				t.Errorf("%s: %s came out at %v, the goal is at %v", row.name, b.Name, at, goal.Pose())
			}
		}
	}
}

// What comes out lies outside the goal's edge: the piece that was last in, at the edge and its own radius away, 150 +
// 70 mm from the middle along the blow. It is as fast as the goal is then, so that momentum is as before; the spin
// stays behind, so that energy is less.
func TestWhatIsSpilledKeepsItsMomentum(t *testing.T) {
	w := build(t, tippy(2, 1.5))
	goal := w.bodies[3]
	goal.launch(0.7, -0.2, 3)
	m, vx, vy := goal.state()
	energy := w.energy()
	w.spill(hit{goal: goal, speed: 1, away: geom.Vec{X: 1}})
	var x, y float64
	for _, b := range w.bodies {
		own, bx, by := b.state()
		x, y = x+own*bx, y+own*by
	}
	if math.Abs(x-m*vx) > 1e-12 || math.Abs(y-m*vy) > 1e-12 || w.energy() > energy {
		t.Errorf("%.6f, %.6f kg m/s, want %.6f, %.6f; energy from %.6f to %.6f J", x, y, m*vx, m*vy, energy, w.energy())
	}
	if at := w.bodies[2].Pose(); math.Abs(at.X-2.22) > 1e-9 || math.Abs(at.Y-1.5) > 1e-9 {
		t.Errorf("the top came out at %v, want 2.22, 1.5", at)
	}
	for i, b := range w.bodies[:3] {
		for _, other := range w.bodies[:i] {
			if d := math.Hypot(b.Pose().X-other.Pose().X, b.Pose().Y-other.Pose().Y); d < 0.14-2*overlapping {
				t.Errorf("%s and %s lie %.0f mm apart", b.Name, other.Name, d*1e3)
			}
		}
	}
}

// A sled that slides into a wall, or another sled, tips too; a core that hits it does not.
func TestWallsAndGoalsTipAGoalAndPiecesDoNot(t *testing.T) {
	w := build(t, tippy(3.7, 1.5))
	w.bodies[3].launch(1.5, 0, 0)
	if list := spills(w, 0.5); len(list) != 1 || list[0].Text != "by a wall, 3 out" || list[0].Robot != -1 {
		t.Errorf("at the wall: %+v", list)
	}
	w = build(t, sleds(tippy(2, 1.5), geom.Pose{X: 1.6, Y: 1.5}))
	w.bodies[4].launch(1.2, 0, 0)
	if list := spills(w, 0.5); len(list) != 1 || list[0].Text != "by goal 2, 3 out" {
		t.Errorf("by a sled: %+v", list)
	}
	w = build(t, cores(tippy(2, 1.5), 1, 1.6, 1.5))
	w.bodies[3].launch(3, 0, 0)
	if list := spills(w, 0.5); len(list) != 0 {
		t.Errorf("by a core: %+v", list)
	}
}

// A piece that finds no room stays in: in a corridor as wide as the sled, between two walls of sleds, only some come
// out.
func TestWhatHasNoRoomStaysIn(t *testing.T) {
	f := sleds(cores(yard(0.5, 0.5), 5, 0.2, 0.2), geom.Pose{X: 0.25, Y: 0.25})
	w := build(t, filled(f, 0, 5))
	w.spill(hit{goal: w.bodies[5], speed: 1, away: geom.Vec{X: 1}})
	e := w.TakeEvents()
	if len(w.bodies[5].stack) == 0 || len(e) > 0 && e[0].Text != fmt.Sprintf("by a wall, %d out, %d stay in",
		5-len(w.bodies[5].stack), len(w.bodies[5].stack)) {
		t.Errorf("%d stay in: %+v", len(w.bodies[5].stack), e)
	}
}

// counted fails unless each piece is in one place, and what goals, robots and people have adds up to it: a goal weighs
// what is in it, and its stack is what it holds.
func counted(t *rapid.T, w *World) {
	for _, b := range w.bodies[:len(w.field.Pieces)] {
		places := 0
		if w.space.ContainsBody(b.body) {
			places++
		}
		for _, g := range w.bodies[len(w.field.Pieces):] {
			for _, in := range g.stack {
				if in == b {
					places++
				}
			}
		}
		for _, r := range w.robots {
			for _, cargo := range r.payload {
				if cargo.body == b.ID && cargo.mass > 0 {
					places++
				}
			}
		}
		for _, l := range w.loads {
			for _, waiting := range l.waiting {
				if waiting == b {
					places++
				}
			}
		}
		if places != 1 {
			t.Fatalf("at %.3f s %s is in %d places, its holder is %d", w.Time(), b.Name, places, b.Holder)
		}
	}
	for _, g := range w.bodies[len(w.field.Pieces):] {
		mass := 0.0
		for _, b := range g.stack {
			mass += b.mass
			if b.Holder != record.InGoal(g.ID) {
				t.Fatalf("%s is in %s and its holder is %d", b.Name, g.Name, b.Holder)
			}
		}
		if math.Abs(g.load-mass) > 1e-12 {
			t.Fatalf("%s carries %g kg, and %g kg are in it", g.Name, g.load, mass)
		}
	}
}

// In random scenes whose goals are full, open and tip easily, and where people load, no piece is lost or doubled,
// whatever meets what; without motors energy does not rise by it.
func TestSpillingAndLoadingKeepThePieces(t *testing.T) {
	spilled, loaded := 0, 0
	property.Check(t, func(t *rapid.T) {
		w := scene(t)
		f := w.field
		f.GoalKinds[0].Spills = rapid.Float64Range(0.05, 1).Draw(t, "spills at")
		for i := range f.Pieces {
			if i%2 == 0 {
				f.Pieces[i].Goal, f.Pieces[i].At = 0, f.Goals[0].At
			}
		}
		still := rapid.Bool().Draw(t, "nobody loads")
		if !still {
			first := len(f.Pieces)
			f.Loads = []fields.Loader{{Name: "load", At: geom.Pose{X: 1.5, Y: 0.15}, Kind: 0, Count: 3, First: first,
				Takes: 0.2, Speed: rapid.Float64Range(0, 1).Draw(t, "rolls"), Hands: -1}}
			for range 3 {
				f.Pieces = append(f.Pieces, fields.Piece{Kind: 0, Name: "loaded", At: f.Loads[0].At, Side: -1, Goal: -1,
					Robot: -1})
			}
		}
		entries := make([]Entry, len(w.robots))
		for i, r := range w.robots {
			entries[i] = Entry{Spec: r.Spec, Side: r.Side, Start: r.meant}
		}
		w, err := New(Config{Field: f, Robots: entries, Nominal: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range w.bodies {
			if b.Holder == record.OnFloor {
				v := rapid.Float64Range(-4, 4)
				b.launch(v.Draw(t, "vx"), v.Draw(t, "vy"), 5*v.Draw(t, "w"))
			}
		}
		w.OpenPhase(0)
		start := w.energy()
		for range 100 {
			w.Tick()
			counted(t, w)
			if now := w.energy(); still && now > start+1e-9 {
				t.Fatalf("at %.3f s there are %.9f J, %.9f at the start", w.Time(), now, start)
			}
			for _, e := range w.TakeEvents() {
				switch e.Kind {
				case record.Spilled:
					spilled++
				case record.Loaded:
					loaded++
				}
			}
		}
	})
	if spilled == 0 || loaded == 0 {
		t.Errorf("%d spilled, %d loaded: this test says nothing", spilled, loaded)
	}
	t.Logf("%d goals spilled, %d pieces loaded", spilled, loaded)
}
