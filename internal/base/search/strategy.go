package search

import (
	"math"
	"math/rand/v2"

	"chalkfield/internal/base/portable"
)

// strategy is CMA-ES within limits of 0 and 1, by the equations and default settings of Hansen's tutorial (2016), with
// negative weights; but that a Cholesky factor A of C stands for its square root, as by O. Krause, D. R. Arbones and C.
// Igel, CMA-ES with optimal covariance update and storage complexity (NIPS 2016). A sample beyond a limit is folded
// back inside, as by a mirror that stands there.
type strategy struct {
	n, mu   int
	weights []float64 // of all ranks, those of the worse half negative
	muEff   float64
	cSigma, dSigma, cC, c1, cMu,
	chi float64 // expected length of a normal vector

	mean       []float64
	sigma      float64
	c, a       [][]float64 // covariance and its factor, lower triangle
	pSigma, pC []float64
	z, y       [][]float64 // of the generation under way
	generation int
	idle       int // generations since it last found something better than it had
}

// population is the usual size of a generation.
func population(n int) int { return 4 + int(3*portable.Log(float64(n))) }

func newStrategy(mean []float64, sigma float64, size int) *strategy {
	n := len(mean)
	s := &strategy{n: n, mu: size / 2, weights: make([]float64, size), sigma: sigma, z: vectors(size, n),
		y: vectors(size, n), c: vectors(n, n), a: vectors(n, n), pSigma: make([]float64, n), pC: make([]float64, n)}
	s.mean = append(s.mean, mean...)
	for i := range n {
		s.c[i][i], s.a[i][i] = 1, 1
	}
	s.settings()
	return s
}

func vectors(count, n int) [][]float64 {
	list := make([][]float64, count)
	for i := range list {
		list[i] = make([]float64, n)
	}
	return list
}

// settings are those of the tutorial's table 1.
func (s *strategy) settings() {
	n, size := float64(s.n), len(s.weights)
	var sum, squares [2]float64 // of the better half's weights, and of the others'
	for i := range s.weights {
		w := portable.Log(float64(size+1)/2) - portable.Log(float64(i+1))
		half := i / s.mu
		s.weights[i] = w
		sum[min(half, 1)] += w
		squares[min(half, 1)] += float64(w * w)
	}
	s.muEff = float64(sum[0]*sum[0]) / squares[0]
	worse := float64(sum[1]*sum[1]) / squares[1]
	s.cSigma = (s.muEff + 2) / (n + s.muEff + 5)
	s.dSigma = 1 + float64(2*max(0, math.Sqrt((s.muEff-1)/(n+1))-1)) + s.cSigma
	s.cC = (4 + s.muEff/n) / (n + 4 + float64(2*s.muEff/n))
	s.c1 = 2 / (float64((n+1.3)*(n+1.3)) + s.muEff)
	s.cMu = min(1-s.c1, 2*(s.muEff-2+1/s.muEff)/(float64((n+2)*(n+2))+s.muEff))
	s.chi = math.Sqrt(n) * (1 - 1/(4*n) + 1/float64(21*n*n))
	negative := min(1+s.c1/s.cMu, 1+float64(2*worse)/(s.muEff+2), (1-s.c1-s.cMu)/float64(n*s.cMu))
	below := 0.0
	for _, w := range s.weights {
		below -= min(w, 0)
	}
	for i, w := range s.weights {
		if w >= 0 {
			s.weights[i] = w / sum[0]
		} else {
			s.weights[i] = float64(w*negative) / below
		}
	}
}

// ask samples a generation.
func (s *strategy) ask(draw *rand.Rand) [][]float64 {
	list := vectors(len(s.z), s.n)
	for k := range s.z {
		for i := range s.n {
			s.z[k][i] = portable.Normal(draw)
		}
		for i := range s.n {
			s.y[k][i] = 0
			for j := range i + 1 {
				s.y[k][i] += float64(s.a[i][j] * s.z[k][j])
			}
			list[k][i] = folded(s.mean[i] + float64(s.sigma*s.y[k][i]))
		}
	}
	return list
}

// folded is a number within 0 and 1, mirrored at them as often as it takes.
func folded(x float64) float64 {
	x = math.Abs(x - float64(2*math.Round(x/2)))
	return min(x, 1)
}

// tell takes a generation's ranks: indices, best first.
func (s *strategy) tell(order []int) {
	s.generation++
	zw, yw := make([]float64, s.n), make([]float64, s.n)
	for rank := range s.mu {
		for i := range s.n {
			zw[i] += float64(s.weights[rank] * s.z[order[rank]][i])
			yw[i] += float64(s.weights[rank] * s.y[order[rank]][i])
		}
	}
	length := 0.0
	for i := range s.n {
		s.mean[i] = min(max(s.mean[i]+float64(s.sigma*yw[i]), 0), 1)
		s.pSigma[i] = float64((1-s.cSigma)*s.pSigma[i]) + float64(math.Sqrt(float64(s.cSigma*(2-s.cSigma))*s.muEff)*zw[i])
		length += float64(s.pSigma[i] * s.pSigma[i])
	}
	length = math.Sqrt(length)
	fading := 1 - portable.Pow(1-s.cSigma, float64(2*s.generation))
	steady := length/math.Sqrt(fading) < (1.4+2/float64(s.n+1))*s.chi
	for i := range s.n {
		s.pC[i] *= 1 - s.cC
		if steady {
			s.pC[i] += float64(math.Sqrt(float64(s.cC*(2-s.cC))*s.muEff) * yw[i])
		}
	}
	s.adapt(order, steady)
	s.sigma *= portable.Exp(min(1, s.cSigma/s.dSigma*(length/s.chi-1)))
	s.sigma = min(s.sigma, widest/s.spread()) // beyond, all mirrors look alike
}

// widest is the greatest deviation of a sample, as a share of the limits' distance.
const widest = 0.5

// spread is the greatest deviation of a sample, in steps.
func (s *strategy) spread() float64 {
	most := 0.0
	for i := range s.n {
		most = max(most, math.Sqrt(s.c[i][i]))
	}
	return most
}

// adapt moves the covariance.
func (s *strategy) adapt(order []int, steady bool) {
	sum, scaled := 0.0, make([]float64, len(order))
	for rank, k := range order {
		w := s.weights[rank]
		sum += w
		if scaled[rank] = w; w < 0 {
			length := 0.0
			for _, z := range s.z[k] {
				length += float64(z * z)
			}
			scaled[rank] = w * float64(s.n) / length
		}
	}
	keep := 1 - s.c1 - float64(s.cMu*sum)
	if !steady {
		keep += float64(s.c1 * s.cC * (2 - s.cC))
	}
	for i := range s.n {
		for j := range i + 1 {
			c := float64(keep*s.c[i][j]) + float64(s.c1*s.pC[i]*s.pC[j])
			for rank, k := range order {
				c += float64(s.cMu * scaled[rank] * s.y[k][i] * s.y[k][j])
			}
			s.c[i][j] = c
		}
	}
	s.factor()
}

// factor takes the Cholesky factor of the covariance. Rounding may leave it flat in a direction: it is kept a little
// round.
func (s *strategy) factor() {
	for i := range s.n {
		for j := range i + 1 {
			sum := s.c[i][j]
			for k := range j {
				sum -= float64(s.a[i][k] * s.a[j][k])
			}
			if i == j {
				s.a[i][i] = math.Sqrt(max(sum, float64(1e-14*s.c[i][i]), 1e-300))
			} else {
				s.a[i][j] = sum / s.a[j][j]
			}
		}
	}
}

// stands counts the generations since it last found something better than it had.
func (s *strategy) stands(better bool) {
	s.idle++
	if better {
		s.idle = 0
	}
}

// rests reports whether it has come to an end: its steps are small, or nothing better comes (for the tutorial's B.3,
// EqualFunValues, for want of values).
func (s *strategy) rests(tolerance float64) bool {
	return s.sigma*s.spread() < tolerance || s.idle > 20+30*s.n/len(s.z)
}

// widen lets it look about again, after a move to other choices or orders.
func (s *strategy) widen() { s.sigma, s.idle = max(s.sigma, 0.1), 0 }
