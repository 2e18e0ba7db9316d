package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/record"
)

// event holds how often something happened against how often it should have.
func (j *judgement) event(c EventCount) {
	var inTime, early, late []*record.Event
	for i := range j.record.Events {
		e := &j.record.Events[i]
		switch {
		case !j.words.Is(e, c.Name):
		case e.T < c.After:
			early = append(early, e)
		case e.T >= c.Before:
			late = append(late, e)
		default:
			inTime = append(inTime, e)
		}
	}
	expected := j.wish("events", "%s", c)
	switch {
	case len(inTime) > c.AtMost:
		e := inTime[c.AtMost]
		j.fall(e, expected, fmt.Sprintf("%s, the first too many: %s", times(len(inTime)), e.Sentence(j.words.in)))
	case len(inTime) >= c.AtLeast:
	case len(late) > 0:
		j.fall(late[0], expected, tooLate(len(inTime), early, late[0]))
	case len(early) > 0:
		j.fall(early[len(early)-1], expected, tooEarly(len(inTime), early))
	default:
		j.fallWhereItLeft(expected, times(len(inTime)))
	}
}

// tooLate says how often something happened in time, and when the next came.
func tooLate(inTime int, early []*record.Event, next *record.Event) string {
	switch {
	case inTime > 0:
		return fmt.Sprintf("%s, the next only at %.2f s", times(inTime), next.T)
	case len(early) > 0:
		return fmt.Sprintf("not in that time: at %.2f s and next at %.2f s", early[len(early)-1].T, next.T)
	}
	return fmt.Sprintf("it happened first at %.2f s", next.T)
}

// tooEarly says the same of what came before its time.
func tooEarly(inTime int, early []*record.Event) string {
	last := early[len(early)-1].T
	switch {
	case inTime > 0:
		return fmt.Sprintf("%s, and %d earlier, the last at %.2f s", times(inTime), len(early), last)
	case len(early) == 1:
		return fmt.Sprintf("it happened once, too early: at %.2f s", last)
	}
	return fmt.Sprintf("it happened %s, all too early, the last at %.2f s", times(len(early)), last)
}

func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// String is "clamped middle sled at least once, before 6.00 s".
func (c EventCount) String() string {
	text := c.Name.String()
	if c.AtLeast > 0 {
		text += " at least " + times(c.AtLeast)
	}
	switch {
	case c.AtMost == 0:
		text += " never"
	case c.AtMost < math.MaxInt:
		text += " at most " + times(c.AtMost)
	}
	if c.After > 0 {
		text += fmt.Sprintf(", after %.2f s", c.After)
	}
	if !math.IsInf(c.Before, 1) {
		text += fmt.Sprintf(", before %.2f s", c.Before)
	}
	return text
}

// order looks for the events one after the other; others may lie between.
func (j *judgement) order(names []record.EventName) {
	if len(names) == 0 {
		return
	}
	list := make([]string, len(names))
	for i := range names {
		list[i] = names[i].String()
	}
	expected := j.wish("order", "in this order: %s", strings.Join(list, ", "))
	at := 0
	var before *record.Event
	for k, name := range names {
		for at < len(j.record.Events) && !j.words.Is(&j.record.Events[at], name) {
			at++
		}
		if at < len(j.record.Events) {
			before = &j.record.Events[at]
			at++
			continue
		}
		if k == 0 {
			j.fallWhereItLeft(expected, fmt.Sprintf("no %s", name))
			return
		}
		j.fall(before, expected, fmt.Sprintf("no %s after %s (%.2f s)", name, names[k-1], before.T))
		return
	}
}

// never holds what must not happen at all. A clamp takes hold of a goal within its reach, which the robot's body need
// not touch: that is a touch too.
func (j *judgement) never(e *Expectations) {
	for _, thing := range e.NeverTouches {
		j.first("never_touches", "never touches "+thing, record.EventName{Kind: record.Contact, What: thing},
			record.EventName{Kind: record.Clamped, What: thing})
	}
	if e.NoFoul {
		j.first("no_foul", "no foul", record.EventName{Kind: record.Foul})
	}
	if e.NoStall {
		j.stalls()
	}
}

// first notes the first event that has one of the names.
func (j *judgement) first(key, expected string, names ...record.EventName) {
	j.wish(key, "%s", expected)
	for i := range j.record.Events {
		e := &j.record.Events[i]
		if slices.ContainsFunc(names, func(n record.EventName) bool { return j.words.Is(e, n) }) {
			j.fall(e, expected, e.Sentence(j.words.in))
			return
		}
	}
}

// stalls: a mechanism that pushes and does not move, or a drive motion that ends so.
func (j *judgement) stalls() {
	expected := j.wish("no_stall", "nothing stalls")
	for i := range j.record.Events {
		e := &j.record.Events[i]
		if e.Robot == own && (e.Kind == record.Stalled || e.Kind == record.MotionEnd && e.Reason == record.GotStuck) {
			j.fall(e, expected, e.Sentence(j.words.in))
			return
		}
	}
}
