package cp

// Apart reports whether no body that is awake can meet another, or a static one, within a time, if each goes on as it moves
// now: whether a margin is left between their shapes. Shapes that do not collide do not count. It changes nothing.
func (space *Space) Apart(time, margin float64) bool {
	static := space.staticShapes.GetRootIfTree()
	for i, body := range space.dynamicBodies {
		for _, shape := range body.shapeList {
			way := shape.way(time)
			if static != nil && static.reached(shape, shape.bb.grown(way+margin), way+margin) {
				return false
			}
			for _, other := range space.dynamicBodies[i+1:] {
				for _, of := range other.shapeList {
					room := way + of.way(time) + margin
					if of.bb.Intersects(shape.bb.grown(room)) && mayCollide(shape, of) && shape.gap(of) < room {
						return false
					}
				}
			}
		}
	}
	return true
}

// way is what no point of a shape exceeds within a time, as its body moves now.
func (s *Shape) way(time float64) float64 {
	turn := s.body.w
	if turn < 0 {
		turn = -turn
	}
	return float64(s.body.v.Length()*time) + float64(turn*time*((s.bb.R-s.bb.L)+(s.bb.T-s.bb.B))/2) // no point is farther from the middle
}

func (bb BB) grown(by float64) BB { return BB{bb.L - by, bb.B - by, bb.R + by, bb.T + by} }

// reached reports whether a shape below the node that may collide with another is not farther than room from it.
func (n *Node) reached(by *Shape, bounds BB, room float64) bool {
	switch {
	case !n.bb.Intersects(bounds):
		return false
	case n.IsLeaf():
		return n.obj.bb.Intersects(bounds) && mayCollide(by, n.obj) && by.gap(n.obj) < room
	}
	return n.a.reached(by, bounds, room) || n.b.reached(by, bounds, room)
}

// mayCollide reports whether neither filters nor joints keep two shapes from colliding.
func mayCollide(a, b *Shape) bool {
	return a.body != b.body && !a.Filter.Reject(b.Filter) && !QueryRejectConstraints(a.body, b.body)
}

// gap is the distance between two shapes, below 0 where they overlap: between convex shapes it lies at a corner of one.
func (s *Shape) gap(other *Shape) float64 {
	if touching(s.body, other.body) {
		return -INFINITY // crossed bars have no corner in one another
	}
	return min(s.corners(other), other.corners(s))
}

// corners is the least distance of a shape's corners, rounded, or of a circle, from another shape.
func (s *Shape) corners(other *Shape) float64 {
	switch class := s.Class.(type) {
	case *Circle:
		return other.distance(class.tc) - class.r
	case *PolyShape:
		least := INFINITY
		for i := range class.count {
			least = min(least, other.distance(class.planes[i].v0)-class.r)
		}
		return least
	}
	return -INFINITY // of a segment only the bounds are asked
}

func (s *Shape) distance(p Vector) float64 {
	s.Class.PointQuery(p, &s.nearest)
	return s.nearest.Distance
}

// touching reports whether two bodies have a contact.
func touching(a, b *Body) bool {
	for arb := a.arbiterList; arb != nil; arb = ArbiterNext(arb, a) {
		if arb.body_a == b || arb.body_b == b {
			return true
		}
	}
	return false
}
