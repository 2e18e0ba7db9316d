// Copyright 2010 The Go Authors. All rights reserved.
// Use of this source code is governed by the BSD-style licence in this folder's LICENSE file.

package portable

import (
	"math"
)

// Hypot is the square root of p^2 + q^2 without needless overflow, as in Go's math.
func Hypot(p, q float64) float64 {
	p, q = math.Abs(p), math.Abs(q)
	// special cases
	switch {
	case math.IsInf(p, 1) || math.IsInf(q, 1):
		return math.Inf(1)
	case math.IsNaN(p) || math.IsNaN(q):
		return math.NaN()
	}
	if p < q {
		p, q = q, p
	}
	if p == 0 {
		return 0
	}
	q = q / p
	return p * math.Sqrt(1+float64(q*q))
}
