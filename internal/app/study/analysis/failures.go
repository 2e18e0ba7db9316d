package analysis

import (
	"fmt"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
)

// Failure is the rehearsals in which a routine failed with an error at one line.
type Failure struct {
	Where string  `json:"where"`           // "mine.lua:5"
	Robot string  `json:"robot,omitempty"` // a partner's or opponent's; "" for the routine under test
	Count int     `json:"count"`           // rehearsals
	Text  string  `json:"text"`            // of the first of them; the others' may differ
	Texts int     `json:"texts"`           // how many different ones
	T     float64 `json:"t"`               // s: when, in the first of them
	Seed  uint64  `json:"seed"`            // of the first of them
	Open  string  `json:"open,omitempty"`
}

// failures sorts errors by the line at which they came, the most frequent first.
func failures(list []*results.Result, open func(*results.Result) string) []Failure {
	var out []Failure
	texts := map[string]bool{}
	for _, r := range list {
		for _, e := range r.Errors {
			where := fmt.Sprintf("%s:%d", e.File, e.Line)
			i := slices.IndexFunc(out, func(f Failure) bool { return f.Where == where && f.Robot == e.Robot })
			if i < 0 {
				i = len(out)
				out = append(out, Failure{Where: where, Robot: e.Robot, Text: e.Text, T: e.T, Seed: r.Seed, Open: open(r)})
			}
			out[i].Count++
			if key := e.Robot + " " + where + " " + e.Text; !texts[key] {
				texts[key] = true
				out[i].Texts++
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Failure) int { return b.Count - a.Count })
	return out
}

// Words is the error as the routine told it, and whether it told it otherwise elsewhere.
func (f Failure) Words() string {
	words := f.Text
	if f.Robot != "" {
		words = f.Robot + ": " + words
	}
	if f.Texts > 1 {
		words += fmt.Sprintf(" (one of %d texts at this line)", f.Texts)
	}
	return words
}

// notes are what must be said before all else, a sentence each.
func notes(f *results.File) []string {
	list := Failing(f)
	if need, v := f.Header.Need, &f.Header.Variants[0]; need <= 0 && need == v.Plan.Own(v.Side) && planFails(v) == "" {
		list = append(list, fmt.Sprintf("The plan scores %.6g, so a rehearsal is good from %.6g points on, which a robot "+
			"that stands still may have too: say with --need how many it takes", need, need))
	}
	return list
}

// Failing says in a sentence each what failed with an error: the plan of each variant, then rehearsals. Nothing for a
// study without an error.
func Failing(f *results.File) []string {
	var out []string
	h := &f.Header
	for i := range h.Variants {
		v := &h.Variants[i]
		who, list := "The routine", allResults(f)
		if h.Kind == results.Compare {
			who, list = v.Name, resultsOf(f, i)
		}
		if text := planFails(v); text != "" {
			out = append(out, fmt.Sprintf("%s fails with an error even when nothing is drawn: %s", who, text))
		}
		out = append(out, failing(who, list)...)
	}
	return out
}

// failing says it of the rehearsals of one variant, for each robot.
func failing(who string, list []*results.Result) []string {
	var out []string
	byRobot := map[string][]Failure{}
	var robots []string
	for _, f := range failures(list, nowhere) {
		if byRobot[f.Robot] == nil {
			robots = append(robots, f.Robot)
		}
		byRobot[f.Robot] = append(byRobot[f.Robot], f)
	}
	slices.Sort(robots) // the one under test first: its name is empty
	for _, robot := range robots {
		own, rehearsals := byRobot[robot], 0
		for _, f := range own { // a robot has one error a rehearsal
			rehearsals += f.Count
		}
		name := who
		if robot != "" {
			name = "The routine of " + robot
		}
		first := own[0]
		first.Robot = ""
		out = append(out, fmt.Sprintf("%s failed with an error in %d of %s: %s%s", name, rehearsals,
			units.Counted(len(list), "rehearsal"), first.Words(), elsewhere(own)))
	}
	return out
}

func elsewhere(list []Failure) string {
	if len(list) < 2 {
		return ""
	}
	return fmt.Sprintf("; and errors at %s", units.Counted(len(list)-1, "other line"))
}

func nowhere(*results.Result) string { return "" }

// planFails is the error with which the nominal rehearsal ends, "" for none.
func planFails(v *results.Variant) string {
	if e := v.Plan.Failed(); e != nil {
		return e.Text
	}
	return ""
}

// resultsOf lists what is done of one variant or point.
func resultsOf(f *results.File, point int) []*results.Result {
	var list []*results.Result
	for job := point; job < len(f.Results); job += f.Header.Points() {
		if f.Results[job] != nil {
			list = append(list, f.Results[job])
		}
	}
	return list
}

func failed(r *results.Result) bool { return r.Failed() != nil }
