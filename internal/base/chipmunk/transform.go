package cp

import "math"

type Transform struct {
	a, b, c, d, tx, ty float64
}

func NewTransformIdentity() Transform {
	return Transform{1, 0, 0, 1, 0, 0}
}

func NewTransformTranspose(a, c, tx, b, d, ty float64) Transform {
	return Transform{a, b, c, d, tx, ty}
}

func NewTransformRigidInverse(t Transform) Transform {
	return NewTransformTranspose(
		t.d, -t.c, float64(t.c*t.ty)-float64(t.tx*t.d),
		-t.b, t.a, float64(t.tx*t.b)-float64(t.a*t.ty),
	)
}

func (t Transform) Mult(t2 Transform) Transform {
	return NewTransformTranspose(
		float64(t.a*t2.a)+float64(t.c*t2.b), float64(t.a*t2.c)+float64(t.c*t2.d), float64(t.a*t2.tx)+float64(t.c*t2.ty)+t.tx,
		float64(t.b*t2.a)+float64(t.d*t2.b), float64(t.b*t2.c)+float64(t.d*t2.d), float64(t.b*t2.tx)+float64(t.d*t2.ty)+t.ty,
	)
}

func (t Transform) Point(p Vector) Vector {
	return Vector{X: float64(t.a*p.X) + float64(t.c*p.Y) + t.tx, Y: float64(t.b*p.X) + float64(t.d*p.Y) + t.ty}
}

func (t Transform) Vect(v Vector) Vector {
	return Vector{float64(t.a*v.X) + float64(t.c*v.Y), float64(t.b*v.X) + float64(t.d*v.Y)}
}

func (t Transform) BB(bb BB) BB {
	hw := (bb.R - bb.L) * 0.5
	hh := (bb.T - bb.B) * 0.5

	a := float64(t.a * hw)
	b := float64(t.c * hh)
	d := float64(t.b * hw)
	e := float64(t.d * hh)
	hw_max := max(math.Abs(a+b), math.Abs(a-b))
	hh_max := max(math.Abs(d+e), math.Abs(d-e))
	return NewBBForExtents(t.Point(bb.Center()), hw_max, hh_max)
}

// miscellaneous transform matrices
