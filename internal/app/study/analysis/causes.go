package analysis

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
)

// Cause is a drawn quantity that the score goes with, beyond what chance explains.
type Cause struct {
	Quantity string     `json:"quantity"`
	Apart    bool       `json:"apart"` // it is the distance from the nominal value that matters, either way
	Rho      float64    `json:"rho"`   // Spearman's
	P        float64    `json:"p"`     // after Holm's correction for all quantities tried
	Thirds   [3]float64 `json:"thirds"`
	Sentence string     `json:"sentence"`
}

const (
	Fewest     = 30   // rehearsals below which nothing is said of causes
	alarm      = 0.05 // chance of even one false cause among all that are tried
	weakest    = 0.1  // |rho| below which a relation, however certain, is of no use to anybody
	mostCauses = 6
)

// causes holds the score against every drawn quantity.
func causes(drawn []string, list []*results.Result, scores []float64) []Cause {
	found := related(drawn, list, scores)
	for i := range found {
		c := &found[i]
		c.Thirds = thirds(column(list, slices.Index(drawn, c.Quantity), c.Apart), scores)
		c.Sentence = c.sentence()
	}
	return found[:min(mostCauses, len(found))]
}

// related tries each quantity twice, as drawn (an offset from nominal, with its sign) and as a distance from nominal,
// and keeps the stronger of the two if Holm's correction over all tries leaves it. Strongest first.
func related(drawn []string, list []*results.Result, y []float64) []Cause {
	if len(list) < Fewest {
		return nil
	}
	var all []Cause
	var p []float64
	for i, name := range drawn {
		for _, apart := range []bool{false, true} {
			rho, chance := stats.Spearman(column(list, i, apart), y)
			all, p = append(all, Cause{Quantity: name, Apart: apart, Rho: rho}), append(p, chance)
		}
	}
	adjusted := stats.Holm(p)
	var found []Cause
	for i := 0; i < len(all); i += 2 {
		k := i
		if math.Abs(all[i+1].Rho) > math.Abs(all[i].Rho) {
			k = i + 1
		}
		if all[k].P = adjusted[k]; adjusted[k] < alarm && math.Abs(all[k].Rho) >= weakest {
			found = append(found, all[k])
		}
	}
	slices.SortStableFunc(found, func(a, b Cause) int { return cmp.Compare(math.Abs(b.Rho), math.Abs(a.Rho)) })
	return found
}

func column(list []*results.Result, i int, apart bool) []float64 {
	return each(list, func(r *results.Result) float64 {
		if apart {
			return math.Abs(r.Drawn[i])
		}
		return r.Drawn[i]
	})
}

// thirds is the mean of y where x is smallest, in the middle, greatest.
func thirds(x, y []float64) [3]float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	var sum, n [3]float64
	for at, i := range order {
		third := 3 * at / len(order)
		sum[third] += y[i]
		n[third]++
	}
	for k := range sum {
		sum[k] /= n[k]
	}
	return sum
}

func (c Cause) sentence() string {
	direction := "lower"
	if c.Rho > 0 {
		direction = "higher"
	}
	if c.Apart {
		return fmt.Sprintf("the farther %s is off, either way, the %s the score: mean %.1f where it is nearest, %.1f where "+
			"it is farthest off (a third each)", c.Quantity, direction, c.Thirds[0], c.Thirds[2])
	}
	return fmt.Sprintf("the greater %s, the %s the score: mean %.1f in the lowest third, %.1f in the highest",
		c.Quantity, direction, c.Thirds[0], c.Thirds[2])
}
