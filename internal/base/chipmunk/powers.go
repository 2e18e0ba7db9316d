package cp

import "chalkfield/internal/base/portable"

// powers keeps the last powers that were asked for: the bases are settings and the exponent is the step, so that they
// are the same in every step.
type powers [4]struct{ base, exponent, power float64 }

func (p *powers) of(base, exponent float64) float64 {
	if base == 1 {
		return 1
	}
	for i := range p {
		if k := &p[i]; k.base == base && k.exponent == exponent {
			return k.power
		}
	}
	copy(p[1:], p[:len(p)-1])
	p[0].base, p[0].exponent, p[0].power = base, exponent, portable.Pow(base, exponent)
	return p[0].power
}
