package viewmodel

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// Way is the path of one rehearsal of a study.
type Way struct {
	report.Trial
	Points []geom.Vec // m
	Good   bool
	Plan   bool // nothing is drawn
	Letter string
}

// mostWays is how many paths of a study are shown, evenly chosen.
const mostWays = 400

// Ways are the paths of the study shown, those that lie on top last; none where its field or routine is not the one
// shown.
func (d *Model) Ways() []Way {
	if d.study == nil || !d.Bundle || d.Driving() || d.Now == nil || d.Now.Setup.Field == nil || d.study.of != d.first ||
		d.Now.Record.Header.Field.SHA256 != d.study.field {
		return nil
	}
	file := d.study.Seen.File
	if file == nil {
		return nil
	}
	if d.waysOf != file {
		d.waysOf, d.ways = file, waysOf(file)
	}
	return d.ways
}

func waysOf(f *results.File) []Way {
	var below, above, plans []Way
	h := &f.Header
	for _, job := range shownJobs(f) {
		r, v := f.Results[job], h.Variant(job)
		way := Way{Trial: report.Trial{Point: h.Point(job), Seed: r.Seed}, Points: r.Way(), Good: h.Good(v, r)}
		if len(way.Points) == 0 {
			continue
		}
		if way.Good {
			below = append(below, way)
		} else {
			above = append(above, way)
		}
	}
	if h.Kind != results.Sweep {
		for i := range h.Variants {
			if points := h.Variants[i].Plan.Way(); len(points) > 0 {
				plans = append(plans, Way{Trial: report.Trial{Point: i, Seed: h.Seed}, Points: points, Plan: true, Good: true})
			}
		}
	}
	return slices.Concat(below, plans, above)
}

// shownJobs are the rehearsals whose paths are shown: of each seed chosen those of all points.
func shownJobs(f *results.File) []int {
	var seeds, jobs []int
	for k := range f.Header.Count {
		seeds = append(seeds, k*f.Header.Points())
	}
	for _, first := range analysis.Evenly(seeds, max(mostWays/f.Header.Points(), 1)) {
		for job := first; job < first+f.Header.Points(); job++ {
			if f.Results[job] != nil {
				jobs = append(jobs, job)
			}
		}
	}
	return jobs
}

// WayAt is the path nearest to a place, of those within reach (m); -1: none. Of equally near ones it is the one on top.
func (d *Model) WayAt(at geom.Vec, reach float64) int {
	best, near := -1, reach
	for i, way := range d.Ways() {
		for k := 1; k < len(way.Points); k++ {
			if gap := geom.DistanceToSegment(at, way.Points[k-1], way.Points[k]); gap <= near {
				best, near = i, gap
			}
		}
	}
	return best
}

// job is the rehearsal's number in the study; -1: it is not done.
func (s *Study) job(t report.Trial) int {
	if s.Seen.File == nil {
		return -1
	}
	h := &s.Seen.File.Header
	if t.Seed < h.Seed || t.Seed-h.Seed >= uint64(h.Count) || t.Point < 0 || t.Point >= h.Points() {
		return -1
	}
	job := int(t.Seed-h.Seed)*h.Points() + t.Point
	if s.Seen.File.Results[job] == nil {
		return -1
	}
	return job
}

// TrialWords tell what came of a rehearsal of the study: "seed 6: 9 points, clamp misses (line 31) at 4.20 s".
func (s *Study) TrialWords(t report.Trial) string {
	job := s.job(t)
	if job < 0 {
		return ""
	}
	h, r := &s.Seen.File.Header, s.Seen.File.Results[job]
	v := h.Variant(job)
	words := fmt.Sprintf("%sseed %d: %s", s.pointWords(t.Point), r.Seed, units.Counted(r.Own(v.Side), "point"))
	if h.Good(v, r) {
		return words + ", good"
	}
	left := s.left(job)
	if words += fmt.Sprintf(", %s at %.2f s", left.Words, left.T); left.Text != "" {
		words += ": " + left.Text
	}
	return words
}

// Rehearsal is one of a study, to be looked up.
type Rehearsal struct {
	report.Trial
	Words string
}

// Rehearsals are those of the study that are done, the worst first.
func (s *Study) Rehearsals() []Rehearsal {
	if s.Seen.File == nil {
		return nil
	}
	h, list := &s.Seen.File.Header, s.Seen.File.Results
	var jobs []int
	for job, r := range list {
		if r != nil {
			jobs = append(jobs, job)
		}
	}
	points := func(job int) float64 { return list[job].Own(h.Variant(job).Side) }
	good := func(job int) int {
		if h.Good(h.Variant(job), list[job]) {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(jobs, func(a, b int) int {
		return cmp.Or(cmp.Compare(good(a), good(b)), cmp.Compare(points(a), points(b)))
	})
	var out []Rehearsal
	for _, job := range jobs {
		trial := report.Trial{Point: h.Point(job), Seed: list[job].Seed}
		out = append(out, Rehearsal{trial, s.TrialWords(trial)})
	}
	return out
}

// left is where a rehearsal first left the plan.
func (s *Study) left(job int) results.Departure {
	h, r := &s.Seen.File.Header, s.Seen.File.Results[job]
	if r.Left != nil {
		return *r.Left
	}
	return results.Blame(h.Variant(job).Plan, *r, h.Rules, h.Seconds)
}

// pointWords name the variant or the point that a rehearsal is of; "" for trials.
func (s *Study) pointWords(point int) string {
	h := &s.Seen.File.Header
	switch h.Kind {
	case results.Compare:
		return h.Variants[point].Name + ", "
	case results.Sweep:
		return fmt.Sprintf("%s = %s, ", h.Axes[0].Name, h.Axes[0].Labels[h.Grid(point)[0]])
	}
	return ""
}

// before is how long before its departure a rehearsal is shown, s.
const before = 0.5

// OpenTrial shows a rehearsal of the study: its seed, and beside the run of now what was otherwise in it.
func (d *Model) OpenTrial(t report.Trial) {
	s := d.study
	if s == nil || d.Driving() {
		return
	}
	job := s.job(t)
	if job < 0 {
		d.Say("That rehearsal is not done.")
		return
	}
	h := &s.Seen.File.Header
	words := "Shows " + d.WithCallers(s.TrialWords(t)) + "."
	if s.text != d.commands() {
		words += " The routine was changed since."
	}
	if at := s.left(job).T - before; !h.Good(h.Variant(job), s.Seen.File.Results[job]) && !math.IsNaN(at) {
		d.Pause()
		d.Seek(math.Max(at, 0))
	}
	d.laid, d.laidFile = nil, ""
	switch {
	case h.Kind == results.Sweep:
		d.laid = s.beside(t)
	case h.Kind == results.Compare:
		d.laid = s.beside(report.Trial{Point: 0, Seed: t.Seed})
	}
	c := d.Chosen()
	c.Seed, c.Nominal = t.Seed, h.Nominal
	d.Choose(c)
	d.wrote = words
}

// beside is a rehearsal of the study to be run beside another.
func (s *Study) beside(t report.Trial) *Other {
	setup := s.Seen.Made.Setup(s.job(t))
	return &Other{Name: fmt.Sprintf("%sseed %d", s.pointWords(t.Point), t.Seed), Setup: &setup}
}
