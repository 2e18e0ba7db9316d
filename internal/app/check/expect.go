package check

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
)

// Expectations of one rehearsal; nil or empty: not expected.
type Expectations struct {
	ScoreAtLeast  *float64           `toml:"score_at_least"`
	ScoreAtMost   *float64           `toml:"score_at_most"`
	Ahead         bool               `toml:"ahead"`
	CountAtLeast  []tomlfile.Entry   `toml:"count_at_least"` // by rule
	PointsAtLeast []tomlfile.Entry   `toml:"points_at_least"`
	DoneBefore    *float64           `toml:"done_before" unit:"s"`
	Events        []EventCount       `toml:"events"`
	Order         []record.EventName `toml:"order"`
	End           *End               `toml:"end"`
	Belief        *float64           `toml:"belief_within" unit:"m"`
	BeliefHeading *float64           `toml:"belief_heading_within" unit:"rad"`
	NeverTouches  []string           `toml:"never_touches"`
	NoFoul        bool               `toml:"no_foul"`
	NoStall       bool               `toml:"no_stall"`
	Battery       *float64           `toml:"battery_at_least" unit:"V"`
	Air           *Air               `toml:"air_at_least"`
	Need          []string           `toml:"need"` // conditions on what the rehearsal comes to
	Follows       *Follows           `toml:"follows_log"`
}

// Air is the pressure that must be left, told in the unit in which the file has it.
type Air struct {
	Pa   float64
	Unit string
}

// UnmarshalText reads a pressure with its unit.
func (a *Air) UnmarshalText(text []byte) (err error) {
	a.Pa, _, err = units.Parse("Pa", string(text))
	a.Unit = strings.TrimLeft(strings.TrimSpace(string(text)), "+-.0123456789eE_ \t")
	return err
}

// EventCount is how often something must happen within a stretch of time.
type EventCount struct {
	Name    record.EventName `toml:"event" need:"'clamped middle sled'"`
	After   float64          `toml:"after" unit:"s"`
	Before  float64          `toml:"before" unit:"s"`
	AtLeast int              `toml:"at_least"`
	AtMost  int              `toml:"at_most"`
}

// End is where the robot must be at the end.
type End struct {
	At            *geom.Vec `toml:"at" unit:"m"`
	Within        float64   `toml:"within" unit:"m" default:"50 mm"`
	Heading       *float64  `toml:"heading" unit:"rad"`
	WithinHeading float64   `toml:"within_heading" unit:"rad" default:"5 deg"`
}

func (e *Expectations) none() bool {
	return e.ScoreAtLeast == nil && e.ScoreAtMost == nil && !e.Ahead && len(e.CountAtLeast) == 0 &&
		len(e.PointsAtLeast) == 0 &&
		e.DoneBefore == nil && len(e.Events) == 0 && len(e.Order) == 0 && e.End == nil && e.Belief == nil &&
		e.BeliefHeading == nil &&
		len(e.NeverTouches) == 0 && !e.NoFoul && !e.NoStall && e.Battery == nil && e.Air == nil && len(e.Need) == 0 &&
		e.Follows == nil
}

// expectations validates what a case expects.
func (e *Expectations) expectations(at *tomlfile.Positions, path string) {
	e.canFail(at, path)
	for i := range e.Events {
		e.Events[i].validate(at, fmt.Sprintf("%s.events[%d]", path, i))
	}
	if end := e.End; end != nil {
		if end.At == nil && end.Heading == nil {
			at.Errorf(path+".end", "give at, heading or both")
		}
		if end.Within <= 0 || end.WithinHeading <= 0 {
			at.Errorf(path+".end", "within and within_heading must be more than 0")
		}
	}
}

// canFail notes the limits that every rehearsal keeps, or none can, and wishes for nothing.
func (e *Expectations) canFail(at *tomlfile.Positions, path string) {
	for _, wish := range []struct {
		key  string
		wish bool
	}{{"ahead", e.Ahead}, {"no_foul", e.NoFoul}, {"no_stall", e.NoStall}} {
		if !wish.wish && at.Has(path+"."+wish.key) {
			at.Errorf(path+"."+wish.key, "false expects nothing: write true, or leave it out")
		}
	}
	for _, limit := range []struct {
		key, instead string
		value        *float64
	}{
		{"done_before", "15 s", e.DoneBefore}, {"belief_within", "40 mm", e.Belief},
		{"belief_heading_within", "3 deg", e.BeliefHeading},
		{"battery_at_least", "11 V", e.Battery},
	} {
		if limit.value != nil && *limit.value <= 0 {
			at.Errorf(path+"."+limit.key, "must be more than 0: write, for example, %q", limit.instead)
		}
	}
	if e.Air != nil && e.Air.Pa <= 0 {
		at.Errorf(path+".air_at_least", "must be more than 0: write, for example, \"4 bar\"")
	}
	for _, rule := range e.CountAtLeast {
		if rule.Value <= 0 {
			at.Errorf(path+".count_at_least."+rule.Key, "must be more than 0: nothing counts less often")
		}
	}
}

// validate completes a count: at least one, at any time, unless the file says otherwise.
func (e *EventCount) validate(at *tomlfile.Positions, path string) {
	if !at.Has(path + ".before") {
		e.Before = math.Inf(1)
	}
	if !at.Has(path + ".at_most") {
		e.AtMost = math.MaxInt
		if !at.Has(path + ".at_least") {
			e.AtLeast = 1
		}
	}
	if e.After >= e.Before {
		at.Errorf(path, "after must be earlier than before")
	}
	if e.AtLeast > e.AtMost || e.AtMost < 0 || e.AtLeast < 0 || e.AtLeast == 0 && e.AtMost == math.MaxInt {
		at.Errorf(path, "at_least and at_most allow nothing, or everything")
	}
}

// Keys are those by which expectations are written, and what goes without saying: an answer without an error.
func Keys() []string {
	keys := []string{NoError}
	t := reflect.TypeFor[Expectations]()
	for i := range t.NumField() {
		keys = append(keys, t.Field(i).Tag.Get("toml"))
	}
	return keys
}
