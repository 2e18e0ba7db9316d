package fields_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
)

func open(t testing.TB, name string) *fields.Field {
	t.Helper()
	f, err := fields.OpenEmbedded(name)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestEmbeddedFieldsAreValid(t *testing.T) {
	if got := strings.Join(fields.Embedded(), " "); got != "cask_quay core_haul foghorn_bay kiln_yard night_mail "+
		"orchard_row practice_yard sorting_yard" {
		t.Errorf("embedded: %s", got)
	}
	for _, name := range fields.Embedded() {
		f := open(t, name)
		if f.Name != name+".toml" || len(f.SHA256) != 64 || f.Title == "" || f.About == "" {
			t.Errorf("%s: name %q, hash %q, title %q", name, f.Name, f.SHA256, f.Title)
		}
	}
}

// What DESIGN section 9 says of Core Haul.
func TestCoreHaulIsAsDesigned(t *testing.T) {
	f := open(t, "core_haul")
	low, high := f.Floor.Bounds()
	if low != (geom.Vec{}) || high != (geom.Vec{X: 4.2, Y: 3}) || f.Tile != 0.6 || f.Symmetry != fields.HalfTurn {
		t.Errorf("floor %v %v, tile %g, symmetry %s", low, high, f.Tile, f.Symmetry)
	}
	core, sled, rack := f.PieceKinds[0], f.GoalKinds[0], f.GoalKinds[1]
	if core.Corners != 0 || core.Radius != 0.07 || core.Mass != 0.14 || core.Mark != fields.Star {
		t.Errorf("core %+v", core)
	}
	corner, far := sled.Shape.Bounds()
	if len(sled.Shape) != 4 || far != (geom.Vec{X: 0.15, Y: 0.13}) || corner != (geom.Vec{X: -0.15, Y: -0.13}) ||
		sled.Mark != fields.Runners {
		t.Errorf("sled %+v", sled)
	}
	if sled.Mass != 1.6 || sled.Room != 5 || sled.Fixed {
		t.Errorf("sled %+v", sled)
	}
	if !rack.Fixed || rack.Room != 2 || rack.Height != "rack" {
		t.Errorf("rack %+v", rack)
	}
	count := map[string]int{}
	for _, g := range f.Goals {
		count[f.GoalKinds[g.Kind].Name]++
		if g.Side >= 0 {
			count[f.Sides[g.Side].Name+" "+f.GoalKinds[g.Kind].Name]++
		}
		if g.Kind == 1 && math.Min(g.At.Y, 3-g.At.Y) > 0.05 {
			t.Errorf("%s is not on a long wall: %v", g.Name, g.At)
		}
	}
	if count["sled"] != 5 || count["ochre rack"] != 2 || count["teal rack"] != 2 {
		t.Errorf("goals %v", count)
	}
	for _, p := range f.Pieces {
		if p.Robot >= 0 {
			count["preload of "+f.Sides[p.Robot].Name]++
		}
	}
	if n := len(f.Pieces); n < 30 || n > 40 || count["preload of ochre"] != 1 || count["preload of teal"] != 1 {
		t.Errorf("%d cores, %v", n, count)
	}
	var phases []string
	for _, p := range f.Phases {
		phases = append(phases, p.Name)
	}
	if strings.Join(phases, ", ") != "autonomous, driver, solo" || f.Phases[0].Seconds != 20 ||
		f.Phases[1].Seconds != 100 || f.Phases[2].Seconds != 60 {
		t.Errorf("phases %+v", f.Phases)
	}
	points := []float64{2, 5, 0, 4, 6, 3}
	for i, r := range f.Rules {
		if r.Points != points[i] {
			t.Errorf("%s: %g points", r.Name, r.Points)
		}
	}
	if f.Rules[2].Times != 2 || len(f.TieBreak) != 1 || f.Rules[f.TieBreak[0]].Name != "core on rack" {
		t.Errorf("rules %+v, ties %v", f.Rules, f.TieBreak)
	}
}

// A 420 mm robot that starts at (600, 450) touches nothing, is not in its camp, and has a sled with a face towards it
// and cores within a metre.
func TestCoreHaulHasSomethingToDoNearTheStart(t *testing.T) {
	f := open(t, "core_haul")
	start := geom.Pose{X: 0.6, Y: 0.45}
	robot := geom.Rect(geom.Vec{X: -0.21, Y: -0.21}, geom.Vec{X: 0.21, Y: 0.21}).Placed(start)
	for _, z := range f.Zones {
		if z.Shape.Meets(robot) {
			t.Errorf("the robot starts in %s", z.Name)
		}
	}
	near := 0
	for _, p := range f.Pieces {
		d := robot.Distance(p.At.At())
		if robot.Contains(p.At.At()) || d < f.PieceKinds[p.Kind].Radius+0.02 {
			t.Errorf("the robot starts on %s", p.Name)
		}
		if d < 1 && p.Robot < 0 {
			near++
		}
	}
	if near < 4 {
		t.Errorf("%d cores within a metre of the robot", near)
	}
	sled := f.Goals[slices.IndexFunc(f.Goals, func(g fields.Goal) bool { return g.Name == "ochre near sled" })]
	outline := f.GoalKinds[sled.Kind].Shape.Placed(sled.At)
	if outline.Meets(robot) || math.Abs(outline.Distance(geom.Vec{X: 0.6, Y: 0.45})-(1.05-0.15)) > 1e-9 {
		t.Errorf("the near sled's face is %g m away", outline.Distance(geom.Vec{X: 0.6, Y: 0.45}))
	}
}

func TestKilnYardIsAnotherKindOfGame(t *testing.T) {
	f := open(t, "kiln_yard")
	if f.Floor.Convex() || len(f.Floor) == 4 || f.Symmetry != fields.MirrorX {
		t.Errorf("floor of %d corners, symmetry %s", len(f.Floor), f.Symmetry)
	}
	for _, k := range f.GoalKinds {
		if !k.Fixed || k.Height != "" {
			t.Errorf("%s needs a clamp or a lift", k.Name)
		}
	}
	for _, k := range f.PieceKinds {
		if k.Corners == 0 {
			t.Errorf("%s is a disc, as in Core Haul", k.Name)
		}
	}
	if !slices.ContainsFunc(f.Pieces, func(p fields.Piece) bool { return p.Side == 1 }) {
		t.Error("no piece belongs to a side")
	}
}

func TestPracticeYardIsEmptyAndCanBeScoredOn(t *testing.T) {
	f := open(t, "practice_yard")
	if len(f.Pieces)+len(f.Goals) != 0 {
		t.Errorf("%d pieces, %d goals", len(f.Pieces), len(f.Goals))
	}
	for _, r := range f.Rules {
		if r.Kind != fields.RobotInZone || r.Points <= 0 {
			t.Errorf("%s: %s, %g points", r.Name, r.Kind, r.Points)
		}
	}
	if len(f.Rules) == 0 {
		t.Error("no rule")
	}
}

// Every thing on a symmetric embedded field has its counterpart: same kind, other side, mirrored place.
func TestEmbeddedFieldsAreFair(t *testing.T) {
	for _, name := range []string{"core_haul", "foghorn_bay", "kiln_yard", "orchard_row", "sorting_yard"} {
		f := open(t, name)
		near := func(p, q geom.Pose) bool { return math.Hypot(p.X-q.X, p.Y-q.Y) < 1e-6 }
		for _, p := range f.Pieces {
			if !slices.ContainsFunc(f.Pieces, func(q fields.Piece) bool {
				return q.Kind == p.Kind && q.Side == f.OtherSide(p.Side) && q.Robot == f.OtherSide(p.Robot) &&
					near(q.At, f.Mirror(p.At))
			}) {
				t.Errorf("%s: %s has no counterpart", name, p.Name)
			}
		}
		for _, g := range f.Goals {
			if !slices.ContainsFunc(f.Goals, func(h fields.Goal) bool {
				return h.Kind == g.Kind && h.Side == f.OtherSide(g.Side) && near(h.At, f.Mirror(g.At))
			}) {
				t.Errorf("%s: %s has no counterpart", name, g.Name)
			}
		}
		for _, z := range f.Zones {
			image := f.MirrorPoint(z.Shape.Centroid())
			if !slices.ContainsFunc(f.Zones, func(y fields.Zone) bool {
				c := y.Shape.Centroid()
				return y.Kind == z.Kind && y.Side == f.OtherSide(z.Side) && math.Hypot(c.X-image.X, c.Y-image.Y) < 1e-6
			}) {
				t.Errorf("%s: %s has no counterpart", name, z.Name)
			}
		}
	}
}

func TestCopiesAreNamedAfterTheOtherSide(t *testing.T) {
	f := open(t, "core_haul")
	var names []string
	for _, g := range f.Goals {
		names = append(names, g.Name)
	}
	if got := strings.Join(names, ", "); got != "middle sled, ochre near sled, teal near sled, ochre far sled, teal far "+
		"sled, ochre low rack, teal low rack, ochre high rack, teal high rack" {
		t.Error(got)
	}
	if f.Zones[1].Name != "teal camp" || f.Zones[1].Side != 1 || f.Pieces[0].Name != "core 1" ||
		f.Pieces[33].Name != "core 34" {
		t.Errorf("%+v, %q, %q", f.Zones[1], f.Pieces[0].Name, f.Pieces[33].Name)
	}
}

func TestFind(t *testing.T) {
	for _, c := range []struct{ what, want string }{
		{"core_haul", ""},
		{"../testdata/fields/tiny.toml", ""},
		{"core_hual", `there is no embedded field "core_hual": write "core_haul" (known: cask_quay, ` +
			`core_haul, foghorn_bay, kiln_yard, night_mail, orchard_row, practice_yard, sorting_yard)`},
		{"no/such.toml", "no/such.toml: cannot be read: no such file or directory"},
		{"../testdata/fields", "../testdata/fields: cannot be read: it is a folder: name a file in it"},
	} {
		_, err := fields.Find(c.what)
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("Find(%q): %v", c.what, err)
		}
	}
}

func TestNamesAreLookedUp(t *testing.T) {
	f := open(t, "core_haul")
	if i, err := f.SideIndex("teal"); i != 1 || err != nil {
		t.Errorf("teal: %d, %v", i, err)
	}
	if _, err := f.SideIndex("tael"); err == nil || err.Error() != `Core Haul has no side "tael": write "teal" (known: `+
		`ochre, teal)` {
		t.Errorf("tael: %v", err)
	}
	if s, err := f.SessionNamed(""); s.Name != "autonomous" || err != nil {
		t.Errorf("first session: %q, %v", s.Name, err)
	}
	if s, err := f.SessionNamed("match"); !slices.Equal(s.Phases, []int{0, 1}) || err != nil {
		t.Errorf("match: %v, %v", s, err)
	}
	if _, err := f.SessionNamed("matsch"); err == nil ||
		err.Error() != `Core Haul has no session "matsch": write "match" (known: autonomous, match, solo run)` {
		t.Errorf("matsch: %v", err)
	}
}
