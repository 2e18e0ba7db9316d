package analysis

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
)

// Aim is how a goal is told: a goal -done is told as done, of which less is wanted.
type Aim struct {
	Of      string // what is told: "done"
	Unit    string // SI
	Lowered bool   // less of it is wanted
	moment  bool
}

// AimOf is how a goal is told.
func AimOf(g *results.Goal) Aim {
	a := Aim{Of: g.Text, Unit: g.Unit, moment: g.AMoment()}
	if of := g.Lowered(); of != "" {
		a.Of, a.Lowered = of, true
	}
	return a
}

// told is an amount of what is told where the goal comes to a value.
func (a Aim) told(value float64) float64 {
	if a.Lowered {
		return -value + 0
	}
	return value
}

// Value is what is told of a value of the goal: "7.48 s".
func (a Aim) Value(in units.System, value float64) string {
	return results.Shown(in, a.told(value), a.Unit)
}

// Change is what is told of a difference of the goal: "2.72 s sooner".
func (a Aim) Change(in units.System, change float64) string {
	if change == 0 {
		return "the same"
	}
	return a.Size(in, change) + " " + a.way(change)
}

// Size is how great a difference is.
func (a Aim) Size(in units.System, change float64) string {
	return results.Shown(in, math.Abs(change), a.Unit)
}

// Within is a difference with its interval: "2.72 s sooner (95 %: 2.51 s to 2.93 s)".
func (a Aim) Within(in units.System, d *Diff) string {
	low, high := d.Interval.Low, d.Interval.High
	if d.Mean < 0 {
		low, high = -high, -low
	}
	return fmt.Sprintf("%s (95 %%: %s to %s)", a.Change(in, d.Mean), results.Shown(in, low, a.Unit),
		results.Shown(in, high, a.Unit))
}

func (a Aim) way(change float64) string {
	more := (change > 0) != a.Lowered
	if a.moment {
		return map[bool]string{true: "later", false: "sooner"}[more]
	}
	return map[bool]string{true: "more", false: "less"}[more]
}

// ofGoal is a minus b of a goal, seed by seed, where both are sound, by their pseudo-values.
func ofGoal(subject *results.Subject, goal *results.Goal, what string, a, b []*results.Result, seed uint64) Diff {
	var x, y []*results.Result
	for i := range min(len(a), len(b)) {
		if a[i].Sound() && b[i].Sound() {
			x, y = append(x, a[i]), append(y, b[i])
		}
	}
	left, right := subject.Pseudo(goal, x), subject.Pseudo(goal, y)
	alike(left, right)
	d := difference(what, right, left, seed)
	for _, of := range []*float64{&d.Mean, &d.Interval.Low, &d.Interval.High} {
		if math.Abs(*of) <= rounding*max(math.Abs(d.A), math.Abs(d.B)) {
			*of = 0
		}
	}
	return d
}

// BetterThan are the places of those that are better than one beyond chance, over the same seeds and corrected for
// their number (Holm); or that meet the limits, which it does not. The best of them is first. When nothing is drawn,
// what comes to more is better.
func BetterThan(subject *results.Subject, goal *results.Goal, one []*results.Result, others [][]*results.Result,
	h *results.Header) (list []int) {
	own, p, gain := subject.Worth(goal, one), make([]float64, len(others)), make([]float64, len(others))
	worth := make([]results.Worth, len(others))
	for i, runs := range others {
		d := ofGoal(subject, goal, "", runs, one, h.Seed)
		worth[i], p[i], gain[i] = subject.Worth(goal, runs), d.P, d.Mean
	}
	for i, corrected := range stats.Holm(p) {
		w := worth[i]
		switch {
		case !w.Better(own) || w.Failed > own.Failed || w.Short > own.Short:
		case h.Nominal, own.Short > 0 && w.Short == 0, corrected < 1-stats.Level && gain[i] > 0:
			list = append(list, i)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int {
		return cmp.Compare(worth[b].Value, worth[a].Value)
	})
	return list
}

// alike makes pairs equal that differ by rounding alone: pseudo-values are differences of large numbers, and a test of
// signs would count what that leaves.
func alike(a, b []float64) {
	largest := 0.0
	for i := range a {
		largest = max(largest, math.Abs(a[i]), math.Abs(b[i]))
	}
	for i := range a {
		if math.Abs(a[i]-b[i]) <= rounding*largest {
			a[i] = b[i]
		}
	}
}

// rounding is the share of the largest value up to which values are one; our own rule.
const rounding = 1e-9

// inFirst is a value in the first unit of its quantity.
func inFirst(value float64, si string) float64 {
	if si == "" {
		return value
	}
	return units.In(value, si, units.Names(si)[0])
}

// withUnit is what is told with that unit: "done, s".
func withUnit(of, si string) string {
	if si == "" {
		return of
	}
	return of + ", " + units.Names(si)[0]
}

// Measured is what rehearsals come to by a goal of the user's.
type Measured struct {
	For      string         `json:"for"`
	Unit     string         `json:"unit,omitempty"` // SI
	Value    float64        `json:"value"`
	Interval stats.Interval `json:"interval"` // 95 %, Student's t of pseudo-values
	N        int            `json:"rehearsals"`
	Unsound  int            `json:"unsound"` // rehearsals that failed or lack what the goal reads; they are left out
	Aim      Aim            `json:"-"`
}

// measured is what some rehearsals come to by the study's goal, nil without one.
func measured(h *results.Header, list []*results.Result) *Measured {
	subject, goal, _ := h.Goal() // a file's header is checked as it is read
	if goal == nil {
		return nil
	}
	good := sound(list)
	m := &Measured{For: goal.Text, Unit: goal.Unit, N: len(good), Unsound: len(list) - len(good), Aim: AimOf(goal)}
	m.Value = subject.Worth(goal, list).Value
	half := HalfWidth(stats.Describe(subject.Pseudo(goal, good)))
	m.Interval = stats.Interval{Low: m.Value - half, High: m.Value + half}
	return m
}

// Sentence tells it: "done 7.12 s (95 %: 6.91 s to 7.33 s)".
func (m *Measured) Sentence(in units.System) string {
	if m.N == 0 {
		return fmt.Sprintf("%s: no rehearsal has it", m.Aim.Of)
	}
	low, high := m.Interval.Low, m.Interval.High
	if m.Aim.Lowered {
		low, high = high, low
	}
	text := fmt.Sprintf("%s: %s (95 %%: %s to %s)", m.Aim.Of, m.Aim.Value(in, m.Value), m.Aim.Value(in, low),
		m.Aim.Value(in, high))
	if m.Unsound > 0 {
		text += fmt.Sprintf("; %s failed or did not give it", units.Counted(m.Unsound, "rehearsal"))
	}
	return text
}

// goalDifference is b minus a by the study's goal, of pairs, as it is told; nil without a goal.
func goalDifference(h *results.Header, a, b []*results.Result) (*Diff, terms) {
	subject, goal, _ := h.Goal()
	if goal == nil {
		return nil, terms{}
	}
	aim := AimOf(goal)
	d := ofGoal(subject, goal, withUnit(aim.Of, aim.Unit), b, a, h.Seed)
	if aim.Lowered {
		d.A, d.B, d.Mean, d.Higher, d.Lower = -d.A, -d.B, -d.Mean, d.Lower, d.Higher
		d.Interval = stats.Interval{Low: -d.Interval.High, High: -d.Interval.Low}
	}
	for _, of := range []*float64{&d.A, &d.B, &d.Mean, &d.Interval.Low, &d.Interval.High} {
		*of = inFirst(*of, aim.Unit)
	}
	w := terms{of: aim.Of, more: "more", less: "less", where: "both are sound"}
	if aim.moment {
		w.more, w.less = "later", "sooner"
	}
	if aim.Unit != "" {
		w.unit = units.Names(aim.Unit)[0]
	}
	return &d, w
}
