package rehearse

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/fields/randomgame"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"

	"github.com/google/go-cmp/cmp"
)

// wild is a routine that does anything: it drives by drawn volts, and its mechanisms run, grip and let go.
func wild(draw *rand.Rand) string {
	var text strings.Builder
	for range 12 {
		switch draw.IntN(4) {
		case 0:
			fmt.Fprintf(&text, "bot.intake:run(%d)\n", draw.IntN(12))
		case 1:
			fmt.Fprintf(&text, "bot.conveyor:run(%d)\n", draw.IntN(12))
		case 2:
			text.WriteString([]string{"bot.clamp:shut()\n", "bot.clamp:open()\n"}[draw.IntN(2)])
		}
		fmt.Fprintf(&text, "bot.drive:volts(%d, %d)\nwait(%.2f)\n", draw.IntN(21)-10, draw.IntN(21)-10,
			0.1+0.4*draw.Float64())
	}
	return text.String()
}

// Random games from the whole grammar are played by two random robots. The last score of the record is its sheet's, a
// sparse record has the same sheet, and so has the game of the same file whose sides are listed the other way round.
func TestRandomGamesArePlayed(t *testing.T) {
	file, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.NewReplacer(`"20 s"`, `"3 s"`, `"100 s"`, `"1.5 s"`, "tie_break = [\"core on rack\"]\n", "").Replace(
		string(file))
	head, rest, _ := strings.Cut(text, "[[rules]]")
	_, tail, _ := strings.Cut(rest, "[spread]")
	base, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	scores, spilled, loaded := 0, 0, 0
	for seed := range uint64(property.Cases(3, 200)) {
		draw := rand.New(rand.NewPCG(seed, 0))
		things := randomgame.Goals(head, draw.IntN) + randomgame.Loads(base, 1+draw.IntN(2), draw.IntN)
		whole, err := fields.Parse("things.toml", []byte(things))
		if err != nil {
			t.Fatalf("%v\n%s", err, things)
		}
		game := things + randomgame.Rules(whole, 12, draw.IntN) + "[spread]" + tail
		script := fmt.Sprintf("return routine { side = \"ochre\", start = {x = 560, y = 450, heading = %d}, auto = "+
			"function(bot)\n%send }",
			draw.IntN(360), wild(draw))
		play := func(game string, sparse bool) *record.Record {
			f, err := fields.Parse("game.toml", []byte(game))
			if err != nil {
				t.Fatalf("%v\n%s", err, game)
			}
			setup := onField(t, "core_haul", "hauler", source(t, script))
			setup.Field, setup.Session, setup.Seed, setup.Sparse = f, "match", seed, sparse
			other := setup.Entrants[0]
			setup.Entrants[0].Side, other.Side = "ochre", "teal"
			setup.Entrants = append(setup.Entrants, other)
			return rehearsed(t, setup)
		}
		rec := play(game, false)
		last := make([]float64, 2)
		for _, e := range rec.Events {
			switch e.Kind {
			case record.ScoreChange:
				last, scores = []float64{e.Totals[0].Value, e.Totals[1].Value}, scores+1
			case record.Spilled:
				spilled++
			case record.Loaded:
				loaded++
			}
		}
		if !slices.Equal(last, rec.Sheet.Total) {
			t.Errorf("the last score is %v, the sheet has %v\n%s", last, rec.Sheet.Total, game)
		}
		if diff := cmp.Diff(rec.Sheet.Rows, play(game, true).Sheet.Rows); diff != "" {
			t.Errorf("a sparse record's sheet: %s\n%s", diff, game)
		}
		turned := play(otherWayRound(game), false).Sheet.Rows
		for i := range turned {
			slices.Reverse(turned[i].Count)
			slices.Reverse(turned[i].Points)
		}
		if diff := cmp.Diff(rec.Sheet.Rows, turned); diff != "" {
			t.Errorf("sides listed the other way round: %s\n%s", diff, game)
		}
	}
	t.Logf("%d goals spilled, %d pieces loaded", spilled, loaded)
	if scores == 0 || loaded == 0 {
		t.Error("no random game ever gave points, or had people load, so this test says nothing")
	}
}

// otherWayRound lists the second side of a field's file first.
func otherWayRound(game string) string {
	parts := strings.SplitN(game, "[[sides]]", 3)
	second, rest, _ := strings.Cut(parts[2], "[[lines]]")
	return parts[0] + "[[sides]]" + second + "[[sides]]" + parts[1] + "[[lines]]" + rest
}
