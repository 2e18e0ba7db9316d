package check

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/geom"
	"chalkfield/internal/record"
	"chalkfield/internal/tomlfile"
	"chalkfield/internal/units"
)

// Expectations of one rehearsal, in SI units and radians; nil or empty: not expected.
type Expectations struct {
	ScoreAtLeast, ScoreAtMost   *float64
	Ahead                       bool
	CountAtLeast, PointsAtLeast []Amount
	DoneBefore                  *float64
	Events                      []EventCount
	Order                       []EventName
	End                         *End
	Belief, BeliefHeading       *float64
	NeverTouches                []string
	NoFoul, NoStall             bool
	Battery                     *float64
	Air                         *Air
}

// Air is the pressure that must be left, told in the unit in which the file has it.
type Air struct {
	Pa   float64
	Unit string
}

// Amount is a number that a rule must reach.
type Amount struct {
	Rule string
	Due  float64
}

// EventName is a kind of event and, if given, the thing it is about: a full name, or a kind of pieces or goals.
type EventName struct {
	Kind record.Kind
	What string
}

func (n EventName) String() string { return strings.TrimSpace(string(n.Kind) + " " + n.What) }

// EventCount is how often something must happen within a stretch of time.
type EventCount struct {
	Name            EventName
	After, Before   float64 // s
	AtLeast, AtMost int
}

// End is where the robot must be at the end.
type End struct {
	At            *geom.Vec
	Within        float64
	Heading       *float64
	WithinHeading float64
}

func (e *Expectations) none() bool {
	return e.ScoreAtLeast == nil && e.ScoreAtMost == nil && !e.Ahead && len(e.CountAtLeast) == 0 && len(e.PointsAtLeast) == 0 &&
		e.DoneBefore == nil && len(e.Events) == 0 && len(e.Order) == 0 && e.End == nil && e.Belief == nil && e.BeliefHeading == nil &&
		len(e.NeverTouches) == 0 && !e.NoFoul && !e.NoStall && e.Battery == nil && e.Air == nil
}

func (c *caseFile) expectations(at *tomlfile.Positions, path string) Expectations {
	e := Expectations{
		ScoreAtLeast: c.ScoreAtLeast, ScoreAtMost: c.ScoreAtMost, Ahead: c.Ahead,
		CountAtLeast: amounts(at, path+".count_at_least", c.CountAtLeast), PointsAtLeast: amounts(at, path+".points_at_least", c.PointsAtLeast),
		DoneBefore: si(c.DoneBefore), Belief: si(c.Belief), BeliefHeading: si(c.BeliefHeading),
		NeverTouches: c.NeverTouches, NoFoul: c.NoFoul, NoStall: c.NoStall, Battery: si(c.Battery),
	}
	if c.Air != nil {
		e.Air = &Air{float64(c.Air.Pressure), c.Air.unit}
	}
	c.canFail(at, path)
	for i, event := range c.Events {
		e.Events = append(e.Events, event.convert(at, fmt.Sprintf("%s.events[%d]", path, i)))
	}
	for i, name := range c.Order {
		e.Order = append(e.Order, eventName(at, fmt.Sprintf("%s.order[%d]", path, i), name))
	}
	if c.End != nil {
		e.End = c.End.convert(at, path+".end")
	}
	return e
}

// canFail notes the limits that every rehearsal keeps, or none can, and wishes for nothing.
func (c *caseFile) canFail(at *tomlfile.Positions, path string) {
	for _, wish := range []struct {
		key  string
		wish bool
	}{{"ahead", c.Ahead}, {"no_foul", c.NoFoul}, {"no_stall", c.NoStall}} {
		if !wish.wish && at.Has(path+"."+wish.key) {
			at.Errorf(path+"."+wish.key, "false expects nothing: write true, or leave it out")
		}
	}
	for _, limit := range []struct {
		key, instead string
		value        *float64
	}{
		{"done_before", "15 s", si(c.DoneBefore)}, {"belief_within", "40 mm", si(c.Belief)}, {"belief_heading_within", "3 deg", si(c.BeliefHeading)},
		{"battery_at_least", "11 V", si(c.Battery)},
	} {
		if limit.value != nil && *limit.value <= 0 {
			at.Errorf(path+"."+limit.key, "must be more than 0: write, for example, %q", limit.instead)
		}
	}
	if c.Air != nil && c.Air.Pressure <= 0 {
		at.Errorf(path+".air_at_least", "must be more than 0: write, for example, \"4 bar\"")
	}
	for _, rule := range at.Keys(path + ".count_at_least") {
		if c.CountAtLeast[rule] <= 0 {
			at.Errorf(path+".count_at_least."+rule, "must be more than 0: nothing counts less often")
		}
	}
}

// airFile keeps the unit beside the pressure.
type airFile struct {
	units.Pressure
	unit string
}

// UnmarshalText reads a pressure with its unit.
func (a *airFile) UnmarshalText(text []byte) error {
	err := a.Pressure.UnmarshalText(text)
	a.unit = strings.TrimLeft(strings.TrimSpace(string(text)), "+-.0123456789eE_ \t")
	return err
}

// si gives an optional quantity as a plain number.
func si[Q ~float64](q *Q) *float64 {
	if q == nil {
		return nil
	}
	x := float64(*q)
	return &x
}

// amounts are in the order of the file.
func amounts(at *tomlfile.Positions, path string, table map[string]float64) []Amount {
	var list []Amount
	for _, rule := range at.Keys(path) {
		list = append(list, Amount{rule, table[rule]})
	}
	return list
}

func (f *endFile) convert(at *tomlfile.Positions, path string) *End {
	if f.At == nil && f.Heading == nil {
		at.Errorf(path, "give at, heading or both")
	}
	if f.Within <= 0 || f.WithinHeading <= 0 {
		at.Errorf(path, "within and within_heading must be more than 0")
	}
	end := &End{Within: float64(f.Within), Heading: si(f.Heading), WithinHeading: float64(f.WithinHeading)}
	if f.At != nil {
		end.At = &geom.Vec{X: float64(f.At[0]), Y: float64(f.At[1])}
	}
	return end
}

func (f *eventFile) convert(at *tomlfile.Positions, path string) EventCount {
	e := EventCount{Name: eventName(at, path+".event", f.Event), After: 0, Before: math.Inf(1), AtLeast: 1, AtMost: math.MaxInt}
	if f.After != nil {
		e.After = float64(*f.After)
	}
	if f.Before != nil {
		e.Before = float64(*f.Before)
	}
	if f.AtMost != nil {
		e.AtMost, e.AtLeast = *f.AtMost, 0
	}
	if f.AtLeast != nil {
		e.AtLeast = *f.AtLeast
	}
	if e.After >= e.Before {
		at.Errorf(path, "after must be earlier than before")
	}
	if e.AtLeast > e.AtMost || e.AtMost < 0 || e.AtLeast < 0 || e.AtLeast == 0 && e.AtMost == math.MaxInt {
		at.Errorf(path, "at_least and at_most allow nothing, or everything")
	}
	return e
}

// eventKinds are the events that can be expected.
var eventKinds = []record.Kind{
	record.Contact, record.Pickup, record.Release, record.Scored, record.Unscored, record.Crooked, record.Seated, record.Jammed, record.Missed,
	record.Clamped, record.Unclamped, record.Slipped, record.Stalled, record.Tips, record.Foul, record.MotionEnd, record.Note,
}

// eventName reads "clamped middle sled", "pickup" or "motion end timeout".
func eventName(at *tomlfile.Positions, path, text string) EventName {
	text = strings.Join(strings.Fields(text), " ")
	for _, kind := range eventKinds {
		if what, is := strings.CutPrefix(text+" ", string(kind)+" "); is {
			return EventName{kind, strings.TrimSpace(what)}
		}
	}
	word, _, _ := strings.Cut(text, " ")
	known := make([]string, len(eventKinds))
	for i, k := range eventKinds {
		known[i] = string(k)
	}
	at.Errorf(path, "%q is no kind of event: %s, then what it is about: \"pickup core 7\"", word, tomlfile.Instead(word, known))
	return EventName{}
}
