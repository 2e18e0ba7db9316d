package cp

import "chalkfield/internal/base/portable"

type Constrainer interface {
	PreStep(dt float64)
	ApplyCachedImpulse(dt_coef float64)
	ApplyImpulse(dt float64)
	GetImpulse() float64
}

type ConstraintPreSolveFunc func(*Constraint, *Space)
type ConstraintPostSolveFunc func(*Constraint, *Space)

type Constraint struct {
	Class Constrainer
	space *Space

	a, b           *Body
	next_a, next_b *Constraint

	maxForce, errorBias, maxBias float64

	collideBodies bool
	PreSolve      ConstraintPreSolveFunc
	PostSolve     ConstraintPostSolveFunc

	UserData any
}

// usualBias is never written.
var usualBias = portable.Pow(0.9, 60)

func NewConstraint(class Constrainer, a, b *Body) *Constraint {
	return &Constraint{
		Class: class,
		a:     a,
		b:     b,
		space: nil,

		maxForce:  INFINITY,
		errorBias: usualBias,
		maxBias:   INFINITY,

		collideBodies: true,
		PreSolve:      nil,
		PostSolve:     nil,
	}
}
func (c Constraint) A() *Body {
	return c.a
}

func (c Constraint) B() *Body {
	return c.b
}

func (c *Constraint) ActivateBodies() {
	c.a.Activate()
	c.b.Activate()
}

func (c *Constraint) SetMaxForce(max float64) {
	assert(max >= 0.0, "Must be positive")
	c.ActivateBodies()
	c.maxForce = max
}

func (c *Constraint) Next(body *Body) *Constraint {
	if c.a == body {
		return c.next_a
	} else {
		return c.next_b
	}
}

func (c *Constraint) SetCollideBodies(collideBodies bool) {
	c.ActivateBodies()
	c.collideBodies = collideBodies
}
