// Package results is what rehearsals came to: of one rehearsal its result, and where it first departed from the plan;
// of a study the file that keeps them all, of which many make one when the study was spread over machines.
//
// The file is JSON Lines. The first line is the header: everything that decides the results. Then one line for each
// rehearsal. While a study is under way lines are added as they come, each batch flushed to the disk, so that a kill at
// any moment costs at most the line that was being written; it is dropped and done again. Each line ends with its own
// sum. A finished file is written anew, whole, with its lines in order and a last line with the SHA-256 of all before
// it: the same study gives the same bytes, however many workers, interruptions or machines it took.
package results

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"chalkfield/internal/base/record"
)

// Format and Version open every file. Version rises when a reader of the old format would misread the new one.
const (
	Format = "chalkfield study"
	// 1 had no errors of routines, and of a sweep no paths; 2 no sum in each line, and no kinds of pieces; 3 other
	// reasons; 4 no searches
	Version = 5
)

// Kind of a study.
type Kind string

const (
	Trials  Kind = "trials"
	Compare Kind = "compare"
	Sweep   Kind = "sweep"
	Tune    Kind = "tune"
)

// Header says what a study is. Two files with equal headers but for the shard belong to one study.
type Header struct {
	Format   string      `json:"format"`
	Version  int         `json:"version"`
	Program  string      `json:"program"` // Chalkfield's own version
	Kind     Kind        `json:"kind"`
	Count    int         `json:"count"` // rehearsals of each variant, or of each point of a sweep
	Seed     uint64      `json:"seed"`  // rehearsal k draws from Seed + k
	Nominal  bool        `json:"nominal,omitempty"`
	Need     float64     `json:"need"` // points of the own side from which a rehearsal counts as good
	Field    record.File `json:"field"`
	Session  string      `json:"session"`
	Seconds  float64     `json:"seconds"` // length of the session
	Sides    []string    `json:"sides"`
	Rules    []string    `json:"rules"`
	Variants []Variant   `json:"variants"` // compare: a and b; else one
	Axes     []Axis      `json:"axes,omitempty"`
	Search   *Search     `json:"search,omitempty"` // of a tune
	Shard    Shard       `json:"shard"`

	Yardstick *Yardstick `json:"goal,omitempty"` // nil: the score
}

// Variant is one thing that is tried: robots, routines, parameters, and the plan that they have.
type Variant struct {
	Name   string          `json:"name"`
	Replay string          `json:"replay"` // the arguments that bring it up again, but for the seed
	Side   int             `json:"side"`   // own side
	Robots []record.Robot  `json:"robots"` // the first is under test
	Params []record.Number `json:"params,omitempty"`
	// names of what each rehearsal draws from the spread; a sweep keeps none
	Drawn       []string `json:"drawn"`
	Plan        Result   `json:"plan"`        // the nominal rehearsal
	Fingerprint string   `json:"fingerprint"` // of the nominal rehearsal's record: fixes inputs that no file holds
}

// Good reports whether a rehearsal of a variant has the points that are needed. One whose routine failed with an error
// is never good, whatever it scored: it came to its points by luck.
func (h *Header) Good(v *Variant, r *Result) bool {
	return r.Own(v.Side) >= h.Need && r.Failed() == nil
}

// Axis is one quantity that a sweep varies.
type Axis struct {
	Name   string    `json:"name"`
	Labels []string  `json:"labels"` // the values as the user would write them
	Values []float64 `json:"values"` // in Unit
	Unit   string    `json:"unit,omitempty"`
}

// Shard is which of how many parts of the study a file holds, counted from 1: rehearsals i with i mod Of = Number - 1.
type Shard struct {
	Number int `json:"number"`
	Of     int `json:"of"`
}

// Whole is the shard of a study in one part.
var Whole = Shard{1, 1}

// Points is how many points a sweep's grid has, or how many variants there are.
func (h *Header) Points() int {
	if len(h.Axes) == 0 {
		return len(h.Variants)
	}
	n := 1
	for _, a := range h.Axes {
		n *= len(a.Values)
	}
	return n
}

// Jobs is how many rehearsals the whole study has. Job j is rehearsal j / Points() of point j mod Points(), so that a
// study that is cut short has tried every point about equally often.
func (h *Header) Jobs() int { return h.Count * h.Points() }

// Point and SeedOf say what job j is.
func (h *Header) Point(job int) int { return job % h.Points() }

// SeedOf is the seed of a job: the base seed plus the number of the rehearsal. Points share seeds, so that they can be
// compared pair by pair.
func (h *Header) SeedOf(job int) uint64 { return h.Seed + uint64(job/h.Points()) }

// Variant of a job.
func (h *Header) Variant(job int) *Variant {
	if len(h.Axes) > 0 {
		return &h.Variants[0]
	}
	return &h.Variants[h.Point(job)]
}

// Mine reports whether a job belongs to the file's part.
func (h *Header) Mine(job int) bool { return job%h.Shard.Of == h.Shard.Number-1 }

// MyJobs lists the jobs of the file's part.
func (h *Header) MyJobs() []int {
	var list []int
	for job := h.Shard.Number - 1; job < h.Jobs(); job += h.Shard.Of {
		list = append(list, job)
	}
	return list
}

const (
	maxJobs   = 1_000_000 // their results take a gigabyte or two of memory
	maxPoints = 10_000    // of a grid: each has its own robot and field
)

// Possible refuses a study too large to hold, before anything is made for it.
func Possible(count, points int) error {
	switch {
	case count < 1:
		return fmt.Errorf("%d rehearsals: give -n 1 or more", count)
	case points > maxPoints:
		return fmt.Errorf("a grid of %d points: at most %d are possible", points, maxPoints)
	case count > maxJobs/points && points == 1:
		return fmt.Errorf("%d rehearsals: at most %d are possible", count, maxJobs)
	case count > maxJobs/points:
		return fmt.Errorf("%d rehearsals at each of %d points: at most %d in all are possible, so at most -n %d here",
			count, points, maxJobs, maxJobs/points)
	}
	return nil
}

// possible is valid, and refuses a study too large to hold.
func (h *Header) possible() error {
	if err := h.valid(); err != nil {
		return err
	}
	return Possible(h.Count, h.Points())
}

// valid refuses what later code could not index.
func (h *Header) valid() error {
	switch {
	case h.Format != Format || h.Version != Version:
		return fmt.Errorf("format %q version %d: this program reads %q version %d", h.Format, h.Version, Format, Version)
	case h.Kind != Trials && h.Kind != Compare && h.Kind != Sweep && h.Kind != Tune:
		return fmt.Errorf("unknown kind of study %q", h.Kind)
	case h.Shard.Of < 1 || h.Shard.Number < 1 || h.Shard.Number > h.Shard.Of:
		return fmt.Errorf("there is no part %d of %d", h.Shard.Number, h.Shard.Of)
	case h.Shard.Of > maxJobs:
		return fmt.Errorf("%d parts: at most %d are possible", h.Shard.Of, maxJobs)
	case (h.Kind == Tune) != (h.Search != nil):
		return errors.New("what is searched does not fit the kind of study")
	case h.Nominal && h.Kind != Sweep && h.Kind != Tune:
		return fmt.Errorf("nothing drawn: %s of one and the same rehearsal", h.Kind)
	case len(h.Variants) != h.variants() || (h.Kind == Sweep) != (len(h.Axes) > 0) || len(h.Axes) > 2:
		return errors.New("the number of variants or axes does not fit the kind of study")
	}
	if _, _, err := h.Goal(); err != nil {
		return err
	}
	for _, a := range h.Axes {
		if len(a.Values) == 0 || len(a.Values) != len(a.Labels) {
			return fmt.Errorf("axis %q has %d values and %d labels", a.Name, len(a.Values), len(a.Labels))
		}
	}
	for i := range h.Variants {
		if err := h.validVariant(&h.Variants[i]); err != nil {
			return err
		}
	}
	return nil
}

func (h *Header) variants() int {
	if h.Kind == Compare {
		return 2
	}
	return 1
}

func (h *Header) validVariant(v *Variant) error {
	if v.Side < 0 || v.Side >= len(h.Sides) || len(v.Robots) == 0 {
		return fmt.Errorf("variant %q has no side or no robot", v.Name)
	}
	return h.fits(&v.Plan)
}

// fits refuses a result whose lists do not match the header's.
func (h *Header) fits(r *Result) error {
	if len(r.Total) != len(h.Sides) || len(r.Points) != len(h.Rules) || len(r.Count) != len(h.Rules) {
		return errors.New("a result does not fit the header's sides and rules")
	}
	return nil
}

// Same says in one clause how two headers differ, apart from their shards' numbers; "" when they belong to one study.
func Same(a, b *Header) string {
	if a.Search != nil && b.Search != nil { // its count and the points of its plan follow from what differs below
		one := *a
		one.Count, one.Need = b.Count, b.Need
		a = &one
	}
	for _, c := range []struct {
		what        string
		left, right any
	}{
		{"version of Chalkfield", a.Program, b.Program}, {"kind of study", a.Kind, b.Kind}, {"count", a.Count, b.Count},
		{"base seed", a.Seed, b.Seed}, {"--nominal", a.Nominal, b.Nominal},
		{"points needed to be good (--need; without it those of the plan):", a.Need, b.Need},
		{"number of parts", a.Shard.Of, b.Shard.Of}, {"field", short(a.Field), short(b.Field)},
		{"session", a.Session, b.Session},
	} {
		if c.left != c.right {
			return fmt.Sprintf("%s %v against %v", c.what, c.left, c.right)
		}
	}
	if d := sameAxes(a.Axes, b.Axes); d != "" {
		return d
	}
	if x, y := goalOf(a), goalOf(b); x != y {
		return fmt.Sprintf("--for %q against %q", x, y)
	}
	if d := sameSearch(a.Search, b.Search); d != "" {
		return d
	}
	for i := range min(len(a.Variants), len(b.Variants)) {
		if d := sameVariant(&a.Variants[i], &b.Variants[i]); d != "" {
			return d
		}
	}
	if !bytes.Equal(unsharded(a), unsharded(b)) {
		return "other contents of the header"
	}
	return ""
}

// unsharded is the header as its file has it, but for the shard.
func unsharded(h *Header) []byte {
	whole := *h
	whole.Shard = Whole
	data, err := json.Marshal(whole)
	if err != nil { // a header holds finite numbers and texts only
		panic(err)
	}
	return data
}

func sameAxes(a, b []Axis) string {
	for i := range min(len(a), len(b)) {
		if a[i].Name != b[i].Name || !slices.Equal(a[i].Values, b[i].Values) {
			return fmt.Sprintf("axis %s of %d values against %s of %d", a[i].Name, len(a[i].Values), b[i].Name, len(b[i].Values))
		}
	}
	return ""
}

func sameVariant(a, b *Variant) string {
	if a.Name != b.Name || a.Replay != b.Replay {
		return fmt.Sprintf("called as %q against %q: the same words from the same folder are needed",
			cmp.Or(a.Replay, a.Name), cmp.Or(b.Replay, b.Name))
	}
	for i := range min(len(a.Robots), len(b.Robots)) {
		if x, y := a.Robots[i].Routine, b.Robots[i].Routine; x != y {
			return fmt.Sprintf("routine %s against %s", short(x), short(y))
		}
		if x, y := a.Robots[i].File, b.Robots[i].File; x != y {
			return fmt.Sprintf("robot %s against %s", short(x), short(y))
		}
	}
	if !slices.Equal(a.Params, b.Params) {
		return fmt.Sprintf("parameters %v against %v", a.Params, b.Params)
	}
	if a.Fingerprint != b.Fingerprint {
		return fmt.Sprintf("nominal rehearsal %.12s against %.12s", a.Fingerprint, b.Fingerprint)
	}
	return ""
}

func goalOf(h *Header) string {
	if h.Yardstick == nil {
		return "score"
	}
	return h.Yardstick.For
}

func short(f record.File) string { return fmt.Sprintf("%s (%.12s)", f.Name, f.SHA256) }

// Grid is the index on each axis of a sweep's point; the last axis varies fastest.
func (h *Header) Grid(point int) []int {
	at := make([]int, len(h.Axes))
	for k := len(h.Axes) - 1; k >= 0; k-- {
		n := len(h.Axes[k].Values)
		at[k], point = point%n, point/n
	}
	return at
}
