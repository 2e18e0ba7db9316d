package stats

import (
	"math"
	"math/big"
)

// precision is the bits of the arithmetic below.
const precision = 120

func precise(x float64) *big.Float { return new(big.Float).SetPrec(precision).SetFloat64(x) }

// preciseDecays gives the residuals of Lanczos1. The certified ones are 1e-13, of values near 1, which a float64 holds
// to 2e-16: their sum of squares, and the standard errors with it, has three digits then.
func (d dataset) preciseDecays(b, residuals []float64) {
	for i, y := range d.printed {
		left, _, err := big.ParseFloat(y, 10, precision, big.ToNearestEven)
		if err != nil {
			panic(err)
		}
		for k := 0; k < len(b); k += 2 {
			power := precise(-b[k+1])
			power.Mul(power, decimal(d.x[i][0]))
			left.Sub(left, power.Mul(precise(b[k]), preciseExp(power)))
		}
		residuals[i], _ = left.Float64()
	}
}

// decimal is a multiple of 0.05, as the file has it, and not the float64 next to it.
func decimal(x float64) *big.Float {
	twentieths := precise(math.Round(x * 20))
	return twentieths.Quo(twentieths, precise(20))
}

// preciseExp is e^x by Taylor's series of x/256, squared eight times.
func preciseExp(x *big.Float) *big.Float {
	small := new(big.Float).SetMantExp(x, -8)
	sum, term := precise(1), precise(1)
	for k := 1; k < 20; k++ { // for |x| < 8, (1/32)^20/20! is 3e-49
		term.Mul(term, small)
		term.Quo(term, precise(float64(k)))
		sum.Add(sum, term)
	}
	for range 8 {
		sum.Mul(sum, sum)
	}
	return sum
}
