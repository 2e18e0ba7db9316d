package scoring_test

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/sim/scoring"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// twins gives each piece and goal its counterpart by the field's symmetry, itself where it is its own.
func twins(t interface{ Fatalf(string, ...any) }, f *fields.Field) (pieces, goals []int) {
	near := func(p, q geom.Pose) bool { return math.Hypot(p.X-q.X, p.Y-q.Y) < 1e-6 }
	for i, g := range f.Goals {
		twin := -1
		for j, other := range f.Goals {
			if other.Kind == g.Kind && other.Side == f.OtherSide(g.Side) && near(other.At, f.Mirror(g.At)) {
				twin = j
			}
		}
		if twin < 0 {
			t.Fatalf("goal %d has no counterpart", i)
		}
		goals = append(goals, twin)
	}
	taken := make([]bool, len(f.Pieces))
	for i, p := range f.Pieces {
		twin := -1
		for j, other := range f.Pieces {
			inTwin := p.Goal < 0 && other.Goal < 0 || p.Goal >= 0 && other.Goal == goals[p.Goal]
			if other.Kind == p.Kind && other.Side == f.OtherSide(p.Side) && inTwin && near(other.At, f.Mirror(p.At)) &&
				twin < 0 && !taken[j] {
				twin = j
			}
		}
		if twin < 0 {
			t.Fatalf("piece %d has no counterpart", i)
		}
		taken[twin] = true
		pieces = append(pieces, twin)
	}
	return pieces, goals
}

// anywhere is a place on the floor's bounds, half of the time close to the middle of a zone.
func anywhere(f *fields.Field) *rapid.Generator[geom.Pose] {
	_, high := f.Floor.Bounds()
	return rapid.Custom(func(t *rapid.T) geom.Pose {
		if rapid.Bool().Draw(t, "near a zone") {
			at := rapid.SampledFrom(f.Zones).Draw(t, "zone").Shape.Centroid()
			off := rapid.Float64Range(-0.1, 0.1)
			return geom.Pose{X: at.X + off.Draw(t, "dx"), Y: at.Y + off.Draw(t, "dy"),
				Heading: rapid.Float64Range(-0.2, 0.2).Draw(t, "turned")}
		}
		return geom.Pose{X: rapid.Float64Range(0, high.X).Draw(t, "x"), Y: rapid.Float64Range(0, high.Y).Draw(t, "y"),
			Heading: rapid.Float64Range(-3, 3).Draw(t, "heading")}
	})
}

func anyState(f *fields.Field) *rapid.Generator[*scoring.State] {
	return rapid.Custom(func(t *rapid.T) *scoring.State {
		s, place := &scoring.State{}, anywhere(f)
		for range f.Goals {
			s.Goals = append(s.Goals, place.Draw(t, "goal"))
		}
		for range f.Pieces {
			p := scoring.Piece{At: place.Draw(t, "piece"), Scorer: rapid.IntRange(-1, 1).Draw(t, "scorer"),
				Crooked: rapid.IntRange(0, 9).Draw(t, "crooked") == 0}
			switch where := rapid.IntRange(-1, 2*len(f.Goals)).Draw(t, "where"); {
			case where == -1:
				p.In = record.HeldByRobot(0)
			case where < len(f.Goals):
				p.In = record.InGoal(len(f.Pieces) + where)
			}
			s.Pieces = append(s.Pieces, p)
		}
		for k := range rapid.IntRange(0, 4).Draw(t, "robots") {
			s.Robots = append(s.Robots, robot(k%2, place.Draw(t, "home")))
		}
		return s
	})
}

// mirrored is the state seen from the other side.
func mirrored(f *fields.Field, s *scoring.State, pieces, goals []int) *scoring.State {
	out := &scoring.State{Pieces: make([]scoring.Piece, len(s.Pieces)), Goals: make([]geom.Pose, len(s.Goals))}
	for i, g := range s.Goals {
		out.Goals[goals[i]] = f.Mirror(g)
	}
	for i, p := range s.Pieces {
		p.At, p.Scorer = f.Mirror(p.At), f.OtherSide(p.Scorer)
		if body := p.In.Goal(); body >= 0 {
			p.In = record.InGoal(len(f.Pieces) + goals[body-len(f.Pieces)])
		}
		out.Pieces[pieces[i]] = p
	}
	for _, r := range s.Robots {
		r.Side, r.At = f.OtherSide(r.Side), f.Mirror(r.At)
		out.Robots = append(out.Robots, r)
	}
	return out
}

// play moves the robots through every phase of the field and scores the end.
func play(f *fields.Field, s *scoring.State, moves [][]geom.Pose) record.Sheet {
	scorer := scoring.New(f)
	for phase := range f.Phases {
		scoring.OpenPhase(s)
		for k := range s.Robots {
			s.Robots[k].At = moves[phase][k]
		}
		scorer.Fouls(phase, s)
		scorer.ClosePhase(phase, s)
	}
	return scorer.Sheet(s)
}

func swap(sheet record.Sheet) record.Sheet {
	for _, r := range append(sheet.Rows, record.Row{Count: []float64{0, 0}, Points: sheet.Total}) {
		r.Count[0], r.Count[1] = r.Count[1], r.Count[0]
		r.Points[0], r.Points[1] = r.Points[1], r.Points[0]
	}
	if sheet.Winner >= 0 {
		sheet.Winner = 1 - sheet.Winner
	}
	return sheet
}

// Neither side has an advantage: the state seen from the other side has the sheet with sides swapped.
func TestSwappingSidesSwapsTheSheet(t *testing.T) {
	for _, name := range []string{"core_haul", "kiln_yard"} {
		f, err := fields.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		pieces, goals := twins(t, f)
		seen := map[string]bool{}
		property.Check(t, func(t *rapid.T) {
			s := anyState(f).Draw(t, "state")
			other := mirrored(f, s, pieces, goals)
			var moves, mirroredMoves [][]geom.Pose
			for range f.Phases {
				row := rapid.SliceOfN(anywhere(f), len(s.Robots), len(s.Robots)).Draw(t, "moves")
				image := make([]geom.Pose, len(row))
				for k, p := range row {
					image[k] = f.Mirror(p)
				}
				moves, mirroredMoves = append(moves, row), append(mirroredMoves, image)
			}
			sheet := play(f, s, moves)
			for _, r := range sheet.Rows {
				if r.Count[0]+r.Count[1] > 0 {
					seen[r.Rule] = true
				}
			}
			if diff := cmp.Diff(swap(sheet), play(f, other, mirroredMoves), cmpopts.EquateApprox(0, 1e-9)); diff != "" {
				t.Error(diff)
			}
		})
		for _, r := range f.Rules {
			if !seen[r.Name] {
				t.Errorf("%s: no drawn state ever counted %q, so this test says nothing about it", name, r.Name)
			}
		}
	}
}

// The rows of a sheet add up to its totals.
func TestRowsAddUp(t *testing.T) {
	f, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	property.Check(t, func(t *rapid.T) {
		sheet := scoring.New(f).Sheet(anyState(f).Draw(t, "state"))
		for side, total := range sheet.Total {
			sum := 0.0
			for _, r := range sheet.Rows {
				sum += r.Points[side]
			}
			if sum != total {
				t.Errorf("side %d: rows %g, total %g", side, sum, total)
			}
		}
	})
}

// busy is a match under way on an embedded field.
func busy(tb testing.TB, name string) (*scoring.Scorer, *scoring.State) {
	f, err := fields.OpenEmbedded(name)
	if err != nil {
		tb.Fatal(err)
	}
	s := anyState(f).Example(7)
	s.Robots = nil
	for k, at := range []geom.Pose{{X: 0.3, Y: 0.9}, {X: 3.2, Y: 2}, {X: 1.7, Y: 1}, {X: 2.5, Y: 1}} {
		s.Robots = append(s.Robots, robot(k%len(f.Sides), at))
	}
	scorer := scoring.New(f)
	scoring.OpenPhase(s)
	scorer.ClosePhase(0, s)
	return scorer, s
}

func TestLiveScoringMakesNoGarbage(t *testing.T) {
	for _, name := range fields.Embedded() {
		scorer, s := busy(t, name)
		scorer.Fouls(0, s)
		scorer.Totals(s)
		if n := testing.AllocsPerRun(100, func() { scorer.Totals(s); scorer.Fouls(0, s) }); n != 0 {
			t.Errorf("%s: %g allocations a tick", name, n)
		}
	}
}

func BenchmarkTotals(b *testing.B) {
	for _, name := range []string{"core_haul", "kiln_yard", "orchard_row"} {
		b.Run(name, func(b *testing.B) {
			scorer, s := busy(b, name)
			b.ReportAllocs()
			for b.Loop() {
				scorer.Totals(s)
			}
		})
	}
}

func BenchmarkFouls(b *testing.B) {
	scorer, s := busy(b, "core_haul")
	b.ReportAllocs()
	for b.Loop() {
		scorer.Fouls(0, s)
	}
}

// A thing in zones of one kind of both sides at once is nobody's, in nobody's zone and one side's it is that side's:
// whichever stands first in the file.
func TestAThingInZonesOfBothSidesIsNobodys(t *testing.T) {
	f, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	box := func(side int, x0, x1 float64) fields.Zone {
		return fields.Zone{Kind: "patch", Side: side, Shape: geom.Rect(geom.Vec{X: x0, Y: 1}, geom.Vec{X: x1, Y: 2})}
	}
	f.Rules = []fields.Rule{{Name: "in patch", Kind: fields.GoalInZone, ZoneKind: "patch", Inside: fields.Centre,
		Credit: fields.ByZone, Points: 5, Times: 1, Judged: fields.Always}}
	f.Counting, f.TieBreak = []int{0}, nil
	ours, theirs, open := box(0, 1, 2), box(1, 1.5, 2.5), box(-1, 1, 3)
	for _, c := range []struct {
		zones []fields.Zone
		x     float64
		want  [2]float64
	}{
		{[]fields.Zone{ours, theirs}, 1.2, [2]float64{5, 0}}, {[]fields.Zone{ours, theirs}, 1.8, [2]float64{}},
		{[]fields.Zone{theirs, ours}, 1.8, [2]float64{}}, {[]fields.Zone{theirs, ours}, 2.2, [2]float64{0, 5}},
		{[]fields.Zone{open, ours}, 1.2, [2]float64{5, 0}}, {[]fields.Zone{ours, open}, 1.2, [2]float64{5, 0}},
		{[]fields.Zone{open, theirs, ours}, 1.8, [2]float64{}}, {[]fields.Zone{open, ours}, 2.8, [2]float64{}},
	} {
		f.Zones = c.zones
		s := start(f)
		for i := range s.Goals {
			s.Goals[i] = geom.Pose{X: -9, Y: -9}
		}
		s.Goals[0] = geom.Pose{X: c.x, Y: 1.5}
		if got := scoring.New(f).Sheet(s).Total; got[0] != c.want[0] || got[1] != c.want[1] {
			t.Errorf("%v at %g: %v, want %v", c.zones, c.x, got, c.want)
		}
	}
}

// What is pressed half a millimetre into the wall at a zone's border is wholly in the zone; what reaches over a border
// on the floor by as much is not.
func TestAtAWallAThingIsWhollyInItsZone(t *testing.T) {
	const press = 0.0005 // m: what the engine lets things overlap
	f, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	f.Zones = []fields.Zone{{Kind: "corner", Side: -1, Shape: geom.Rect(geom.Vec{}, geom.Vec{X: 1, Y: 0.8})},
		{Kind: "corner", Side: -1, Shape: geom.Polygon{{X: 4.2, Y: 3}, {X: 4.2, Y: 2}, {X: 3.5, Y: 3}}}}
	f.Rules = []fields.Rule{{Name: "robot", Kind: fields.RobotInZone, ZoneKind: "corner", Inside: fields.All, Points: 1,
		Judged: fields.Always}, {Name: "piece", Kind: fields.PieceInZone, ZoneKind: "corner", Inside: fields.All, Points: 1,
		Judged: fields.Always, Credit: fields.ByScorer}}
	f.Counting, f.TieBreak = []int{0, 1}, nil
	radius := f.PieceKinds[0].Radius
	for _, c := range []struct {
		what string
		at   geom.Vec // of the lower left corner of what stands there
		in   bool
	}{
		{"in the corner", geom.Vec{X: -press, Y: -press}, true}, {"at the left wall", geom.Vec{X: -press, Y: 0.3}, true},
		{"over the border", geom.Vec{X: -press, Y: 0.8 + press}, false}, {"in the middle", geom.Vec{X: 0.2, Y: 0.2}, true},
		{"over the right border", geom.Vec{X: 1 + press, Y: 0.1}, false},
	} {
		s := start(f)
		for i := range s.Pieces {
			s.Pieces[i] = scoring.Piece{At: geom.Pose{X: 2, Y: 2}}
		}
		beside := func(half float64) geom.Pose {
			at := geom.Pose{X: c.at.X + half, Y: c.at.Y + half}
			if c.at.X > 1 { // over a border: it reaches back
				at.X -= 2 * half
			}
			if c.at.Y > 0.8 {
				at.Y -= 2 * half
			}
			return at
		}
		one := robot(0, geom.Pose{})
		low, high := one.Outline.Bounds()
		one.At = beside((high.X - low.X) / 2)
		one.Outline = geom.Rect(geom.Vec{X: low.X, Y: low.X}, geom.Vec{X: high.X, Y: high.X})
		s.Robots = []scoring.Robot{one}
		s.Pieces[0].At = beside(radius)
		sheet := scoring.New(f).Sheet(s)
		for _, row := range sheet.Rows {
			if (row.Count[0] == 1) != c.in {
				t.Errorf("%s %s: counts %v", row.Rule, c.what, row.Count)
			}
		}
	}
	if s := start(f); true { // at the slant of the second zone, the wall's corner beside it
		s.Robots = []scoring.Robot{robot(0, geom.Pose{X: 4.1, Y: 2.9})}
		s.Robots[0].Outline = geom.Rect(geom.Vec{X: -0.1, Y: -0.1}, geom.Vec{X: 0.1 + press, Y: 0.1 + press})
		if got := scoring.New(f).Sheet(s).Rows[0].Count[0]; got != 1 {
			t.Errorf("in the slanted zone it counts %g", got)
		}
	}
}
