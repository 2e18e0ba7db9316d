package scoring_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/fields/randomgame"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/sim/scoring"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// step is what happens between two looks at a random game: robots stand elsewhere, a piece goes somewhere, and so does
// a goal.
type step struct {
	robots []geom.Pose
	piece  int
	to     scoring.Piece
	goal   int
	at     geom.Pose
}

func anyStep(f *fields.Field, robots int) *rapid.Generator[step] {
	place := anywhere(f)
	return rapid.Custom(func(t *rapid.T) step {
		s := step{robots: rapid.SliceOfN(place, robots, robots).Draw(t, "robots"),
			piece: rapid.IntRange(0, len(f.Pieces)-1).Draw(t, "piece"),
			goal:  rapid.IntRange(0, len(f.Goals)-1).Draw(t, "goal"), at: place.Draw(t, "goal at")}
		s.to = scoring.Piece{At: place.Draw(t, "at"), Scorer: rapid.IntRange(0, 1).Draw(t, "by"),
			Crooked: rapid.IntRange(0, 9).Draw(t, "crooked") == 0}
		switch where := rapid.IntRange(-1-len(f.Loads), len(f.Goals)+robots-1).Draw(t, "where"); {
		case where < -1:
			s.to.In = record.WithPerson(-2 - where)
		case where >= len(f.Goals):
			s.to.In = record.HeldByRobot(where - len(f.Goals))
		case where >= 0:
			s.to.In = record.InGoal(len(f.Pieces) + where)
		}
		return s
	})
}

// mirror is a step seen from the other side.
func (s step) mirror(f *fields.Field, pieces, goals []int) step {
	out := step{piece: pieces[s.piece], to: s.to, goal: goals[s.goal], at: f.Mirror(s.at)}
	out.to.At, out.to.Scorer = f.Mirror(s.to.At), 1-s.to.Scorer
	if body := s.to.In.Goal(); body >= 0 {
		out.to.In = record.InGoal(len(f.Pieces) + goals[body-len(f.Pieces)])
	}
	if load := s.to.In.Person(); load >= 0 {
		out.to.In = record.WithPerson(load ^ 1) // each is followed by its copy
	}
	for _, p := range s.robots {
		out.robots = append(out.robots, f.Mirror(p))
	}
	return out
}

// playOut plays steps on a field, with robots of sides, and gives the sheets after each of them and at the end.
func playOut(f *fields.Field, sides []int, steps []step) (sheets []record.Sheet) {
	scorer, s := scoring.New(f), start(f)
	for _, side := range sides {
		s.Robots = append(s.Robots, robot(side, at(0.5+3*float64(side), 0.5)))
	}
	each := len(steps)/len(f.Phases) + 1
	for i, st := range steps {
		s.Now = float64(i)
		if phase := i / each; i%each == 0 {
			if phase > 0 {
				scorer.ClosePhase(phase-1, s)
			}
			s.Clock = scoring.Clock{Phase: phase, Now: s.Now, PhaseEnds: s.Now + float64(each), Ends: float64(len(steps))}
			scoring.OpenPhase(s)
			scorer.Watch(s)
		}
		for k, p := range st.robots {
			s.Robots[k].At = p
		}
		s.Pieces[st.piece], s.Goals[st.goal] = st.to, st.at
		scorer.Watch(s)
		scorer.Fouls(s.Phase, s)
		sheets = append(sheets, scorer.Sheet(s))
	}
	scorer.ClosePhase(s.Phase, s)
	s.Over = true
	return append(sheets, scorer.Sheet(s))
}

// otherSide is a text about sides seen from the other one.
var otherSide = strings.NewReplacer(`"red`, `"blue`, `"blue`, `"red`)

// Random games from the whole grammar, with goals that let pieces out, goals that tip and people who load, are read,
// and neither side has an advantage in one: played by two random robots, and once more with everything mirrored, they
// give at every moment the same sheet with sides swapped. Its rows add up.
func TestRandomGamesAreFair(t *testing.T) {
	plain := field(t, "")
	counted := map[fields.RuleKind]bool{}
	property.Check(t, func(t *rapid.T) {
		draw := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "rules"), 0)).IntN
		file := randomgame.Goals(game, draw) + randomgame.Loads(plain, draw(3), draw)
		base, err := fields.Parse("game.toml", []byte(file))
		if err != nil {
			t.Fatalf("%v\n%s", err, file)
		}
		pieces, goals := twins(t, base)
		text := randomgame.Rules(base, 5+draw(40), draw)
		f, err := fields.Parse("game.toml", []byte(file+text))
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		mirrored, err := fields.Parse("game.toml", []byte(file+otherSide.Replace(text)))
		if err != nil {
			t.Fatal(err)
		}
		sides := []int{0, 1, rapid.IntRange(0, 1).Draw(t, "third")}
		steps := rapid.SliceOfN(anyStep(base, len(sides)), 2, 30).Draw(t, "steps")
		images := make([]step, len(steps))
		for i, s := range steps {
			images[i] = s.mirror(base, pieces, goals)
		}
		sheets := playOut(f, sides, steps)
		others := playOut(mirrored, []int{1, 0, 1 - sides[2]}, images)
		for i, sheet := range sheets {
			for k, r := range sheet.Rows {
				counted[f.Rules[k].Kind] = counted[f.Rules[k].Kind] || r.Count[0]+r.Count[1] > 0
			}
			for side, total := range sheet.Total {
				sum := 0.0
				for _, r := range sheet.Rows {
					sum = record.Round(sum + r.Points[side])
				}
				if sum != total {
					t.Errorf("rows of side %d add up to %g, not to %g", side, sum, total)
				}
			}
			if diff := cmp.Diff(swap(sheet), others[i], cmpopts.EquateApprox(0, 1e-6)); diff != "" {
				t.Fatalf("step %d: %s\n%s", i, diff, text)
			}
		}
	})
	for _, kind := range fields.RuleKinds() {
		if !counted[kind] {
			t.Errorf("no random game ever counted %q, so this test says nothing about it", kind)
		}
	}
}

// Scoring a field under way makes no garbage, with all kinds of rules: a formula is worked out again only when
// something that it reads has changed.
func TestScoringAllKindsMakesNoGarbage(t *testing.T) {
	base := field(t, "")
	n := 0
	var text string
	for ; text == "" || slices.ContainsFunc(fields.RuleKinds(), func(k fields.RuleKind) bool {
		return !strings.Contains(text, fmt.Sprintf("kind = %q", k))
	}); n++ {
		seed := n
		text = randomgame.Rules(base, 60, func(n int) int {
			seed = (seed*1103515245 + 12345) & (1<<31 - 1)
			return seed >> 8 % n
		})
	}
	f := field(t, text)
	s := anyState(f).Example(5)
	s.Robots = []scoring.Robot{robot(red, at(1, 1)), robot(blue, at(1.3, 1))}
	scorer := scoring.New(f)
	scoring.OpenPhase(s)
	all := func() { scorer.Watch(s); scorer.Fouls(0, s); scorer.Totals(s) }
	all()
	if n := testing.AllocsPerRun(100, all); n != 0 {
		t.Errorf("%g allocations a tick", n)
	}
}
