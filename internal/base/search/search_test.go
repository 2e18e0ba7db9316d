package search

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
)

// tried is a search driven by a function that is to be small.
type tried struct {
	best        float64
	point       Point
	evaluations int
	points      strings.Builder // all, in order
}

// run searches until a value is reached or so many points have been tried.
func run(space Space, start Point, o Options, f func(Point) float64, target float64, most int) *tried {
	s, out, known := New(space, start, o), &tried{best: f(start), point: start}, map[string]float64{}
	known[start.key()] = out.best
	for out.evaluations < most && out.best > target {
		batch := s.Ask()
		if batch == nil {
			break
		}
		values, order := make([]float64, len(batch)), make([]int, len(batch))
		for i, p := range batch {
			order[i] = i
			v, is := known[p.key()]
			if !is {
				v = f(p)
				known[p.key()] = v
				out.evaluations++
				out.points.WriteString(p.key())
			}
			if values[i] = v; v < out.best {
				out.best, out.point = v, p
			}
		}
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(values[i], values[j]) })
		s.Tell(order)
	}
	return out
}

// on gives a function of numbers from low to high the search's numbers from 0 to 1.
func on(low, high float64, f func([]float64) float64) func(Point) float64 {
	return func(p Point) float64 {
		x := make([]float64, len(p.Numbers))
		for i, u := range p.Numbers {
			x[i] = low + u*(high-low)
		}
		return f(x)
	}
}

func sphere(x []float64) (sum float64) {
	for _, v := range x {
		sum += v * v
	}
	return sum
}

func rosenbrock(x []float64) (sum float64) {
	for i := range len(x) - 1 {
		a, b := x[i]*x[i]-x[i+1], x[i]-1
		sum += 100*a*a + b*b
	}
	return sum
}

// ellipsoid has axes of condition 1e6, turned about by reflection at the plane across (1, 2, ..., n): an orthogonal
// matrix, so that no axis is its own.
func ellipsoid(x []float64) (sum float64) {
	n := len(x)
	length, along := 0.0, 0.0
	for i, v := range x {
		length += float64(i+1) * float64(i+1)
		along += float64(i+1) * v
	}
	for i, v := range x {
		turned := v - 2*along/length*float64(i+1)
		sum += math.Pow(1e6, float64(i)/float64(n-1)) * turned * turned
	}
	return sum
}

func rastrigin(x []float64) (sum float64) {
	for _, v := range x {
		sum += v*v - 10*math.Cos(2*math.Pi*v) + 10
	}
	return sum
}

// The functions are those of Hansen's tutorial and of COCO (N. Hansen and others, COCO: a platform for comparing
// continuous optimizers, 2016): f1, f8, f10 and f3 without their shifts, in five dimensions. The tutorial's own program
// (appendix C) stops at 1e-10 or after 1000 n^2 evaluations, COCO's target is 1e-8. How many evaluations it takes is
// published in graphs only; the lower numbers hold ours to what it reached, with a third to spare. Of many valleys, as
// Rastrigin's, a quarter of the searches may end in another than the deepest.
func TestPublishedFunctions(t *testing.T) {
	const n = 5
	for _, c := range []struct {
		name         string
		low, high    float64
		f            func([]float64) float64
		target       float64
		most, missed int // missed of 20
	}{
		{"sphere", -5, 5, sphere, 1e-10, 1500, 0},
		{"Rosenbrock", -5, 5, rosenbrock, 1e-10, 3300, 0},
		{"ellipsoid, turned", -5, 5, ellipsoid, 1e-10, 2800, 0},
		{"Rastrigin", -5.12, 5.12, rastrigin, 1e-8, 1000 * n * n, 5},
	} {
		seeds, missed := property.Cases(2, 20), 0
		for seed := range uint64(seeds) {
			start := Point{Numbers: []float64{0.8, 0.15, 0.7, 0.9, 0.3}}
			got := run(Space{Numbers: n}, start, Options{Seed: seed, Batch: 8, Tolerance: 1e-8, Step: 0.3},
				on(c.low, c.high, c.f), c.target, 1000*n*n)
			if got.best > c.target || got.evaluations > c.most {
				missed++
			}
			t.Logf("%s, seed %d: %g after %d evaluations", c.name, seed, got.best, got.evaluations)
		}
		if missed*20 > c.missed*seeds {
			t.Errorf("%s: %d of %d did not reach %g within %d evaluations", c.name, missed, seeds, c.target, c.most)
		}
	}
}

// A least value at the limits, in a corner.
func TestTheBestLiesAtALimit(t *testing.T) {
	got := run(Space{Numbers: 4}, Point{Numbers: []float64{0.5, 0.5, 0.5, 0.5}},
		Options{Seed: 1, Batch: 8, Tolerance: 1e-12, Step: 0.3},
		on(1, 3, func(x []float64) float64 { return sphere(x) - 4 }), 1e-6, 4000)
	if got.best > 1e-6 {
		t.Errorf("%g after %d", got.best, got.evaluations)
	}
}

// burma14 of TSPLIB (G. Reinelt, ORSA Journal on Computing 3 (1991) 376): 14 towns, optimum 3323.
var burma = [][2]float64{{16.47, 96.10}, {16.47, 94.44}, {20.09, 92.54}, {22.39, 93.37}, {25.23, 97.24},
	{22.00, 96.05}, {20.47, 97.02}, {17.20, 96.29}, {16.30, 97.38}, {14.05, 98.12}, {16.53, 97.38}, {21.52, 95.59},
	{19.41, 97.13}, {20.09, 94.55}}

// geographic is TSPLIB's distance GEO, with its value of pi and its radius of the earth.
func geographic(a, b [2]float64) float64 {
	const pi, radius = 3.141592, 6378.388
	radians := func(x float64) float64 {
		degrees := math.Trunc(x)
		return pi * (degrees + 5*(x-degrees)/3) / 180
	}
	q1 := math.Cos(radians(a[1]) - radians(b[1]))
	q2, q3 := math.Cos(radians(a[0])-radians(b[0])), math.Cos(radians(a[0])+radians(b[0]))
	return math.Trunc(radius*math.Acos(0.5*((1+q1)*q2-(1-q1)*q3)) + 1)
}

func tour(p Point) (sum float64) {
	order := p.Orders[0]
	for i, town := range order {
		sum += geographic(burma[town], burma[order[(i+1)%len(order)]])
	}
	return sum
}

func asTheyStand(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	return order
}

func TestAKnownTour(t *testing.T) {
	for seed := range uint64(5) {
		got := run(Space{Orders: []int{14}}, Point{Orders: [][]int{asTheyStand(14)}}, Options{Seed: seed, Batch: 8}, tour,
			3323, 20_000)
		if got.best != 3323 {
			t.Errorf("seed %d: %g after %d tours, TSPLIB has 3323", seed, got.best, got.evaluations)
		} else {
			t.Logf("seed %d: %d tours of 6,227,020,800", seed, got.evaluations)
		}
	}
}

// All three kinds at once: the right option and order make a bowl of numbers deep.
func TestNumbersChoicesAndOrdersTogether(t *testing.T) {
	f := func(p Point) float64 {
		sum := sphere([]float64{p.Numbers[0] - 0.3, p.Numbers[1] - 0.6})
		if p.Choices[0] != 3 {
			sum += 0.2 + float64(p.Choices[0])/100
		}
		for i, x := range p.Orders[0] {
			sum += math.Abs(float64(x-(4-i))) / 20
		}
		return sum
	}
	got := run(Space{Numbers: 2, Choices: []int{5}, Orders: []int{5}},
		Point{Numbers: []float64{0.9, 0.1}, Choices: []int{0}, Orders: [][]int{asTheyStand(5)}},
		Options{Seed: 3, Batch: 8, Tolerance: 1e-6, Step: 0.2}, f, 1e-4, 2000)
	if got.best > 1e-4 {
		t.Errorf("%g at %+v after %d", got.best, got.point, got.evaluations)
	}
}

// A small space is tried whole, each point once.
func TestNothingIsLeftToTry(t *testing.T) {
	got := run(Space{Choices: []int{3, 2}, Orders: []int{3}}, Point{Choices: []int{0, 0}, Orders: [][]int{asTheyStand(3)}},
		Options{Seed: 1, Batch: 4}, func(p Point) float64 { return 1 }, 0, 1000)
	if got.evaluations != 3*2*6-1 {
		t.Errorf("%d of the 35 points beside the start were tried", got.evaluations)
	}
}

func TestTheSameSeedGivesTheSamePoints(t *testing.T) {
	go1 := func(seed uint64) string {
		return run(Space{Numbers: 3, Choices: []int{4}, Orders: []int{4}},
			Point{Numbers: []float64{0.5, 0.5, 0.5}, Choices: []int{0}, Orders: [][]int{asTheyStand(4)}},
			Options{Seed: seed, Batch: 8, Tolerance: 1e-3, Step: 0.2},
			func(p Point) float64 { return sphere(p.Numbers) + float64(p.Choices[0]) }, 0, 600).points.String()
	}
	if go1(7) != go1(7) || go1(7) == go1(8) {
		t.Error("a seed is a search")
	}
}

func TestMirrorsAtTheLimits(t *testing.T) {
	for x, want := range map[float64]float64{0.25: 0.25, -0.25: 0.25, 1.25: 0.75, 2.25: 0.25, -1.75: 0.25, 1: 1, 0: 0} {
		if got := folded(x); math.Abs(got-want) > 1e-12 {
			t.Errorf("%g is folded to %g, want %g", x, got, want)
		}
	}
}

// The settings of n = 10 with the usual ten points, worked out from the tutorial's formulas by hand (from memory of
// none): weights of the better half add up to 1, and the sum of all is near 0.
func TestSettings(t *testing.T) {
	s := newStrategy(make([]float64, 10), 0.3, population(10))
	better, all := 0.0, 0.0
	for i, w := range s.weights {
		if all += w; i < s.mu {
			better += w
		}
	}
	if population(10) != 10 || s.mu != 5 || math.Abs(better-1) > 1e-12 || all > 0.1 || all < -1 {
		t.Errorf("%d points, %d weights of %g together, all %g", population(10), s.mu, better, all)
	}
	if got := fmt.Sprintf("%.4f %.4f %.4f", s.muEff, s.cSigma, s.chi); got != "3.1673 0.2844 3.0847" {
		t.Error(got)
	}
}

// What one option brings only with other numbers is found: at the start's number the better option is the worse one.
func TestAnOptionIsTriedWithOtherNumbers(t *testing.T) {
	f := func(p Point) float64 {
		x := p.Numbers[0]
		value := math.Abs(x - 0.6)
		if p.Choices[0] == 1 && x < 0.5 {
			return value + 1
		}
		return value - float64(p.Choices[0])
	}
	for seed := range uint64(20) {
		start := Point{Numbers: []float64{0.2}, Choices: []int{0}}
		o := Options{Seed: seed, Batch: 8, Tolerance: 1e-3, Step: 0.1}
		if got := run(Space{Numbers: 1, Choices: []int{2}}, start, o, f, -0.95, 60); got.best > -0.95 {
			t.Errorf("seed %d: %g after %d points; -1 can be reached", seed, got.best, got.evaluations)
		}
	}
}
