// Copyright 2009 The Go Authors. All rights reserved.
// Use of this source code is governed by the BSD-style licence in this folder's LICENSE file.

package portable

import "math"

// Sinh is the hyperbolic sine, as in Go's math (coefficients are #2029 from Hart & Cheney, 20.36D).
func Sinh(x float64) float64 {
	const (
		P0 = -0.6307673640497716991184787251e+6
		P1 = -0.8991272022039509355398013511e+5
		P2 = -0.2894211355989563807284660366e+4
		P3 = -0.2630563213397497062819489e+2
		Q0 = -0.6307673640497716991212077277e+6
		Q1 = 0.1521517378790019070696485176e+5
		Q2 = -0.173678953558233699533450911e+3
	)

	sign := false
	if x < 0 {
		x = -x
		sign = true
	}

	var temp float64
	switch {
	case x > 21:
		temp = Exp(x) * 0.5

	case x > 0.5:
		ex := Exp(x)
		temp = float64((ex - 1/ex) * 0.5)

	default:
		sq := float64(x * x)
		temp = (float64((float64((float64(P3*sq)+P2)*sq)+P1)*sq) + P0) * x
		temp = temp / (float64((float64((sq+Q2)*sq)+Q1)*sq) + Q0)
	}

	if sign {
		temp = -temp
	}
	return temp
}

// Cosh is the hyperbolic cosine, as in Go's math.
func Cosh(x float64) float64 {
	x = math.Abs(x)
	if x > 21 {
		return Exp(x) * 0.5
	}
	ex := Exp(x)
	return (ex + 1/ex) * 0.5
}

// Tanh is the hyperbolic tangent, as in Go's math (Cephes, tanh.c).
func Tanh(x float64) float64 {
	const (
		MAXLOG = 8.8029691931113054295988e+01 // log(2**127)

		P0 = -9.64399179425052238628e-1
		P1 = -9.92877231001918586564e1
		P2 = -1.61468768441708447952e3
		Q0 = 1.12811678491632931402e2
		Q1 = 2.23548839060100448583e3
		Q2 = 4.84406305325125486048e3
	)
	z := math.Abs(x)
	switch {
	case z > 0.5*MAXLOG:
		if x < 0 {
			return -1
		}
		return 1
	case z >= 0.625:
		s := Exp(2 * z)
		z = 1 - 2/(s+1)
		if x < 0 {
			z = -z
		}
	default:
		if x == 0 {
			return x
		}
		s := float64(x * x)
		p := float64((float64(P0*s)+P1)*s) + P2
		q := float64((float64((s+Q0)*s)+Q1)*s) + Q2
		z = x + x*s*p/q
	}
	return z
}

// Log10 is the decimal logarithm, as in Go's math.
func Log10(x float64) float64 { return Log(x) * (1 / math.Ln10) }
