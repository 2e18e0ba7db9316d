package results

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"chalkfield/scripting"
)

// Search is what a tune varies and wants.
type Search struct {
	For      string    `json:"for"`
	Needs    []string  `json:"needs,omitempty"`
	Reads    []Reading `json:"reads"` // what the goal and its limits read of each rehearsal
	Freedoms []Freedom `json:"freedoms"`
	Budget   int       `json:"budget"`  // rehearsals of the search
	Each     int       `json:"each"`    // of a candidate at most, before the best are held against each other
	Confirm  int       `json:"confirm"` // of the winner, the runner-up and today's values each, with fresh seeds
	Around   int       `json:"around"`  // at each point about the winner
}

// Freedom is what is varied.
type Freedom struct {
	Name    string            `json:"name"`
	Kind    scripting.Freedom `json:"kind,omitempty"` // "": a number
	Min     float64           `json:"min"`
	Max     float64           `json:"max"`
	Step    float64           `json:"step,omitempty"` // numbers are tried in whole steps
	Options []string          `json:"options,omitempty"`
	Today   float64           `json:"today"`
}

// steps are how many a number has from one limit to the other, at least; less than ten times as many at most. So what
// is tried is short enough to be written into a file.
const steps = 200

// FreedomOf is a routine's freedom with the value that it has today.
func FreedomOf(p scripting.Param, today float64) Freedom {
	f := Freedom{Name: p.Name, Kind: p.Kind, Min: p.Min, Max: p.Max, Options: p.Options, Today: today}
	if p.Kind != "" {
		return f
	}
	for decimals := -12; f.Step == 0 || decimals < 12 && f.Step*steps > p.Max-p.Min; decimals++ {
		f.Step = tenth(decimals)
	}
	return f
}

// tenth is one at a number's last decimal.
func tenth(decimals int) float64 {
	x, _ := strconv.ParseFloat(fmt.Sprintf("1e%d", -decimals), 64) // our own digits
	return x
}

// Param is the freedom as a routine has it, with a value in force.
func (f *Freedom) Param(value float64) scripting.Param {
	return scripting.Param{Name: f.Name, Kind: f.Kind, Min: f.Min, Max: f.Max, Options: f.Options, Default: f.Today,
		Used: value}
}

// Words are a value as people write it.
func (f *Freedom) Words(value float64) string { return f.Param(value).Words(value) }

// Number is the value at a share of the way from one limit to the other, in whole steps.
func (f *Freedom) Number(share float64) float64 {
	value := math.Round((f.Min+float64(share*(f.Max-f.Min)))/f.Step) * f.Step
	text := strconv.FormatFloat(value, 'f', max(0, int(math.Ceil(-math.Log10(f.Step)-0.5))), 64)
	value, _ = strconv.ParseFloat(text, 64) // our own digits
	return min(max(value, f.Min), f.Max)
}

// Share is where a value lies between the limits.
func (f *Freedom) Share(value float64) float64 {
	if f.Max == f.Min {
		return 0
	}
	return (value - f.Min) / (f.Max - f.Min)
}

// Flags are values as the flags of a command have them.
func (s *Search) Flags(values []float64, quoted func(string) string) string {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = "--param " + quoted(s.Freedoms[i].Name+"="+s.Freedoms[i].Words(v))
	}
	return strings.Join(words, " ")
}

// Today are the values that the freedoms have now.
func (s *Search) Today() []float64 {
	values := make([]float64, len(s.Freedoms))
	for i, f := range s.Freedoms {
		values[i] = f.Today
	}
	return values
}

// fits reports whether a result has as many values as are varied and read.
func (s *Search) fits(r *Result) bool {
	return len(r.Tried) == len(s.Freedoms) && len(r.Reads) == len(s.Reads) && len(r.Asked) == len(s.Freedoms)
}

// sameSearch says how two searches differ, "" if they do not.
func sameSearch(a, b *Search) string {
	switch {
	case a == nil || b == nil:
		return ""
	case a.For != b.For:
		return fmt.Sprintf("--for %q against %q", a.For, b.For)
	case !slices.Equal(a.Needs, b.Needs):
		return fmt.Sprintf("--need %s against %s", quotedAll(a.Needs), quotedAll(b.Needs))
	case !slices.Equal(a.names(), b.names()):
		return fmt.Sprintf("varying %s against %s", strings.Join(a.names(), ", "), strings.Join(b.names(), ", "))
	case a.Budget != b.Budget || a.Each != b.Each || a.Confirm != b.Confirm || a.Around != b.Around:
		return fmt.Sprintf("%d rehearsals to search and %d to confirm against %d and %d", a.Budget, a.Confirm, b.Budget,
			b.Confirm)
	}
	for i := range a.Freedoms {
		x, y := &a.Freedoms[i], &b.Freedoms[i]
		if x.Name != y.Name || x.Min != y.Min || x.Max != y.Max || x.Today != y.Today {
			return fmt.Sprintf("%s from %g to %g, today %g, against %s from %g to %g, today %g", x.Name, x.Min, x.Max, x.Today,
				y.Name, y.Min, y.Max, y.Today)
		}
	}
	return ""
}

func (s *Search) names() (list []string) {
	for _, f := range s.Freedoms {
		list = append(list, f.Name)
	}
	return list
}

func quotedAll(list []string) string {
	if len(list) == 0 {
		return "none"
	}
	return fmt.Sprintf("%q", list)
}

// Progress is how far a search is.
type Progress struct {
	Doing   string    `json:"-"`
	Planned int       `json:"-"` // rehearsals at most, as far as is known now
	Done    int       `json:"rehearsals"`
	Best    []float64 `json:"values"` // of the freedoms
	Worth   Worth     `json:"worth"`  // of the best, over the seeds of the search
}

// Found is what came of a search: values of the freedoms.
type Found struct {
	Restarts int
	Moves    int        // how often it went on from something better that showed beside the winner
	Fresh    uint64     // first of the seeds that the end is told of
	Progress []Progress // each time that something better was found
	Winner   []float64
	RunnerUp []float64 // nil: there was no other
}

// Near is a point about another that differs in one freedom.
type Near struct {
	Freedom int
	Values  []float64
}

// Near lists the points about one.
func (s *Search) Near(values []float64) (list []Near) {
	for i := range s.Freedoms {
		for _, x := range s.Freedoms[i].near(values[i]) {
			one := slices.Clone(values)
			one[i] = x
			list = append(list, Near{i, one})
		}
	}
	return list
}

// near are values of a freedom beside one of it: today's; of a number some to each side, of an order those with two
// neighbours exchanged, of a choice all others.
func (f *Freedom) near(value float64) (list []float64) {
	add := func(x float64) {
		if x != value && !slices.Contains(list, x) {
			list = append(list, x)
		}
	}
	add(f.Today)
	switch f.Kind {
	case "":
		for _, side := range f.Beside(value) {
			for _, x := range side {
				add(x)
			}
		}
	case scripting.Order:
		order := scripting.OrderAt(int(value)-1, len(f.Options))
		for i := range len(order) - 1 {
			next := slices.Clone(order)
			next[i], next[i+1] = next[i+1], next[i]
			add(float64(scripting.PlaceOf(next) + 1))
		}
	default:
		for x := f.Min; x <= f.Max && len(list) < mostOptions; x++ {
			add(x)
		}
	}
	return list
}

// Beside are a number's values below one and above it, the nearest first.
func (f *Freedom) Beside(value float64) (sides [2][]float64) {
	for i, sign := range []float64{-1, 1} {
		for _, off := range offsets {
			if share := f.Share(value) + float64(sign*off); share >= 0 && share <= 1 && f.Number(share) != value {
				sides[i] = append(sides[i], f.Number(share))
			}
		}
	}
	return sides
}

var offsets = [...]float64{0.05, 0.15, 0.3} // shares of the way between the limits

// MostNear is how many there are at most.
func (f *Freedom) MostNear() int {
	switch f.Kind {
	case "":
		return 2*len(offsets) + 1
	case scripting.Order:
		return len(f.Options)
	}
	return min(mostOptions, int(f.Max-f.Min))
}

// mostOptions are how many of a choice's are tried about the winner.
const mostOptions = 12
