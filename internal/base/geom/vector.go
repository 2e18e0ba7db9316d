package geom

import (
	"chalkfield/internal/base/portable"
)

// The operations below have products in them. gonum's own, once inlined, would be fused with a sum on some processors,
// and their results would differ from the others' in the last bit: an explicit conversion keeps a product apart (Go
// specification, "Floating-point operators").

// Dot is the scalar product.
func Dot(a, b Vec) float64 { return float64(a.X*b.X) + float64(a.Y*b.Y) }

// Cross is the third component of the vector product: positive where b lies to the left of a.
func Cross(a, b Vec) float64 { return float64(a.X*b.Y) - float64(a.Y*b.X) }

// Scale is v times f.
func Scale(f float64, v Vec) Vec { return Vec{X: float64(f * v.X), Y: float64(f * v.Y)} }

// Norm2 is the square of v's length.
func Norm2(v Vec) float64 { return Dot(v, v) }

// Norm is v's length.
func Norm(v Vec) float64 { return portable.Hypot(v.X, v.Y) }

// Direction is the unit vector along v; NaN for the zero vector.
func Direction(v Vec) Vec { return Scale(1/Norm(v), v) }
