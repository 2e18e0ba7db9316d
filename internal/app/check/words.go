package check

import (
	"errors"
	"fmt"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/formula"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
)

// words are the names that expectations about a rehearsal can use.
type words struct {
	*record.Vocabulary
	floor geom.Polygon
	in    units.System // of what is told
}

// own is the index of the robot under test.
const own = 0

func wordsOf(r *record.Record, floor geom.Polygon) *words {
	return &words{Vocabulary: r.Vocabulary(), floor: floor}
}

// meaning notes an error for each name in a case that this rehearsal cannot have: an expectation about it could never
// fail, or never hold.
func (w *words) meaning(at *tomlfile.Positions, path string, e *Expectations, r *record.Record) {
	for i, text := range e.Need {
		w.formula(at, fmt.Sprintf("%s.need[%d]", path, i), text, r)
	}
	for _, table := range []struct {
		key  string
		list []tomlfile.Entry
	}{{"count_at_least", e.CountAtLeast}, {"points_at_least", e.PointsAtLeast}} {
		for _, a := range table.list {
			at.Index(path+"."+table.key+"."+a.Key, "rule of the field", a.Key, w.Rules)
		}
	}
	for i, n := range e.Events {
		w.known(at, fmt.Sprintf("%s.events[%d].event", path, i), n.Name)
	}
	for i, n := range e.Order {
		w.known(at, fmt.Sprintf("%s.order[%d]", path, i), n)
	}
	for i, thing := range e.NeverTouches {
		at.Index(fmt.Sprintf("%s.never_touches[%d]", path, i), "wall, goal or robot here", thing, w.Of(record.Contact))
	}
}

// formula notes what is wrong with a condition. A result that this rehearsal does not give, another may: judged, it
// falls short.
func (w *words) formula(at *tomlfile.Positions, path, text string, r *record.Record) {
	_, err := results.NewSubject(r, w.floor, nil).NewLimit(text)
	var none *results.NoResult
	if err == nil || errors.As(err, &none) {
		return
	}
	place := 0
	if wrong := (*formula.Error)(nil); errors.As(err, &wrong) {
		place = wrong.At
	}
	at.TextErrorf(path, place, "%v", err)
}

func (w *words) known(at *tomlfile.Positions, path string, n record.EventName) {
	if list := w.Of(n.Kind); n.What != "" && list != nil {
		at.Index(path, "thing that can be "+string(n.Kind), n.What, list)
	}
}
