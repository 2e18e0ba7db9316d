package stats

import "math"

// Wilson is the score interval for a share: hits out of n tries.
//
//	centre = (p + z^2/2n) / (1 + z^2/n)
//	half   = z sqrt(p(1-p)/n + z^2/4n^2) / (1 + z^2/n)
//
// Wilson, J. Am. Stat. Assoc. 22 (1927) 209. Unlike p +- z s it stays inside 0..1 and is honest at 0 and at n hits.
// Without a try it is 0..1: nothing is known. It panics if hits is not in 0..n.
func Wilson(hits, n int, level float64) Interval {
	if hits < 0 || hits > n {
		panic("stats: Wilson needs 0 <= hits <= n")
	}
	if n == 0 {
		return Interval{0, 1}
	}
	z, m := normalQuantile(level), float64(n)
	p, z2 := float64(hits)/m, z*z
	centre := (p + z2/(2*m)) / (1 + z2/m)
	half := z * math.Sqrt(p*(1-p)/m+z2/(4*m*m)) / (1 + z2/m)
	out := Interval{math.Max(0, centre-half), math.Min(1, centre+half)}
	if hits == 0 {
		out.Low = 0 // exactly; the formula leaves a rounding error
	}
	if hits == n {
		out.High = 1
	}
	return out
}
