package analysis

import (
	"cmp"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
)

// Group is the rehearsals that were not good and departed from the plan at the same thing.
type Group struct {
	Words string             `json:"what"`
	Text  string             `json:"text,omitempty"`  // of an error, or by how much: the first one's
	Texts int                `json:"texts,omitempty"` // how many different ones
	File  string             `json:"file,omitempty"`
	Line  int                `json:"line,omitempty"`
	Count int                `json:"count"`
	Good  int                `json:"good"` // rehearsals that departed in the same way and were good all the same
	T     stats.Distribution `json:"t"`    // s: when
	Score float64            `json:"score"`
	Goes  string             `json:"goes,omitempty"` // what drawn quantity it goes with, in words
	Seed  uint64             `json:"seed"`           // the first of them
	Open  string             `json:"open"`
	// Places are where it happened, m; at most one a rehearsal.
	Places [][2]float64 `json:"places,omitempty"`
}

// explained is how many of the largest groups are held against the drawn quantities.
const explained = 3

// groups sorts the rehearsals that were not good by their first departure, largest group first.
func groups(h *results.Header, v *results.Variant, list []*results.Result) []Group {
	members, where, order := map[string][]*results.Result{}, map[string][]results.Departure{}, []string(nil)
	good := map[string]int{}
	for _, r := range list {
		if h.Good(v, r) {
			if d, found := results.Depart(v.Plan, *r, h.Seconds); found {
				good[d.Words]++
			}
			continue
		}
		d := blame(h, v, r)
		if members[d.Words] == nil {
			order = append(order, d.Words)
		}
		members[d.Words] = append(members[d.Words], r)
		where[d.Words] = append(where[d.Words], d)
	}
	var out []Group
	for _, words := range order {
		g := group(v, members[words], where[words])
		g.Good = good[words]
		out = append(out, g)
	}
	slices.SortStableFunc(out, func(a, b Group) int { return cmp.Compare(b.Count, a.Count) })
	for i := range out[:min(explained, len(out))] {
		out[i].Goes = goesWith(v.Drawn, list, members[out[i].Words])
	}
	return out
}

// blame is results.Blame, which does not know that a plan may be below what is needed.
func blame(h *results.Header, v *results.Variant, r *results.Result) results.Departure {
	d := results.Blame(v.Plan, *r, h.Rules, h.Seconds)
	if d.Words == results.AsPlanned && v.Plan.Own(v.Side) < h.Need {
		d.Words = "all as planned, and the plan is below what is needed"
	}
	return d
}

func group(v *results.Variant, members []*results.Result, where []results.Departure) Group {
	g := Group{Words: where[0].Words, Text: where[0].Text, File: where[0].File, Line: where[0].Line, Count: len(members),
		Seed: members[0].Seed, Open: Open(v, members[0].Seed)}
	var times []float64
	texts := map[string]bool{}
	for i, d := range where {
		if d.Text != "" {
			texts[d.Text] = true
		}
		times = append(times, d.T)
		g.Score += members[i].Own(v.Side)
		if d.At != nil {
			g.Places = append(g.Places, *d.At)
		}
	}
	g.Score /= float64(len(members))
	g.T, g.Texts = stats.Describe(times), len(texts)
	return g
}

// goesWith names the drawn quantity that belonging to a group goes with most, if any does beyond chance.
func goesWith(drawn []string, list, members []*results.Result) string {
	in := map[*results.Result]bool{}
	for _, r := range members {
		in[r] = true
	}
	belongs := each(list, func(r *results.Result) float64 {
		if in[r] {
			return 1
		}
		return 0
	})
	found := related(drawn, list, belongs)
	if len(found) == 0 {
		return ""
	}
	c := found[0]
	switch {
	case c.Apart:
		return "more often, the farther " + c.Quantity + " is off either way"
	case c.Rho > 0:
		return "more often, the greater " + c.Quantity
	}
	return "more often, the smaller " + c.Quantity
}
