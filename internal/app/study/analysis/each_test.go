package analysis

import (
	"testing"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
)

// slimmed is a sweep's file as the study keeps it: where a rehearsal left the plan instead of what it did.
func slimmed(f *results.File) *results.File {
	h := &f.Header
	for _, r := range f.Results {
		if r != nil && !h.Good(&h.Variants[0], r) {
			left := results.Blame(plan, *r, h.Rules, h.Seconds)
			r.Left = &left
		}
		if r != nil {
			r.Did = nil
		}
	}
	return f
}

func TestLeavesOfASweepAreThoseOfItsRehearsals(t *testing.T) {
	f := slimmed(sweepFile(60))
	f.Results[4] = nil
	s, err := OfSweep(f)
	if err != nil {
		t.Fatal(err)
	}
	bad, worst := 0, 0
	for i, p := range s.Points {
		n := p.Good.Of - p.Good.Hits
		bad += n
		if n > s.Points[worst].Good.Of-s.Points[worst].Good.Hits {
			worst = i
		}
	}
	leaves := Leaves(f)
	if len(leaves) != 1 {
		t.Fatalf("%+v", leaves)
	}
	l := leaves[0]
	if l.Words != "clamp misses (line 8)" || l.Count != bad || l.Points != 4 || l.Most != worst ||
		len(l.Places) != bad || l.T.Median != 6.1 {
		t.Errorf("%d not good, most at point %d; got %q, %d at %d points, most at %d, %d places, %v", bad, worst, l.Words,
			l.Count, l.Points, l.Most, len(l.Places), l.T)
	}
}

func sum(bins []stats.Bin) int {
	n := 0
	for _, b := range bins {
		n += b.Count
	}
	return n
}

func TestPointBinsCountEveryRehearsalAtItsPoint(t *testing.T) {
	f := sweepFile(60)
	f.Results[5], f.Results[9] = nil, nil // both of the second point
	bins := PointBins(f)
	s, err := OfSweep(f)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range s.Points {
		if got := sum(bins[i]); got != p.Score.N {
			t.Errorf("point %d: %d of %d rehearsals", i, got, p.Score.N)
		}
		if first, last := bins[i][0], bins[i][len(bins[i])-1]; first.From != 4 || last.From != 10 ||
			last.Count != p.Good.Hits {
			t.Errorf("point %d: %+v to %+v, %d good", i, first, last, p.Good.Hits)
		}
	}
}

func TestEachOfAComparisonKeepsItsOwn(t *testing.T) {
	f := compareFile(40, func(int) float64 { return 2 })
	f.Results[7] = nil // its partner does not count either
	miss := missed(f.Results[1].Seed, nil)
	f.Results[1] = &miss
	f.Header.Variants[0].Drawn, f.Header.Variants[1].Drawn = nil, nil
	a, b := EachOf(f, 0), EachOf(f, 1)
	if sum(a.Bins) != 39 || sum(b.Bins) != 39 || len(a.Bins) != len(b.Bins) || a.Bins[0].From != b.Bins[0].From {
		t.Errorf("bins %v and %v", a.Bins, b.Bins)
	}
	if len(a.Steps) != 3 || a.Steps[1].Reached.Hits != 39 || b.Steps[1].Reached.Hits != 38 {
		t.Errorf("the clamp: %+v and %+v", a.Steps[1].Reached, b.Steps[1].Reached)
	}
	f.Header.Need = 100
	if b = EachOf(f, 1); len(b.Groups) != 2 || b.Groups[1].Words != "clamp misses (line 8)" || b.Groups[1].Open == "" {
		t.Errorf("groups of b: %+v", b.Groups)
	}
}
