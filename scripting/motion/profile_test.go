package motion

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
)

// T = d/v + v/a for d >= v^2/a, else 2 sqrt(d/a): Lynch & Park, Modern Robotics, 9.2 (from memory; the
// numbers are the formula's).
func TestProfileTakesThePublishedTime(t *testing.T) {
	for _, c := range []struct{ distance, speed, accel, seconds float64 }{
		{2, 1.2, 2.5, 2.146667}, {0.3, 1.2, 2.5, 0.692820}, {-2, 1.2, 2.5, 2.146667}, {0.576, 1.2, 2.5, 0.96},
		{0, 1.2, 2.5, 0},
	} {
		p, err := NewProfile(c.distance, 0, 0, Limits{Speed: c.speed, Accel: c.accel})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(p.Seconds()-c.seconds) > 1e-6 {
			t.Errorf("%+v: %.6f s", c, p.Seconds())
		}
	}
}

// Whatever the ends: the profile keeps its limits, is continuous, its place is the integral of its speed, and it ends
// where and as fast as asked.
func TestProfileKeepsItsLimitsAndEndsAsAsked(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		l := Limits{
			Speed: rapid.Float64Range(0.2, 3).Draw(t, "speed"), Accel: rapid.Float64Range(0.5, 8).Draw(t, "accel"),
			Brake: rapid.Float64Range(0.5, 8).Draw(t, "brake"),
		}
		sign := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "sign")
		distance := sign * rapid.Float64Range(0.01, 4).Draw(t, "distance")
		from := sign * rapid.Float64Range(-1, 1.5).Draw(t, "from") * l.Speed
		to := sign * rapid.Float64Range(0, 1).Draw(t, "to") * l.Speed
		p, err := NewProfile(distance, from, to, l)
		if err != nil {
			return // too short: told apart below
		}
		const n = 4000
		dt := p.Seconds() / n
		place, last := 0.0, from
		for i := range n + 1 {
			at, v, a := p.At(float64(i) * dt)
			if i > 0 {
				place += (last + v) / 2 * dt
			}
			if math.Abs(at-place) > 1e-3*(1+math.Abs(distance)) {
				t.Fatalf("at %g s: place %g, integral of the speed %g", float64(i)*dt, at, place)
			}
			top := math.Max(l.Speed, math.Abs(from))
			if math.Abs(v) > top+1e-9 || math.Abs(a) > math.Max(l.Accel, l.Brake)+1e-9 {
				t.Fatalf("speed %g, accel %g beyond %+v", v, a, l)
			}
			if i > 0 && math.Abs(v-last) > math.Max(l.Accel, l.Brake)*dt+1e-9 {
				t.Fatalf("speed jumps from %g to %g", last, v)
			}
			last = v
		}
		if at, v, _ := p.At(p.Seconds() + 1); at != distance || v != to {
			t.Fatalf("ends at %g with %g, want %g with %g", at, v, distance, to)
		}
		at, v, _ := p.At(p.Seconds() * (1 - 1e-12))
		if math.Abs(at-distance) > 1e-6 || math.Abs(v-to) > 1e-5*(1+l.Brake) {
			t.Fatalf("arrives at %g with %g, want %g with %g", at, v, distance, to)
		}
	})
}

func TestProfileRefusesWhatCannotBeDriven(t *testing.T) {
	l := Limits{Speed: 1, Accel: 1}
	for _, c := range []struct {
		distance, from, to float64
		limits             Limits
		names              string
	}{
		{math.NaN(), 0, 0, l, "distance"}, {1, math.Inf(1), 0, l, "from"}, {1, 0, math.NaN(), l, "to"},
		{1, 0, 0, Limits{Accel: 1}, "speed"}, {1, 0, 0, Limits{Speed: 1}, "accel"},
		{1, 0, 0, Limits{Speed: 1, Accel: 1, Brake: -1}, "brake"},
		{1, 0, -0.5, l, "to"}, {1, 0, 2, l, "to"}, {0.1, 1, 0, l, "distance"}, {0.1, 0, 1, l, "distance"},
	} {
		if _, err := NewProfile(c.distance, c.from, c.to, c.limits); err == nil ||
			!strings.Contains(err.Error(), "profile: "+c.names) {
			t.Errorf("%+v: error %v, want one that names %q", c, err, c.names)
		}
	}
}

func TestSlewChangesNoFasterThanAllowed(t *testing.T) {
	s, err := NewSlew(0, 2, 5)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name           string
		want, dt, then float64
	}{
		{"rises by rise", 10, 0.5, 1}, {"stops at the goal", 1.5, 1, 1.5}, {"falls by fall", 0, 0.1, 1},
		{"falls through zero, then rises", -10, 0.7, -1}, {"ignores what is no number", math.NaN(), 1, -1},
		{"ignores no time", 5, 0, -1},
	} {
		if got := s.Update(c.want, c.dt); math.Abs(got-c.then) > 1e-12 {
			t.Errorf("%s: %g, want %g", c.name, got, c.then)
		}
	}
	for _, bad := range [][3]float64{{math.NaN(), 1, 1}, {0, 0, 1}, {0, 1, math.Inf(1)}} {
		if _, err := NewSlew(bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("NewSlew%v: no error", bad)
		}
	}
}
