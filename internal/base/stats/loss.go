package stats

import (
	"math"
	"slices"
)

// Loss is what a residual costs: its square, or less where it is large against its series' other residuals.
//
// Huber's and Tukey's with the constants that cost 5 % more variance than least squares when the noise is normal
// (Holland & Welsch, Commun. Stat. A 6 (1977) 813, from memory). Huber's lets a bad value pull with a limited force,
// Tukey's not at all.
type Loss int

const (
	LeastSquares Loss = iota
	Huber
	Tukey
)

const (
	huberLimit = 1.345
	tukeyLimit = 4.685
	madOfUnit  = 0.6744897501960817 // median of |z| for a standard normal z
)

// lossForm is a loss for a residual u in units of its scale: twice the loss (u*u for least squares), its influence
// (half of twice's derivative) and the influence's slope.
type lossForm struct{ twice, influence, slope func(u float64) float64 }

var lossForms = map[Loss]lossForm{
	LeastSquares: {
		func(u float64) float64 { return u * u },
		func(u float64) float64 { return u },
		func(float64) float64 { return 1 },
	},
	Huber: {
		func(u float64) float64 {
			inside := math.Min(math.Abs(u), huberLimit)
			return inside * (2*math.Abs(u) - inside)
		},
		func(u float64) float64 { return math.Max(-huberLimit, math.Min(huberLimit, u)) },
		func(u float64) float64 {
			if math.Abs(u) > huberLimit {
				return 0
			}
			return 1
		},
	},
	Tukey: {
		func(u float64) float64 {
			left := tukeyLeft(u)
			return tukeyLimit * tukeyLimit / 3 * (1 - float64(left*left*left))
		},
		func(u float64) float64 { left := tukeyLeft(u); return u * left * left },
		func(u float64) float64 { left := tukeyLeft(u); return left * (float64(5*left) - 4) },
	},
}

// tukeyLeft is 1 - (u/c)^2, and 0 beyond c.
func tukeyLeft(u float64) float64 { return math.Max(0, 1-float64(u*u)/(tukeyLimit*tukeyLimit)) }

// weigh gives each residual the weight that makes a weighted square pull as its loss does (iterative reweighting), anew
// in every round, with a scale for each series: its median absolute residual over 0.6745 (a normal's). Scale and
// parameters are so found together, one step each in turn (Huber, Robust Statistics, 1981, ch. 7.8, from memory). At a
// start that is far off, the scale is wide and nothing is cut off yet.
func (f *fitter) weigh() {
	at, slopes, squares := 0, 0.0, 0.0
	for _, n := range f.Series {
		scale := math.Max(f.LeastScale, robustScale(f.residuals[at:at+n]))
		for i := at; i < at+n; i++ {
			u := f.residuals[i] / scale
			f.scales[i], f.weights[i] = scale, 1
			if u != 0 {
				f.weights[i] = f.loss.influence(u) / u
			}
			pull := scale * f.loss.influence(u)
			slopes += f.loss.slope(u)
			squares += float64(pull * pull)
		}
		at += n
	}
	// Huber's estimate of the variance, ch. 7.6; the floor is for a start so bad that most residuals are cut off
	f.slope = math.Max(0.1, slopes/float64(f.n))
	f.noise = squares / float64(f.n-len(f.Parameters)) / f.slope
}

// robustScale of a series is not 0: where most residuals are 0 it is the root mean square, where all are, 1.
func robustScale(residuals []float64) float64 {
	if len(residuals) == 0 {
		return 1
	}
	sizes, squares := make([]float64, len(residuals)), 0.0
	for i, r := range residuals {
		sizes[i] = math.Abs(r)
		squares += float64(r * r)
	}
	slices.Sort(sizes)
	if scale := Quantile(sizes, 0.5) / madOfUnit; scale > 0 {
		return scale
	}
	if squares > 0 {
		return math.Sqrt(squares / float64(len(residuals)))
	}
	return 1
}
