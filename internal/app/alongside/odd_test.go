package alongside

import (
	"math"
	"strings"
	"testing"

	"chalkfield/internal/app/logfile"
)

// No log makes laying it panic or hang, and what is told of one that fits is finite.
func FuzzLay(f *testing.F) {
	for _, seed := range []string{
		"time s,left travel mm,right travel mm,heading deg\n0,0,0,0\n1,100,100,0\n2,300,310,9\n3,1e9,-1e9,4e5\n",
		"time s,x m,y m\n-5,0,0\n1e9,1,1\n1e9,2,2\n2e9,3,3\n",
		"time us,left speed mm/s,right speed mm/s,left %\n0,,1,5\n1,1,,5\n2,1,1,\n9e9,1,1,1\n",
		"time s,left travel m,right travel m,turning rad/s,lift rad\n" +
			"0,0,0,1e12,1\n0.02,1e12,0,-1e12,1\n0.04,0,1,1,1\n0.06,1,1,1,1\n",
	} {
		f.Add(seed, 0.0, true)
		f.Add(seed, -1e12, false)
	}
	spec := hauler(f)
	rec := rehearsal(f, "core_haul_sled", spec, 0)
	f.Fuzz(func(t *testing.T, text string, at float64, find bool) {
		l, err := logfile.Read("run.csv", strings.NewReader(text), logfile.Settings{})
		if err != nil || math.IsNaN(at) || math.Abs(at) > 1e12 {
			return
		}
		o := Options{Limits: Usual}
		if !find {
			o.At = &at
		}
		p, err := Lay(rec, spec, l, o)
		if err != nil {
			return
		}
		for _, x := range []float64{p.At, p.Correlation, p.Farthest.Place, p.End.Place, p.End.Ahead} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Errorf("%+v", p)
			}
		}
		if replay, err := p.Replay(spec); err == nil {
			for _, s := range replay.Samples {
				if quantity, _ := s.NotFinite(&replay.Header); quantity != "" {
					t.Fatalf("%s of the replay at %g s is no number", quantity, s.T)
				}
			}
		}
	})
}
