// Copyright 2010 The Go Authors. All rights reserved.
// Use of this source code is governed by the BSD-style licence in this folder's LICENSE file.

package portable

import (
	"math"
)

// Sincos is the sine and the cosine of x (rad), as in Go's math (Cephes Math Library, S. L. Moshier).
func Sincos(x float64) (sin, cos float64) {
	const (
		PI4A = 7.85398125648498535156e-1  // 0x3fe921fb40000000, math.Pi/4 split into three parts
		PI4B = 3.77489470793079817668e-8  // 0x3e64442d00000000,
		PI4C = 2.69515142907905952645e-15 // 0x3ce8469898cc5170,
	)
	// special cases
	switch {
	case x == 0:
		return x, 1 // return ±0.0, 1.0
	case math.IsNaN(x) || math.IsInf(x, 0):
		return math.NaN(), math.NaN()
	}

	// make argument positive
	sinSign, cosSign := false, false
	if x < 0 {
		x = -x
		sinSign = true
	}

	var j uint64
	var y, z float64
	if x >= reduceThreshold {
		j, z = trigReduce(x)
	} else {
		j = uint64(x * (4 / math.Pi)) // integer part of x/(math.Pi/4), as integer for tests on the phase angle
		y = float64(j)                // integer part of x/(math.Pi/4), as float

		if j&1 == 1 { // map zeros to origin
			j++
			y++
		}
		j &= 7                                                          // octant modulo 2Pi radians (360 degrees)
		z = ((x - float64(y*PI4A)) - float64(y*PI4B)) - float64(y*PI4C) // Extended precision modular arithmetic
	}
	if j > 3 { // reflect in x axis
		j -= 4
		sinSign, cosSign = !sinSign, !cosSign
	}
	if j > 1 {
		cosSign = !cosSign
	}

	zz := z * z
	cos = 1.0 - float64(0.5*zz) + float64(zz*zz*polynomial(&cosTerms, zz))
	sin = z + float64(z*zz*polynomial(&sinTerms, zz))
	if j == 1 || j == 2 {
		sin, cos = cos, sin
	}
	if cosSign {
		cos = -cos
	}
	if sinSign {
		sin = -sin
	}
	return
}

// polynomial has six terms, that of the highest power first.
func polynomial(terms *[6]float64, x float64) float64 {
	y := float64(terms[0]*x) + terms[1]
	y = float64(y*x) + terms[2]
	y = float64(y*x) + terms[3]
	y = float64(y*x) + terms[4]
	return float64(y*x) + terms[5]
}

// Sin is the sine of x (rad).
func Sin(x float64) float64 {
	s, _ := Sincos(x)
	return s
}

// Cos is the cosine of x (rad).
func Cos(x float64) float64 {
	_, c := Sincos(x)
	return c
}

// Tan is the tangent of x (rad).
func Tan(x float64) float64 {
	s, c := Sincos(x)
	return s / c
}

var sinTerms = [...]float64{
	1.58962301576546568060e-10, // 0x3de5d8fd1fd19ccd
	-2.50507477628578072866e-8, // 0xbe5ae5e5a9291f5d
	2.75573136213857245213e-6,  // 0x3ec71de3567d48a1
	-1.98412698295895385996e-4, // 0xbf2a01a019bfdf03
	8.33333333332211858878e-3,  // 0x3f8111111110f7d0
	-1.66666666666666307295e-1, // 0xbfc5555555555548
}

var cosTerms = [...]float64{
	-1.13585365213876817300e-11, // 0xbda8fa49a0861a9b
	2.08757008419747316778e-9,   // 0x3e21ee9d7b4e3f05
	-2.75573141792967388112e-7,  // 0xbe927e4f7eac4bc6
	2.48015872888517045348e-5,   // 0x3efa01a019c844f5
	-1.38888888888730564116e-3,  // 0xbf56c16c16c14f91
	4.16666666666665929218e-2,   // 0x3fa555555555554b
}
