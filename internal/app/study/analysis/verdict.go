package analysis

import (
	"fmt"
	"slices"
	"strings"

	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
)

// judge says whether the winner is better than what there is today.
func (t *Tune) judge() {
	than := fmt.Sprintf("%s from %s to %s", t.Aim.Of, t.shown(t.Today.Worth.Value), t.shown(t.Winner.Worth.Value))
	today, winner := t.Today.Worth, t.Winner.Worth
	switch {
	case winner.Failed >= 1:
		t.Verdict = "Nothing was found that does: every candidate fails with an error or lacks what the goal reads."
	case t.Alike:
		t.Verdict = fmt.Sprintf("Nothing to go by: all that was tried came to the same, %s %s. Give another --for, or let "+
			"more vary.", t.Aim.Of, t.shown(winner.Value))
	case winner.Short > 0:
		t.Verdict = fmt.Sprintf("No values were found that meet the limits; the nearest come to %s %s and miss %s.",
			t.Aim.Of, t.shown(winner.Value), strings.Join(t.Misses, "; "))
	case slices.Equal(t.Winner.Values, t.Today.Values):
		t.Verdict = "No better than before: nothing beat today's values."
	case winner.Failed > today.Failed:
		t.Verdict = "No better than before: the best that was found fails with an error more often."
	case today.Failed > winner.Failed:
		t.Is, t.Verdict = true, t.failsLess()
	case today.Short > 0:
		t.Is, t.Verdict = true, fmt.Sprintf("Better: the winner meets the limits, and today's values miss %s; %s.",
			strings.Join(t.TodayMisses, "; "), than)
	case t.Nominal && winner.Better(today):
		t.Is, t.Verdict = true, fmt.Sprintf("Better when nothing is drawn: %s. What happens over the spread, `chalkfield "+
			"compare` tells.", than)
	case t.Nominal:
		t.Verdict = "No better than before: " + than + "."
	default:
		t.compared(than)
	}
}

// compared judges by the pairs.
func (t *Tune) compared(than string) {
	d := &t.Better
	pairs := units.Counted(d.Pairs, "pair") + " with fresh seeds"
	switch least := stats.FewestPairs(1); {
	case d.Pairs < least:
		t.Verdict = fmt.Sprintf("Too few to tell: %s can show nothing, it takes %d or more (--confirm); %s.", pairs, least,
			than)
	case d.Real && d.Mean > 0:
		t.Is, t.Verdict = true, fmt.Sprintf("Better: %s, %s over %s.", than, t.Aim.Within(units.Metric, d), pairs)
	case d.Real:
		t.Verdict = fmt.Sprintf("No better than before: with fresh seeds the best that was found is worse, %s.", than)
	case d.Higher+d.Lower == 0:
		t.Verdict = fmt.Sprintf("No better than before: %s come to the same.", pairs)
	default:
		t.Verdict = fmt.Sprintf("No better than before that %s could show: %s, %s.", pairs, than,
			t.Aim.Within(units.Metric, d))
	}
}

// failsLess tells of a winner that fails less: with which error today's values fail, and whether there is anything else
// to it. Values may be so slow that they never come to the error.
func (t *Tune) failsLess() string {
	text := fmt.Sprintf("Fails less: today's values fail in %.0f %% of the rehearsals, the winner's in %.0f %%",
		100*t.Today.Worth.Failed, 100*t.Winner.Worth.Failed)
	if len(t.TodayErrors) > 0 {
		text += fmt.Sprintf(" (%s)", t.TodayErrors[0].Text)
	}
	counted := fmt.Sprintf("with those that failed counted: %s from %s to %s", t.Aim.Of, t.shown(t.Today.All),
		t.shown(t.Winner.All))
	if t.Winner.All > t.Today.All {
		return text + "; " + counted + "."
	}
	return text + ". That is all there is to it, " + counted + ": mend the error, then search again."
}

// Called is what the best that was found is called: no winner, if it does not do.
func (t *Tune) Called() string {
	if t.Winner.Worth.Short > 0 || t.Winner.Worth.Failed >= 1 {
		return "nearest"
	}
	return "winner"
}

// shown is a value of the goal.
func (t *Tune) shown(value float64) string { return t.Aim.Value(units.Metric, value) }
