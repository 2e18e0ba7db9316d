package sim

import (
	"sync"

	cp "chalkfield/internal/base/chipmunk"
)

// Settings of the physics engine.
const (
	// Gravity is the standard acceleration of free fall, m/s^2 (exact by definition, CGPM 1901).
	Gravity = 9.80665
	// stepLength is the physics step, s.
	stepLength = 0.002
	// iterations of the impulse solver in a step. Impulses are kept from step to step, so five at 500 steps a second do
	// what games do with forty at 60.
	iterations = 5
	// slop is the overlap that the engine leaves alone, m: enough to keep resting contacts alive, too little to see.
	slop = 0.0005
	// rounding is the radius of polygon corners, m. Shapes are shrunk by it first, so outlines keep their size. It spares
	// the engine its costly search when polygons overlap by less than twice of it. It is small because the engine takes
	// a disc on a rounded polygon to be twice the radius farther off than it is, and lets it sink in by so much.
	rounding = 0.0005
	// A body slower than idleSpeed (m/s, judged by its energy) for idleTime (s) sleeps until something touches it.
	idleSpeed = 0.001
	idleTime  = 0.1
)

// making serialises the making of bodies: the engine numbers them with a package variable that it does not guard. The
// numbers are used for printing only.
var making sync.Mutex

func newSpace() *cp.Space {
	making.Lock()
	defer making.Unlock()
	s := cp.NewSpace()
	s.Iterations = iterations
	s.SetCollisionSlop(slop)
	s.IdleSpeedThreshold = idleSpeed
	s.SleepTimeThreshold = idleTime
	return s
}

func newBody(mass, inertia float64) *cp.Body {
	making.Lock()
	defer making.Unlock()
	return cp.NewBody(mass, inertia)
}

func newStatic() *cp.Body {
	making.Lock()
	defer making.Unlock()
	return cp.NewStaticBody()
}
