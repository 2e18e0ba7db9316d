package results

import (
	"fmt"
	"slices"
	"strings"

	"chalkfield/internal/base/record"
)

// Departure is where a rehearsal first went another way than the plan, which is the nominal rehearsal.
type Departure struct {
	Words string      `json:"what"` // the same for every rehearsal that departs here: the key of its group
	T     float64     `json:"t"`    // s: when it happened, or when it should have
	File  string      `json:"file,omitempty"`
	Line  int         `json:"line,omitempty"`
	At    *[2]float64 `json:"at,omitempty"` // m, if the event has a place
	// a routine error's text, or by how much it went wrong: it may differ from one rehearsal of its group to the next
	Text  string `json:"text,omitempty"`
	touch bool   // a contact
}

// Depart compares a rehearsal with the plan. Two things count: trouble that the plan does not have (a clamp that
// missed, a motion that ended by timeout, a contact), and an achievement of the plan that is lacking (a piece never
// picked up). The departure is the first cause: see causes. found is false when there is neither.
func Depart(plan, got Result, seconds float64) (first Departure, found bool) {
	delays := delaysOf(plan, got)
	faults := troubles(plan, got)
	all := causes(plan, got, faults, unexplained(lacking(plan, got, delays, seconds), faults), delays)
	if len(all) == 0 {
		return Departure{}, false
	}
	return then(all), true
}

// then is the first departure; a contact, which by itself explains little, is told with what else went wrong after it.
func then(inOrder []Departure) Departure {
	first := inOrder[0]
	if !first.touch {
		return first
	}
	for _, d := range inOrder[1:] {
		if !d.touch {
			first.Words, first.Text = first.Words+", then "+d.Words, d.Text
			return first
		}
	}
	return first
}

// trouble says in words what kind of trouble a moment is; "" for none. A moment of the plan with the same words excuses
// it.
func trouble(m Moment) string {
	switch why := record.Reason(m.Why); {
	case m.Kind == record.MotionEnd && (why == record.Arrived || why == record.Cancelled || why == record.Held):
		return ""
	case m.Kind == record.MotionEnd:
		return strings.Replace(m.Kind.Traits().Trouble, "%s", m.Why, 1)
	case m.Kind == record.Missed && why == record.NoAir:
		return "too little air for " + m.What
	}
	return strings.Replace(m.Kind.Traits().Trouble, "%s", m.What, 1)
}

// troubles lists what went wrong more often than in the plan, each kind of it once. Contacts are looked at wherever
// they happen, other trouble line by line. A routine error is never excused: a plan that fails is none.
func troubles(plan, got Result) []fault {
	excused := map[string]int{}
	for _, m := range plan.Did {
		if words := troubleAt(m); words != "" && m.Kind != record.Failure {
			excused[words]++
		}
	}
	var list []fault
	for i, m := range got.Did {
		words := troubleAt(m)
		if words == "" {
			continue
		}
		if excused[words]--; excused[words] < 0 {
			d := Departure{Words: words, T: m.T, File: m.File, Line: m.Line, At: m.At, Text: m.Off,
				touch: m.Kind == record.Contact}
			if m.Kind == record.Failure {
				d.Text, d.At = m.Why, at(got) // a routine that failed moves the robot no more
			}
			list = append(list, fault{d, i})
			excused[words] = len(got.Did)
		}
	}
	return list
}

// unexplained leaves out what is lacking at a line where trouble is told of too: "clamp misses" says more than "not
// clamped".
func unexplained(lacking []Departure, faults []fault) []Departure {
	return slices.DeleteFunc(lacking, func(l Departure) bool {
		return slices.ContainsFunc(faults, func(t fault) bool { return l.Line != 0 && t.Line == l.Line && t.File == l.File })
	})
}

func troubleAt(m Moment) string {
	words := trouble(m)
	if words == "" || m.Kind == record.Contact {
		return words
	}
	return words + atLine(m.File, m.Line)
}

// atLine names a routine line, " (line 14)"; nothing for line 0.
func atLine(file string, number int) string {
	switch {
	case number == 0:
		return ""
	case file != "":
		return fmt.Sprintf(" (%s line %d)", file, number)
	}
	return fmt.Sprintf(" (line %d)", number)
}

// about says of an achievement what came of it: "core 2 picked up", "sled 1 not clamped", "piece 3 scored in sled 1"
// for the third (nth counts from 0) into that goal.
func about(m Moment, nth int, came string) string {
	if m.Kind == record.Scored {
		return fmt.Sprintf("piece %d %s in %s", nth+1, came, m.What)
	}
	return m.What + " " + came
}

// lacking lists what the plan achieved and the rehearsal did not. Achievements of a kind stand in for each other: a
// robot that picks up another core than planned has still picked one up; only as many as are short count, the first of
// the plan's that the rehearsal does not have by name. Each is due at its time in the plan plus the delay of then.
func lacking(plan, got Result, delays []delay, seconds float64) []Departure {
	var list []Departure
	short := map[record.Kind]int{}
	for _, m := range plan.Did {
		short[m.Kind]++
	}
	for _, m := range got.Did {
		short[m.Kind]--
	}
	counted := map[string]int{}
	has := timesOf(got)
	for _, m := range plan.Did {
		if m.Kind.Traits().Done == "" {
			continue
		}
		nth := counted[name(m)]
		counted[name(m)]++
		if nth < len(has[name(m)]) || short[m.Kind] <= 0 {
			continue
		}
		short[m.Kind]--
		list = append(list, notDone(m, nth, m.T+delayAt(delays, m.T), got, seconds))
	}
	return list
}

func name(m Moment) string { return string(m.Kind) + " " + m.What }

// notDone words an achievement that is lacking. When it was due after the end, time ran out and nothing else is to
// blame.
func notDone(m Moment, nth int, due float64, got Result, seconds float64) Departure {
	words := about(m, nth, "not "+m.Kind.Traits().Done) + atLine(m.File, m.Line)
	d := Departure{Words: words, T: due, File: m.File, Line: m.Line, At: m.At}
	if due > seconds && got.Done == Never {
		d.Words, d.T = "time runs out: "+d.Words, seconds
	}
	return d
}
