package cp

// Apart reports whether no body that is awake can meet another, or a static one, within a time: whether the bounds of their
// shapes, moved on at the bodies' velocities, keep a margin. Shapes that do not collide do not count. It changes nothing.
func (space *Space) Apart(time, margin float64) bool {
	static := space.staticShapes.GetRootIfTree()
	for i, body := range space.dynamicBodies {
		for _, shape := range body.shapeList {
			swept := shape.swept(time, margin)
			if static != nil && static.reached(shape, swept) {
				return false
			}
			for _, other := range space.dynamicBodies[i+1:] {
				for _, of := range other.shapeList {
					if of.swept(time, 0).Intersects(swept) && mayCollide(shape, of) {
						return false
					}
				}
			}
		}
	}
	return true
}

// swept is what holds a shape within a time as its body moves now, and a margin.
func (s *Shape) swept(time, margin float64) BB {
	bb, v := s.bb, s.body.v
	turn := s.body.w
	if turn < 0 {
		turn = -turn
	}
	x, y := v.X*time, v.Y*time
	more := margin + float64(turn*time*((bb.R-bb.L)+(bb.T-bb.B))/2) // no point is farther from the middle
	return BB{bb.L + min(0, x) - more, bb.B + min(0, y) - more, bb.R + max(0, x) + more, bb.T + max(0, y) + more}
}

// reached reports whether bounds meet those of a shape below the node that may collide with another.
func (n *Node) reached(by *Shape, bounds BB) bool {
	switch {
	case !n.bb.Intersects(bounds):
		return false
	case n.IsLeaf():
		return n.obj.bb.Intersects(bounds) && mayCollide(by, n.obj)
	}
	return n.a.reached(by, bounds) || n.b.reached(by, bounds)
}

// mayCollide reports whether neither filters nor joints keep two shapes from colliding.
func mayCollide(a, b *Shape) bool {
	return a.body != b.body && !a.Filter.Reject(b.Filter) && !QueryRejectConstraints(a.body, b.body)
}
