package sim

import (
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// loader is a person who puts pieces onto the floor.
type loader struct {
	*fields.Loader
	waiting []*Body   // the next first
	takes   []float64 // s: of each that waits
	due     int64     // ns since the start: the next is ready
}

// addLoads gives people their pieces, and draws how long each takes.
func (w *World) addLoads() {
	for i := range w.field.Loads {
		l := loader{Loader: &w.field.Loads[i]}
		for _, b := range w.bodies[l.First : l.First+l.Count] {
			w.release(b)
			b.Holder, b.at = record.WithPerson(i), l.At
			l.waiting = append(l.waiting, b)
			l.takes = append(l.takes, l.Takes*w.factor(b.Name+" load time", w.field.Spread.LoadTime))
		}
		w.loads = append(w.loads, l)
	}
}

// OpenPhase tells the people which phase of the field begins. Who may load in it and was not at it yet begins now.
func (w *World) OpenPhase(phase int) {
	before := w.phase
	w.phase = phase
	for i := range w.loads {
		if l := &w.loads[i]; l.works(phase) && !l.works(before) {
			l.begin(w.elapsed)
		}
	}
}

// works reports whether the person loads in a phase.
func (l *loader) works(phase int) bool {
	return phase >= 0 && (len(l.Phases) == 0 || slices.Contains(l.Phases, phase))
}

// begin has the person begin with the next piece.
func (l *loader) begin(now int64) {
	if len(l.takes) > 0 {
		l.due = now + nanoseconds(l.takes[0])
	}
}

// load has each person who is ready put a piece down, where there is room and no robot at the person's hands.
func (w *World) load() {
	for i := range w.loads {
		l := &w.loads[i]
		if len(l.waiting) == 0 || w.elapsed < l.due || !l.works(w.phase) {
			continue
		}
		b := l.waiting[0]
		if !w.clear(l.At.At(), b.radius) || w.reaching(l.Hands) {
			continue
		}
		l.waiting, l.takes = l.waiting[1:], l.takes[1:]
		w.drop(b, l.At, geom.Scale(l.Speed, geom.Unit(l.At.Heading)))
		w.happen(record.Event{Kind: record.Loaded, Robot: -1, What: b.Name, Part: l.Name,
			At: &[2]float64{record.Round(l.At.X), record.Round(l.At.Y)}})
		l.begin(w.elapsed)
	}
}

// reaching reports whether a robot is in a zone with any part; -1 is no zone.
func (w *World) reaching(zone int) bool {
	return zone >= 0 && slices.ContainsFunc(w.robots, func(r *Robot) bool {
		return w.field.Zones[zone].Shape.Meets(r.Outline())
	})
}

// Waiting is how many pieces wait with the person of a load.
func (w *World) Waiting(load int) int { return len(w.loads[load].waiting) }
