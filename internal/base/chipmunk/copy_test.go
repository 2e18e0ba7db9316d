package cp_test

import cp "chalkfield/internal/base/chipmunk"

// ours is a scene in the copy; theirs, in the original's test file, is the same text with the other package.
type ours struct {
	space  *cp.Space
	bodies []*cp.Body
}

func newCopy(s scene) world {
	w := &ours{space: cp.NewSpace()}
	w.space.SetDamping(0.02)
	w.space.SetCollisionSlop(0.0005)
	w.space.IdleSpeedThreshold, w.space.SleepTimeThreshold = 0.01, 0.05
	corners := []cp.Vector{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}}
	for i, c := range corners {
		wall := cp.NewSegment(w.space.StaticBody, c, corners[(i+1)%4], 0.01)
		wall.SetFriction(0.5)
		wall.SetElasticity(0.5)
		w.space.AddShape(wall)
	}
	for _, t := range s.things {
		w.add(t)
	}
	for _, t := range s.ties {
		a, b := w.bodies[t.a], w.bodies[t.b]
		joint := cp.NewPivotJoint2(a, b, a.WorldToLocal(b.Position()), cp.Vector{})
		if t.gear {
			joint = cp.NewGearJoint(a, b, b.Angle()-a.Angle(), 1)
		}
		if t.limits > 0 {
			joint.SetMaxForce(t.limits)
		}
		w.space.AddConstraint(joint)
	}
	return w
}

func (w *ours) add(t thing) {
	size := t.size
	body := cp.NewBody(t.mass, cp.MomentForBox(t.mass, size, size))
	shape := cp.NewCircle(body, size/2, cp.Vector{X: size / 10})
	switch t.kind {
	case 1:
		shape = cp.NewBox(body, size, size/2, 0.0005)
	case 2:
		points := []cp.Vector{{X: -size / 2}, {X: size / 3, Y: -size / 2}, {X: size / 2, Y: size / 4}, {Y: size / 2}}
		shape = cp.NewPolyShape(body, len(points), points, cp.NewTransformIdentity(), 0.001)
	case 3:
		shape = cp.NewSegment(body, cp.Vector{X: -size / 2}, cp.Vector{X: size / 2}, 0.02)
	}
	shape.SetFriction(t.friction)
	shape.SetElasticity(t.bounce)
	body.SetPosition(cp.Vector{X: t.x, Y: t.y})
	body.SetAngle(t.angle)
	body.SetVelocity(t.vx, t.vy)
	body.SetAngularVelocity(t.spin)
	w.space.AddBody(body)
	w.space.AddShape(shape)
	w.bodies = append(w.bodies, body)
}

func (w *ours) step(dt float64) { w.space.Step(dt) }

func (w *ours) push(i int, vx, vy float64) {
	w.bodies[i].SetVelocity(vx, vy)
}

func (w *ours) remove(i int) {
	body := w.bodies[i]
	body.EachConstraint(func(c *cp.Constraint) { w.space.RemoveConstraint(c) })
	body.EachShape(func(s *cp.Shape) { w.space.RemoveShape(s) })
	w.space.RemoveBody(body)
	w.bodies = append(w.bodies[:i:i], w.bodies[i+1:]...)
}

func (w *ours) state() []float64 {
	list := []float64{0, 0}
	for i, b := range w.bodies {
		if b.IsSleeping() {
			list[0]++
		}
		b.EachArbiter(func(a *cp.Arbiter) {
			list[1]++
			set := a.ContactPointSet()
			list = append(list, set.Normal.X, set.Normal.Y, a.TotalImpulse().X, a.TotalImpulse().Y)
		})
		p, v := b.Position(), b.Velocity()
		list = append(list, p.X, p.Y, v.X, v.Y, b.Angle(), b.AngularVelocity())
		from := cp.Vector{X: p.X + 0.4, Y: p.Y - 0.7 + float64(i)*0.1}
		hit := w.space.SegmentQueryFirst(from, p, 0.001, cp.SHAPE_FILTER_ALL)
		near := w.space.PointQueryNearest(from, 0.5, cp.SHAPE_FILTER_ALL)
		list = append(list, hit.Point.X, hit.Point.Y, hit.Normal.X, hit.Alpha, near.Distance, near.Point.X, near.Gradient.Y)
	}
	return list
}
