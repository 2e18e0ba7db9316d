package scoring_test

import (
	"slices"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/scoring"

	"github.com/google/go-cmp/cmp"
)

// in puts a ball or block into a goal, by a side's robot at a time.
func in(s *scoring.State, piece int, goal record.Holder, by int, t float64, phase int) {
	s.Pieces[piece] = scoring.Piece{In: goal, Scorer: by}
	for len(s.Entered) < len(s.Pieces) {
		s.Entered = append(s.Entered, scoring.Entry{T: -1, Phase: -1})
	}
	s.Entered[piece] = scoring.Entry{In: goal, T: t, Phase: phase}
}

// Sheets computed by hand for the rules about how pieces lie and when they came, as in TestEachRuleKind. Each is
// computed again with the sides changed over.
func TestRulesAboutOrderAndTime(t *testing.T) {
	type put struct {
		piece int
		goal  record.Holder
		by    int
		t     float64
		phase int
	}
	for _, c := range []struct {
		name, rule    string
		puts          []put
		count, points pair
	}{
		{"a pair of kinds in one goal, of one side's pieces", `kind = "set"
points = 8
set = ["ball", "block"]`,
			[]put{{0, pot, red, 1, 0}, {4, pot, red, 2, 0}, {1, pot, blue, 3, 0}}, pair{1, 0}, pair{8, 0}},
		{"two sets of a pair each", `kind = "set"
points = 8
set = ["ball"]
each = 2`, []put{{0, pot, red, 1, 0}, {1, pot, red, 2, 0}, {2, pot, red, 3, 0}, {3, redShelf, red, 4, 0}}, pair{1, 0},
			pair{8, 0}},
		{"a set to the goal's side, whoever made it", `kind = "set"
points = 8
set = ["ball"]
each = 2
credit = "goal"`,
			[]put{{0, redShelf, red, 1, 0}, {1, redShelf, blue, 2, 0}, {2, pot, blue, 3, 0}, {3, pot, blue, 4, 0}},
			pair{1, 0}, pair{8, 0}},
		{"a run of two: broken by the other side, and each piece once", `kind = "set"
points = 3
run = 2`,
			[]put{{0, pot, red, 5, 0}, {1, pot, red, 2, 0}, {2, pot, blue, 3, 0}, {4, pot, red, 4, 0}}, // red blue red red
			pair{1, 0}, pair{3, 0}},
		{"a run of three is one run of two", `kind = "set"
points = 3
run = 2
count = 5`, []put{{0, pot, red, 5, 0}, {1, pot, red, 2, 0}, {2, pot, red, 3, 0}}, pair{1, 0}, pair{3, 0}},
		{"a goal belongs to the side with more in it", `kind = "owner"
points = 4
credit = "scorer"`, []put{{0, pot, red, 1, 0}, {1, pot, red, 2, 0}, {2, pot, blue, 3, 0}, {3, blueShelf, blue, 1, 0}},
			pair{1, 1}, pair{4, 4}},
		{"the piece on top was taken out again: the one below is the last", `kind = "owner"
by = "last"
points = 4`, []put{{0, pot, red, 1, 0}, {2, pot, blue, 3, 0}, {2, record.HeldByRobot(0), blue, 4, 0}}, pair{1, 0},
			pair{4, 0}},
		{"a run that lost its top is one no more", `kind = "set"
points = 3
run = 2`, []put{{0, pot, red, 1, 0}, {1, pot, red, 2, 0}, {1, record.OnFloor, red, 4, 0}, {2, blueShelf, blue, 1, 0},
			{3, blueShelf, blue, 2, 0}}, pair{0, 1}, pair{0, 3}},
		{"put back on top it is the last again", `kind = "owner"
by = "last"
points = 4`, []put{{0, pot, red, 1, 0}, {2, pot, blue, 2, 0}, {0, record.HeldByRobot(1), red, 3, 0},
			{0, pot, red, 4, 0}}, pair{1, 0}, pair{4, 0}},
		{"what is spilled holds no row", `kind = "line of goals"
points = 12
rows = [["red shelf 1", "pot 1"]]`,
			[]put{{0, redShelf, red, 1, 0}, {1, pot, red, 2, 0}, {1, record.OnFloor, red, 3, 0}}, pair{0, 0}, pair{0, 0}},
		{"what waits with a person is in no goal", `kind = "piece in goal"
points = 2`, []put{{0, pot, red, 1, 0}, {1, record.WithPerson(0), red, 2, 0}}, pair{1, 0}, pair{2, 0}},
		{"as many of each: nobody's", `kind = "owner"
points = 4`, []put{{0, pot, red, 1, 0}, {2, pot, blue, 3, 0}}, pair{0, 0}, pair{0, 0}},
		{"a goal belongs to the last piece's side", `kind = "owner"
by = "last"
goals = ["pot"]
points = 4`,
			[]put{{0, pot, red, 1, 0}, {1, pot, red, 2, 0}, {2, pot, blue, 3, 0}, {3, redShelf, red, 4, 0}}, pair{0, 1},
			pair{0, 4}},
		{"two sides' pieces came last at once: nobody's", `kind = "owner"
by = "last"
points = 4`, []put{{0, pot, red, 3, 0}, {2, pot, blue, 3, 0}}, pair{0, 0}, pair{0, 0}},
		{"the piece's own side", `kind = "owner"
by = "last"
pieces = ["block"]
credit = "piece"
points = 4`, []put{{4, pot, blue, 3, 0}, {2, pot, blue, 5, 0}}, pair{1, 0}, pair{4, 0}},
		{"a row of three goals", `kind = "line of goals"
points = 12
rows = [["red shelf 1", "pot 1", "blue shelf 1"], ["pot 1", "blue shelf 1"], ["red shelf 1", "pot 1"]]`,
			[]put{{0, redShelf, red, 1, 0}, {1, pot, red, 2, 0}, {2, pot, red, 2, 0}, {3, blueShelf, red, 3, 0}}, pair{3, 0},
			pair{36, 0}},
		{"a row with a gap", `kind = "line of goals"
points = 12
rows = [["red shelf 1", "pot 1", "blue shelf 1"], ["red shelf 1", "pot 1"]]`,
			[]put{{0, redShelf, red, 1, 0}, {1, pot, red, 2, 0}}, pair{1, 0}, pair{12, 0}},
		{"put there in the first phase", `kind = "piece scored by"
points = 2
phase = "first"`,
			[]put{{0, pot, red, 1, 0}, {1, pot, red, 12, 1}, {2, pot, blue, 9, 0}, {3, pot, blue, -1, -1}}, pair{1, 1},
			pair{2, 2}},
		{"put there before a time", `kind = "piece scored by"
points = 2
before = "9 s"
goals = ["pot"]`, []put{{0, pot, red, 9, 0}, {1, pot, red, 9.01, 0}, {2, pot, blue, 12, 1}, {3, redShelf, red, 1, 0}},
			pair{1, 0}, pair{2, 0}},
	} {
		for _, swapped := range []bool{false, true} {
			f := field(t, "[[rules]]\nname = \"rule\"\n"+c.rule)
			s := start(f)
			count, points := slices.Clone(c.count), slices.Clone(c.points)
			for _, p := range c.puts {
				if swapped {
					p.piece = []int{2, 3, 0, 1, 5, 4}[p.piece] // left and right
					p.goal = map[record.Holder]record.Holder{pot: pot, redShelf: blueShelf, blueShelf: redShelf}[p.goal]
					p.by = 1 - p.by
				}
				in(s, p.piece, p.goal, p.by, p.t, p.phase)
			}
			if swapped {
				slices.Reverse(count)
				slices.Reverse(points)
			}
			row := scoring.New(f).Sheet(s).Rows[0]
			// rows of goals are not mirrored here: the whole row alone is its own image
			if swapped && c.name == "a row with a gap" || swapped && c.name == "a row of three goals" {
				continue
			}
			if diff := cmp.Diff(record.Row{Rule: "rule", Count: count, Points: points}, row); diff != "" {
				t.Errorf("%s, swapped %v: %s", c.name, swapped, diff)
			}
		}
	}
}

func TestRulesAboutRobots(t *testing.T) {
	for _, c := range []struct {
		name, rule    string
		robots        []scoring.Robot
		held          []int // by the robot of that place: a ball, and the block of red
		count, points pair
	}{
		{"a robot at a wall", `kind = "robot touches"
with = "wall"
points = 2`,
			[]scoring.Robot{robot(red, at(0.201, 1)), robot(red, at(0.203, 1)), robot(blue, at(3.5, 1.8))}, nil, pair{1, 1},
			pair{2, 2}},
		{"a robot at a goal of its own or nobody's", `kind = "robot touches"
with = "goal"
points = 2`, []scoring.Robot{robot(red, at(1.151, 1.7)), robot(blue, at(1.151, 1.7)), robot(blue, at(2, 0.7))}, nil,
			pair{1, 1}, pair{2, 2}},
		{"a robot at a goal of a kind", `kind = "robot touches"
with = "goal"
goals = ["shelf"]
points = 2`, []scoring.Robot{robot(red, at(2, 0.7)), robot(blue, at(2.849, 1.7))}, nil, pair{0, 1}, pair{0, 2}},
		{"pieces held", `kind = "held"
points = 5`, []scoring.Robot{robot(red, at(1, 1)), robot(blue, at(3, 1))}, []int{0, 1, 0, 0}, pair{3, 1}, pair{15, 5}},
		{"pieces of a kind held, at most so many", `kind = "held"
pieces = ["ball"]
count = 1
points = 5`, []scoring.Robot{robot(red, at(1, 1)), robot(blue, at(3, 1))}, []int{0, 1, 0}, pair{1, 1}, pair{5, 5}},
		{"a foul: the other side's den", `kind = "contact"
with = "zone"
zone = "den"
points = 3`,
			[]scoring.Robot{robot(red, at(2.81, 1)), robot(red, at(2.79, 1)), robot(blue, at(3.5, 1))}, nil, pair{1, 0},
			pair{0, 3}},
		{"a foul: wholly in the other side's den, at its own cost", `kind = "contact"
with = "zone"
zone = "den"
inside = "all"
penalty = "lost"
points = 3`,
			[]scoring.Robot{robot(red, at(3.19, 1)), robot(red, at(3.21, 1)), robot(blue, at(1.1, 1))}, nil, pair{1, 0},
			pair{-3, 0}},
		{"a foul: the other side's goal", `kind = "contact"
with = "goal"
points = 3`, []scoring.Robot{robot(red, at(1.151, 1.7)), robot(blue, at(1.151, 1.1)), robot(blue, at(1.65, 1.7)),
			robot(red, at(2, 0.7))}, nil, pair{0, 1}, pair{3, 0}},
		{"a foul: the other side's robot, and both touch", `kind = "contact"
with = "robot"
points = 3`,
			[]scoring.Robot{robot(red, at(1, 1)), robot(blue, at(1.401, 1)), robot(blue, at(1.804, 1))}, nil, pair{1, 1},
			pair{3, 3}},
		{"a foul: the other side's robot in its den", `kind = "contact"
with = "robot"
zone = "den"
inside = "centre"
points = 3`,
			[]scoring.Robot{robot(red, at(0.9, 1)), robot(blue, at(1.301, 1)), robot(red, at(0.6, 1.5))}, nil, pair{0, 1},
			pair{3, 0}},
		{"a foul: too many held", `kind = "limit"
most = 2
points = 3`, []scoring.Robot{robot(red, at(1, 1)), robot(blue, at(3, 1))}, []int{0, 0, 1, 0}, pair{1, 0}, pair{0, 3}},
		{"no foul: as many as may be held", `kind = "limit"
most = 3
points = 3`, []scoring.Robot{robot(red, at(1, 1)), robot(blue, at(3, 1))}, []int{0, 0, 1, 0}, pair{0, 0}, pair{0, 0}},
		{"a foul: any of a kind held, in the second phase", `kind = "limit"
most = 0
pieces = ["block"]
phase = "second"
penalty = "lost"
points = 3`,
			[]scoring.Robot{robot(red, at(1, 1)), robot(blue, at(3, 1))}, []int{0, 0, 0, 0, 0, 1}, pair{1, 1}, pair{-3, -3}},
	} {
		for _, swapped := range []bool{false, true} {
			f := field(t, "[[rules]]\nname = \"rule\"\n"+c.rule)
			scorer, s := scoring.New(f), start(f)
			count, points := slices.Clone(c.count), slices.Clone(c.points)
			s.Robots = slices.Clone(c.robots)
			for k, by := range c.held {
				piece := k
				if swapped {
					piece = []int{2, 3, 0, 1, 5, 4}[k]
				}
				s.Pieces[piece].In = record.HeldByRobot(by)
			}
			if swapped {
				slices.Reverse(count)
				slices.Reverse(points)
				for k := range s.Robots {
					s.Robots[k].Side, s.Robots[k].At = 1-s.Robots[k].Side, f.Mirror(s.Robots[k].At)
				}
			}
			for phase := range f.Phases {
				scoring.OpenPhase(s)
				scorer.Watch(s)
				scorer.Fouls(phase, s)
				if phase == 0 && !slices.ContainsFunc(f.Rules, func(r fields.Rule) bool { return r.Phase >= 0 }) {
					break
				}
			}
			if diff := cmp.Diff(record.Row{Rule: "rule", Count: count, Points: points}, scorer.Sheet(s).Rows[0]); diff != "" {
				t.Errorf("%s, swapped %v: %s", c.name, swapped, diff)
			}
		}
	}
}

// A line for one side's robots, and one that all of a robot must be over.
func TestLinesForOneSideAndWholeRobots(t *testing.T) {
	for _, c := range []struct {
		name, keys string
		home, then geom.Pose
		foul       bool
	}{
		{"blue's robot over blue's line", `side = "blue"`, at(3, 0.5), at(2.1, 0.5), true},
		{"blue's robot over red's line", `side = "red"`, at(3, 0.5), at(2.1, 0.5), false},
		{"a part over, where all must be", `inside = "all"`, at(3, 0.5), at(1.81, 0.5), false},
		{"half a millimetre over", `inside = "all"`, at(3, 0.5), at(1.7995, 0.5), false},
		{"2 mm over", `inside = "all"`, at(3, 0.5), at(1.798, 0.5), true},
		{"far over", `inside = "all"`, at(3, 0.5), at(0.5, 0.5), true},
		{"beyond the line's end", `inside = "all"`, at(3, 0.5), at(0.5, 1.1), false},
		{"stays at home", `inside = "all"`, at(3, 0.5), at(3.5, 0.5), false},
		{"from the left", `inside = "all"`, at(1, 0.5), at(2.202, 0.5), true},
		{"began on the line", `inside = "all"`, at(2, 0.5), at(2.3, 0.5), true},
	} {
		f := field(t, "[[rules]]\nname = \"line\"\nkind = \"line crossed\"\nline = \"middle\"\npoints = 1\n"+c.keys)
		scorer, s := scoring.New(f), start(f)
		s.Robots = []scoring.Robot{robot(blue, c.home)}
		scoring.OpenPhase(s)
		s.Robots[0].At = c.then
		if got := len(scorer.Fouls(0, s)) == 1; got != c.foul {
			t.Errorf("%s: foul %v", c.name, got)
		}
	}
}

// The rule "robots in their den" judged at different times: both robots of red are in theirs when the first phase ends,
// one when the second does.
func TestWhenARuleIsJudged(t *testing.T) {
	for judged, want := range map[string][]pair{ // points during the first phase, in the second, at the end
		``:                     {{0, 5}, {10, 0}, {5, 5}},
		`judged = "always"`:    {{0, 5}, {10, 0}, {5, 5}},
		`judged = "end"`:       {{0, 0}, {0, 0}, {5, 5}},
		`judged = "phase end"`: {{0, 0}, {10, 0}, {15, 5}},
		"judged = \"phase end\"\nphase = \"first\"":  {{0, 0}, {10, 0}, {10, 0}},
		"judged = \"phase end\"\nphase = \"second\"": {{0, 0}, {0, 0}, {5, 5}},
	} {
		f := field(t, "[[rules]]\nname = \"rule\"\nkind = \"robot in zone\"\nzone = \"den\"\npoints = 5\n"+judged)
		scorer, s := scoring.New(f), start(f)
		away, home, blueHome := at(1.5, 1), at(0.5, 1), at(3.5, 1)
		s.Robots = []scoring.Robot{robot(red, away), robot(red, away), robot(blue, blueHome)}
		var got []pair
		look := func() { got = append(got, slices.Clone(scorer.Totals(s))) }
		look()
		s.Robots[0].At, s.Robots[1].At, s.Robots[2].At = home, home, away
		scorer.ClosePhase(0, s)
		look()
		s.Robots[1].At, s.Robots[2].At = away, blueHome
		scorer.ClosePhase(1, s)
		s.Over = true
		look()
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: %s", judged, diff)
		}
	}
}

// A bonus for time: what is left of it when a side's third ball comes into the pot, and stays whatever becomes of them.
func TestAFormulaJudgedOnce(t *testing.T) {
	f := field(t, tieRules+`
[[rules]]
name = "early"
kind = "formula"
points = "floor(time_left)"
when = "count('ball in pot') >= 2"
judged = "once"
`)
	scorer, s := scoring.New(f), start(f)
	s.Ends = 20
	look := func(now float64) pair {
		s.Now = now
		scorer.Totals(s) // looking decides nothing
		scorer.Watch(s)
		return scorer.Sheet(s).Rows[3].Points
	}
	s.Pieces[0] = scoring.Piece{In: pot, Scorer: blue}
	for _, step := range []struct {
		now    float64
		piece  int
		in     record.Holder
		by     int
		points pair
	}{
		{3, 1, pot, red, pair{0, 0}}, {7.5, 2, pot, blue, pair{0, 12}}, {9, 0, record.OnFloor, blue, pair{0, 12}},
		{10, 3, pot, red, pair{10, 12}}, {19, 0, pot, blue, pair{10, 12}},
	} {
		s.Pieces[step.piece] = scoring.Piece{In: step.in, Scorer: step.by}
		if got := look(step.now); !slices.Equal(got, step.points) {
			t.Errorf("at %g s: %v, want %v", step.now, got, step.points)
		}
	}
}

// Watch notes when a piece came into a goal, and in which phase; what was there from the start is of none.
func TestWatchNotesWhenPiecesCame(t *testing.T) {
	f := field(t, "[[rules]]\nname = \"rule\"\nkind = \"piece scored by\"\nphase = \"first\"\npoints = 1\n")
	scorer, s := scoring.New(f), start(f)
	s.Pieces[0] = scoring.Piece{In: pot, Scorer: red}
	scorer.Watch(s)
	s.Pieces[1] = scoring.Piece{In: pot, Scorer: red}
	s.Clock = scoring.Clock{Phase: 0, Now: 4}
	scorer.Watch(s)
	s.Clock = scoring.Clock{Phase: 1, Now: 12}
	s.Pieces[2] = scoring.Piece{In: pot, Scorer: blue}
	scorer.Watch(s)
	want := []scoring.Entry{{In: pot, T: -1, Phase: -1}, {In: pot, T: 4}, {In: pot, T: 12, Phase: 1}}
	if diff := cmp.Diff(want, s.Entered[:3]); diff != "" {
		t.Error(diff)
	}
	if got := scorer.Totals(s); !slices.Equal(got, pair{1, 0}) {
		t.Errorf("totals %v", got)
	}
}
