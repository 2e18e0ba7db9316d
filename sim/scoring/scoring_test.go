package scoring_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/scoring"

	"github.com/google/go-cmp/cmp"
)

// The test game: a floor of 4 m x 2 m, a den for each side at its end, a pool in the middle that is nobody's.
const game = `
title = "Test game"
tile = "1 m"
size = ["4 m", "2 m"]
symmetry = "left-right"
[[sides]]
name = "red"
colour = "#ff0000"
[[sides]]
name = "blue"
colour = "#0000ff"
[[lines]]
name = "middle"
from = ["2 m", "0 m"]
to = ["2 m", "1 m"]
[[zones]]
name = "red den"
kind = "den"
side = "red"
box = [["0 m", "0 m"], ["1 m", "2 m"]]
copy = true
[[zones]]
name = "pool"
kind = "pool"
box = [["1.5 m", "0.5 m"], ["2.5 m", "1.5 m"]]
[[piece_kinds]]
name = "ball"
across = "100 mm"
mass = "100 g"
[[piece_kinds]]
name = "block"
corners = 4
across = "100 mm"
mass = "100 g"
[[goal_kinds]]
name = "pot"
corners = 4
across = "200 mm"
mass = "1 kg"
room = 4
takes = ["ball", "block"]
[[goal_kinds]]
name = "shelf"
fixed = true
size = ["100 mm", "300 mm"]
room = 4
takes = ["ball"]
[[goals]]
kind = "pot"
at = ["2 m", "1 m"]
[[goals]]
kind = "shelf"
side = "red"
at = ["1.4 m", "1.8 m"]
copy = true
[[pieces]]
kind = "ball"
at = ["1.2 m", "300 mm"]
grid = [1, 2]
step = ["0 m", "300 mm"]
copy = true
[[pieces]]
kind = "block"
side = "red"
at = ["1.2 m", "1.2 m"]
copy = true
[[phases]]
name = "first"
length = "10 s"
control = "autonomous"
[[phases]]
name = "second"
length = "10 s"
control = "driver"
[[sessions]]
name = "both"
phases = ["first", "second"]
`

// Places on the test field: bodies 0 to 3 are balls, 4 red's block, 5 blue's; the pot is body 6, the shelves 7 and 8.
const (
	red, blue = 0, 1
	pot       = record.Holder(-7)
	redShelf  = record.Holder(-8)
	blueShelf = record.Holder(-9)
)

func field(t testing.TB, rules string) *fields.Field {
	t.Helper()
	f, err := fields.Parse("game.toml", []byte(game+rules))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// start is the state with everything where the field puts it and nobody near it.
func start(f *fields.Field) *scoring.State {
	s := &scoring.State{}
	for _, p := range f.Pieces {
		s.Pieces = append(s.Pieces, scoring.Piece{At: p.At, Scorer: -1})
	}
	for _, g := range f.Goals {
		s.Goals = append(s.Goals, g.At)
	}
	return s
}

func at(x, y float64) geom.Pose { return geom.Pose{X: x, Y: y} }

// robot is 400 mm square.
func robot(side int, p geom.Pose) scoring.Robot {
	return scoring.Robot{Side: side, At: p, Outline: geom.Rect(geom.Vec{X: -0.2, Y: -0.2}, geom.Vec{X: 0.2, Y: 0.2})}
}

type pair = []float64

// Sheets computed by hand: one rule, one state, what it must count and give to red and blue.
func TestEachRuleKind(t *testing.T) {
	for _, c := range []struct {
		name, rule    string
		set           func(s *scoring.State)
		count, points pair
	}{
		{"balls in the pot go to who put them there", `kind = "piece in goal"
points = 2
pieces = ["ball"]
goals = ["pot"]`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{In: pot, Scorer: red}
			s.Pieces[1] = scoring.Piece{In: pot, Scorer: blue}
			s.Pieces[2] = scoring.Piece{In: pot, Scorer: blue}
			s.Pieces[3] = scoring.Piece{In: pot, Scorer: -1}      // nobody's
			s.Pieces[4] = scoring.Piece{In: pot, Scorer: red}     // a block
			s.Pieces[5] = scoring.Piece{In: blueShelf, Scorer: 1} // another goal
		}, pair{1, 2}, pair{2, 4}},
		{"a crooked or held ball does not count", `kind = "piece in goal"
points = 2`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{In: pot, Scorer: red, Crooked: true}
			s.Pieces[1] = scoring.Piece{In: record.HeldByRobot(0), Scorer: red}
			s.Pieces[2] = scoring.Piece{In: redShelf, Scorer: red}
		}, pair{1, 0}, pair{2, 0}},
		{"on the shelf: the goal's side, whoever placed it", `kind = "piece in goal"
points = 5
goals = ["shelf"]
credit = "goal"`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{In: redShelf, Scorer: blue}
			s.Pieces[1] = scoring.Piece{In: blueShelf, Scorer: blue}
			s.Pieces[2] = scoring.Piece{In: blueShelf, Scorer: -1}
			s.Pieces[3] = scoring.Piece{In: pot, Scorer: blue}
		}, pair{1, 2}, pair{5, 10}},
		{"the piece's own side", `kind = "piece in goal"
points = 3
credit = "piece"`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{In: pot, Scorer: blue} // a ball is nobody's
			s.Pieces[4] = scoring.Piece{In: pot, Scorer: blue}
		}, pair{1, 0}, pair{3, 0}},
		{"at most so many a side", `kind = "piece in goal"
points = 2
count = 2`, func(s *scoring.State) {
			for i := range 4 {
				s.Pieces[i] = scoring.Piece{In: pot, Scorer: red}
			}
			s.Pieces[4] = scoring.Piece{In: pot, Scorer: blue}
		}, pair{2, 1}, pair{4, 2}},
		{"centre in the zone: its edge counts", `kind = "piece in zone"
points = 1
zone = "pool"
inside = "centre"`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{At: at(2.0, 0.7), Scorer: red}
			s.Pieces[1] = scoring.Piece{At: at(1.5, 0.7), Scorer: red}
			s.Pieces[2] = scoring.Piece{At: at(1.499, 0.7), Scorer: red}
			s.Pieces[3] = scoring.Piece{At: at(2.2, 1.2), Scorer: blue, In: record.HeldByRobot(0)}
			s.Pieces[4] = scoring.Piece{At: at(2.2, 1.2), Scorer: blue, In: pot}
			s.Pieces[5] = scoring.Piece{At: at(2.2, 1.2), Scorer: blue}
		}, pair{2, 1}, pair{2, 1}},
		{"all of it in the zone: discs and squares", `kind = "piece in zone"
points = 1
zone = "pool"
inside = "all"`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{At: at(1.55, 1), Scorer: red}  // touches the edge
			s.Pieces[1] = scoring.Piece{At: at(1.549, 1), Scorer: red} // 1 mm over
			// a square, flat along the edge
			s.Pieces[4] = scoring.Piece{At: at(1.55, 1), Scorer: blue}
			s.Pieces[5] = scoring.Piece{At: geom.Pose{X: 1.55, Y: 1, Heading: math.Pi / 4}, Scorer: blue} // a corner out
		}, pair{1, 1}, pair{1, 1}},
		{"any of it in the zone: discs and squares", `kind = "piece in zone"
points = 1
zone = "pool"
inside = "any"`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{At: at(1.45, 1), Scorer: red}  // touches from outside
			s.Pieces[1] = scoring.Piece{At: at(1.449, 1), Scorer: red} // 1 mm short
			// near the corner: 57 mm from it, in the bounds
			s.Pieces[2] = scoring.Piece{At: at(1.46, 0.46), Scorer: red}
			// a square, 10 mm short
			s.Pieces[4] = scoring.Piece{At: at(1.44, 1), Scorer: blue}
			// its corner reaches in
			s.Pieces[5] = scoring.Piece{At: geom.Pose{X: 1.44, Y: 1, Heading: math.Pi / 4}, Scorer: blue}
		}, pair{1, 1}, pair{1, 1}},
		{"a piece's points to the zone's side", `kind = "piece in zone"
points = -1
zone = "den"
credit = "zone"`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{At: at(0.5, 1), Scorer: blue}
			s.Pieces[1] = scoring.Piece{At: at(3.5, 1), Scorer: blue}
			s.Pieces[2] = scoring.Piece{At: at(3.4, 1), Scorer: -1}
		}, pair{1, 2}, pair{-1, -2}},
		{"a pot in a den", `kind = "goal in zone"
points = 4
goals = ["pot"]
zone = "den"
inside = "all"`, func(s *scoring.State) { s.Goals[0] = at(3.1, 1) }, pair{0, 1}, pair{0, 4}},
		{"a pot not wholly in a den", `kind = "goal in zone"
points = 4
goals = ["pot"]
zone = "den"
inside = "all"`, func(s *scoring.State) { s.Goals[0] = at(3.09, 1) }, pair{0, 0}, pair{0, 0}},
		{"robots in their own den, wholly", `kind = "robot in zone"
points = 4
zone = "den"
inside = "all"`, func(s *scoring.State) {
			s.Robots = []scoring.Robot{robot(red, at(0.8, 1)), robot(red, at(0.81, 1)), robot(red, at(3.5, 1)),
				robot(blue, at(3.5, 0.5))}
		}, pair{1, 1}, pair{4, 4}},
		{"robots in a zone that is nobody's", `kind = "robot in zone"
points = 4
zone = "pool"
inside = "any"`, func(s *scoring.State) {
			s.Robots = []scoring.Robot{robot(red, at(1.3, 1)), robot(blue, at(2.71, 1)),
				robot(blue, geom.Pose{X: 2.71, Y: 1, Heading: math.Pi / 4})}
		}, pair{1, 1}, pair{4, 4}},
		{"a robot with a corner cut off stands clear of the zone that a square one is in", `kind = "robot in zone"
points = 4
zone = "pool"
inside = "any"`, func(s *scoring.State) {
			cut := scoring.Robot{Side: red, At: at(1.31, 0.31), Outline: geom.Polygon{{X: -0.2, Y: -0.2}, {X: 0.2, Y: -0.2},
				{X: 0.2}, {Y: 0.2}, {X: -0.2, Y: 0.2}}}
			s.Robots = []scoring.Robot{cut, robot(blue, at(1.31, 0.31))}
		}, pair{0, 1}, pair{0, 4}},
		{"the winner of one phase", `kind = "phase winner"
points = 6
phase = "first"`, func(s *scoring.State) {
			s.Closed = []scoring.Closed{{Phase: 0, Ahead: []int{blue}}, {Phase: 1, Ahead: []int{red}}}
		}, pair{0, 1}, pair{0, 6}},
		{"the winner of every phase", `kind = "phase winner"
points = 6`, func(s *scoring.State) {
			s.Closed = []scoring.Closed{{Phase: 0, Ahead: []int{blue}}, {Phase: 1, Ahead: []int{red}}}
		}, pair{1, 1}, pair{6, 6}},
		{"no phase has ended", `kind = "phase winner"
points = 6`, func(*scoring.State) {}, pair{0, 0}, pair{0, 0}},
		{"a drawn phase is nobody's", `kind = "phase winner"
points = 6`, drawn, pair{0, 0}, pair{0, 0}},
		{"a drawn phase is each one's", `kind = "phase winner"
points = 6
draw = "each"`, drawn, pair{1, 1}, pair{6, 6}},
		{"a drawn phase is halved", `kind = "phase winner"
points = 6
draw = "half"`, drawn, pair{0.5, 0.5}, pair{3, 3}},
		{"fouls give to the other side", `kind = "line crossed"
points = 3
line = "middle"`, func(s *scoring.State) {
			s.Fouls = []scoring.Foul{{Rule: 0, Side: red}, {Rule: 0, Side: red, Phase: 1}, {Rule: 1, Side: blue}}
		}, pair{2, 0}, pair{0, 6}},
		// The condition holds for both; the shelves' sides are red and blue.
		{"a formula of where robots are", `kind = "formula"
points = "4 * min(robots_in('den'), robots_touching('shelf')) + robots_in('pool', 'any') + 100 * robots_at_wall()"
when = "robots() == 2"`, func(s *scoring.State) {
			s.Robots = []scoring.Robot{robot(red, at(0.5, 1)), robot(red, at(1.149, 1.7)), // 1 mm from red's shelf
				robot(blue, at(3.5, 1)), robot(blue, at(2.6, 0.201))} // 1 mm from the wall, 99 mm short of the pool
		}, pair{1, 1}, pair{4, 100}},
		{"a formula of what the other side holds", `kind = "formula"
points = "3 * held('ball') - other.held()"
when = "held() > 0 or other.robots() > 0"`, func(s *scoring.State) {
			s.Robots = []scoring.Robot{robot(red, at(1, 1)), robot(red, at(1, 1.5))}
			s.Pieces[0].In, s.Pieces[1].In = record.HeldByRobot(0), record.HeldByRobot(1)
			s.Pieces[4].In = record.HeldByRobot(1) // a block
		}, pair{1, 1}, pair{6, -3}},
		{"a formula of the time", `kind = "formula"
points = "time + 10 * time_left + 100 * phase_left"
when = "phase == 'second' and phase != 'first'"`, func(s *scoring.State) {
			s.Clock = scoring.Clock{Phase: 1, Now: 12.5, PhaseEnds: 15, Ends: 20}
		}, pair{1, 1}, pair{337.5, 337.5}}, // 12.5 + 75 + 250
		{"a formula whose condition does not hold", `kind = "formula"
points = 7
when = "phase == 'first'"`, func(s *scoring.State) { s.Phase = 1 }, pair{0, 0}, pair{0, 0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := field(t, "[[rules]]\nname = \"rule\"\n"+c.rule)
			state := start(f)
			c.set(state)
			sheet := scoring.New(f).Sheet(state)
			want := record.Sheet{Sides: []string{"red", "blue"},
				Rows: []record.Row{{Rule: "rule", Count: c.count, Points: c.points}}, Total: c.points, Winner: -1}
			if c.points[red] != c.points[blue] {
				want.Winner = slices.Index(c.points, max(c.points[red], c.points[blue]))
			}
			if diff := cmp.Diff(want, sheet); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func drawn(s *scoring.State) { s.Closed = []scoring.Closed{{Phase: 0, Ahead: []int{red, blue}}} }

const potRules = `
[[rules]]
name = "pot in den"
kind = "goal in zone"
zone = "den"
goals = ["pot"]
points = 1
times = 2
[[rules]]
name = "ball in pot"
kind = "piece in goal"
pieces = ["ball"]
goals = ["pot"]
points = 2
[[rules]]
name = "block in pot"
kind = "piece in goal"
pieces = ["block"]
goals = ["pot"]
points = 7
credit = "piece"
`

// A pot in blue's den doubles what its pieces brought blue, not what they brought red; the gain stands in the pot's
// row.
func TestTimesMultipliesTheZonesSideOnly(t *testing.T) {
	f := field(t, potRules)
	s := start(f)
	s.Goals[0] = at(3.5, 1)
	s.Pieces[0] = scoring.Piece{In: pot, Scorer: red}
	s.Pieces[1] = scoring.Piece{In: pot, Scorer: blue}
	s.Pieces[2] = scoring.Piece{In: blueShelf, Scorer: blue}
	s.Pieces[5] = scoring.Piece{In: pot, Scorer: red}
	want := record.Sheet{
		Sides: []string{"red", "blue"},
		Rows: []record.Row{
			{Rule: "pot in den", Count: pair{0, 1}, Points: pair{0, 1 + 2 + 7}},
			{Rule: "ball in pot", Count: pair{1, 1}, Points: pair{2, 2}},
			{Rule: "block in pot", Count: pair{0, 1}, Points: pair{0, 7}},
		},
		Total: pair{2, 19}, Winner: blue,
	}
	if diff := cmp.Diff(want, scoring.New(f).Sheet(s)); diff != "" {
		t.Error(diff)
	}
}

// A formula counts after what it reads, wherever it stands: 5 for each pair of a ball in the pot and a ball on the own
// shelf, and half of its points again for who has more pairs than the other side.
func TestFormulasOfFormulas(t *testing.T) {
	f := field(t, `
[[rules]]
name = "more pairs"
kind = "formula"
points = "points('pairs') / 2"
when = "count('pairs') > 0 and points('pairs') > other.points('pairs')"
[[rules]]
name = "pairs"
kind = "formula"
points = "5 * min(count('ball in pot'), count('ball on shelf'))"
`+tieRules)
	s := start(f)
	s.Pieces[0] = scoring.Piece{In: pot, Scorer: blue}
	s.Pieces[1] = scoring.Piece{In: pot, Scorer: blue}
	s.Pieces[2] = scoring.Piece{In: blueShelf, Scorer: red}
	scorer := scoring.New(f)
	want := record.Sheet{
		Sides: []string{"red", "blue"},
		Rows: []record.Row{
			{Rule: "more pairs", Count: pair{0, 1}, Points: pair{0, 2.5}},
			{Rule: "pairs", Count: pair{0, 1}, Points: pair{0, 5}},
			{Rule: "ball in pot", Count: pair{0, 2}, Points: pair{0, 4}},
			{Rule: "ball on shelf", Count: pair{0, 1}, Points: pair{0, 4}},
			{Rule: "line", Count: pair{0, 0}, Points: pair{0, 0}},
		},
		Total: pair{0, 15.5}, Winner: blue,
	}
	for range 2 { // the second time nothing has changed
		if diff := cmp.Diff(want, scorer.Sheet(s)); diff != "" {
			t.Error(diff)
		}
	}
	s.Pieces[1] = scoring.Piece{In: redShelf, Scorer: blue}
	s.Pieces[3] = scoring.Piece{In: pot, Scorer: red}
	if got := scorer.Totals(s); !slices.Equal(got, pair{11, 11}) { // a pair each: 2 + 4 + 5
		t.Errorf("totals %v", got)
	}
}

const tieRules = `
[[rules]]
name = "ball in pot"
kind = "piece in goal"
pieces = ["ball"]
goals = ["pot"]
points = 2
[[rules]]
name = "ball on shelf"
kind = "piece in goal"
goals = ["shelf"]
credit = "goal"
points = 4
[[rules]]
name = "line"
kind = "line crossed"
line = "middle"
points = 0
`

func TestTieBreak(t *testing.T) {
	even := func(s *scoring.State) { // 4 : 4
		s.Pieces[0] = scoring.Piece{In: pot, Scorer: red}
		s.Pieces[1] = scoring.Piece{In: pot, Scorer: red}
		s.Pieces[2] = scoring.Piece{In: blueShelf, Scorer: blue}
	}
	for _, c := range []struct {
		name, ties string
		set        func(*scoring.State)
		winner     int
		broken     string
	}{
		{"shelf count decides", `["ball on shelf"]`, even, blue, "ball on shelf"},
		{"pot count decides first", `["ball in pot", "ball on shelf"]`, even, red, "ball in pot"},
		{"the first says nothing, the second decides", `["line", "ball on shelf"]`, even, blue, "ball on shelf"},
		{"no tie-break", `[]`, even, -1, ""},
		{"all even", `["ball on shelf"]`, func(*scoring.State) {}, -1, ""},
		{"fewer fouls win", `["line"]`, func(s *scoring.State) { s.Fouls = []scoring.Foul{{Rule: 2, Side: blue}} }, red,
			"line"},
		{"no tie to break", `["ball on shelf"]`, func(s *scoring.State) {
			s.Pieces[0] = scoring.Piece{In: pot,
				Scorer: red}
		}, red, ""},
	} {
		f, err := fields.Parse("game.toml", []byte("tie_break = "+c.ties+"\n"+game+tieRules))
		if err != nil {
			t.Fatal(err)
		}
		s := start(f)
		c.set(s)
		if sheet := scoring.New(f).Sheet(s); sheet.Winner != c.winner || sheet.Broken != c.broken {
			t.Errorf("%s: winner %d, broken by %q", c.name, sheet.Winner, sheet.Broken)
		}
	}
}

func TestClosePhaseSettlesWhoIsAhead(t *testing.T) {
	f := field(t, tieRules)
	scorer, s := scoring.New(f), start(f)
	scorer.ClosePhase(0, s)
	s.Pieces[0] = scoring.Piece{In: pot, Scorer: blue}
	scorer.ClosePhase(1, s)
	if want := []scoring.Closed{{0, []int{red, blue}}, {1, []int{blue}}}; !cmp.Equal(s.Closed, want) {
		t.Errorf("closed %v", s.Closed)
	}
}

// The middle line runs from the lower wall to half way up; a robot is 400 mm square.
func TestFouls(t *testing.T) {
	for _, c := range []struct {
		name       string
		home, then geom.Pose
		foul       bool
	}{
		{"stays home", at(1, 0.5), at(1.7, 0.5), false},
		{"touches the line", at(1, 0.5), at(1.8, 0.5), false},
		{"half a millimetre over", at(1, 0.5), at(1.8005, 0.5), false},
		{"two millimetres over", at(1, 0.5), at(1.802, 0.5), true},
		{"comes from the right", at(3, 0.5), at(2.1, 0.5), true},
		{"right of the line, at home there", at(3, 0.5), at(2.3, 0.5), false},
		{"a turned corner over", at(1, 0.5), geom.Pose{X: 1.75, Y: 0.5, Heading: math.Pi / 4}, true},
		{"around the line's end", at(1, 0.5), at(2.1, 1.3), false},
		{"over the line's end", at(1, 0.5), at(2.0, 1.1), true},
		{"starts on the line", at(2, 0.5), at(2, 0.5), true},
	} {
		f := field(t, tieRules)
		scorer, s := scoring.New(f), start(f)
		s.Robots = []scoring.Robot{robot(red, at(0.5, 1.5)), robot(blue, c.home)}
		scoring.OpenPhase(s)
		s.Robots[1].At = c.then
		got := len(scorer.Fouls(0, s)) == 1
		if got != c.foul {
			t.Errorf("%s: foul %v", c.name, got)
		}
		if got && (!cmp.Equal(s.Fouls, []scoring.Foul{{Rule: 2, Robot: 1, Side: blue, Phase: 0}}) ||
			len(scorer.Fouls(0, s)) != 0) {
			t.Errorf("%s: fouls %v", c.name, s.Fouls)
		}
		if got && len(scorer.Fouls(1, s)) != 1 {
			t.Errorf("%s: not a foul again in the next phase", c.name)
		}
	}
}

func TestAFoulOfOnePhaseIsNoneInAnother(t *testing.T) {
	f := field(t, "[[rules]]\nname = \"line\"\nkind = \"line crossed\"\nline = \"middle\"\nphase = "+
		"\"second\"\npoints = 1\n")
	scorer, s := scoring.New(f), start(f)
	s.Robots = []scoring.Robot{robot(red, at(1, 0.5))}
	scoring.OpenPhase(s)
	s.Robots[0].At = at(2, 0.5)
	if len(scorer.Fouls(0, s)) != 0 || len(scorer.Fouls(1, s)) != 1 {
		t.Errorf("fouls %v", s.Fouls)
	}
}

// A sheet given away must not change when the scorer goes on.
func TestSheetIsACopy(t *testing.T) {
	f := field(t, tieRules)
	scorer, s := scoring.New(f), start(f)
	before := scorer.Sheet(s)
	text := fmt.Sprint(before)
	s.Pieces[0] = scoring.Piece{In: pot, Scorer: red}
	scorer.Totals(s)
	if fmt.Sprint(before) != text {
		t.Error("the sheet changed")
	}
}
