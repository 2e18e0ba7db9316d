package cp

import "math"

// Apart reports whether no body that is awake can meet another, or a static one, within a time, if each goes on as it
// moves now and by as much as a margin nearer at its end. Shapes that do not collide do not count. It changes nothing.
//
// The trees know each shape's neighbours: whose bounds, with room to move in, meet its own. Others are looked for where
// a shape might leave that room.
func (space *Space) Apart(time, margin float64) bool {
	awake := space.dynamicShapes.GetTree()
	farthest := -1.0
	for _, leaf := range awake.leaves.list() {
		a := approach{space: space, shape: leaf.obj, time: time, margin: margin}
		a.bounds = leaf.obj.bb.grown(leaf.obj.way(time) + margin)
		if leaf.bb.Contains(a.bounds) {
			if a.meetsNeighbour(leaf) {
				return false
			}
			continue
		}
		if root := space.staticShapes.GetRootIfTree(); root != nil && a.meets(root) {
			return false
		}
		if farthest < 0 {
			farthest = awake.farthest(time)
		}
		a.bounds, a.awake = a.bounds.grown(farthest), true
		if a.meets(awake.root) {
			return false
		}
	}
	return true
}

// farthest is the longest way of the tree's shapes.
func (tree *BBTree) farthest(time float64) (most float64) {
	for _, leaf := range tree.leaves.list() {
		most = max(most, leaf.obj.way(time))
	}
	return most
}

// approach is a shape that may come near others.
type approach struct {
	space        *Space
	shape        *Shape
	time, margin float64
	bounds       BB
	awake        bool // the others move too
}

// meetsNeighbour reports whether one of the neighbours may be met. Of two that are awake the one with the lesser number
// asks.
func (a *approach) meetsNeighbour(leaf *Node) bool {
	for pair := leaf.pairs; pair != nil; {
		other, next := pair.across(leaf)
		a.space.looked++
		if a.meetsThe(other.obj) {
			return true
		}
		pair = next
	}
	return false
}

// across is the other leaf of a pair, and the leaf's next pair.
func (pair *Pair) across(leaf *Node) (other *Node, next *Pair) {
	if pair.a.leaf == leaf {
		return pair.b.leaf, pair.a.next
	}
	return pair.a.leaf, pair.b.next
}

func (a *approach) meetsThe(neighbour *Shape) bool {
	bounds := a.bounds
	a.awake = neighbour.body.sleepingRoot == nil && neighbour.body.GetType() != BODY_STATIC
	if a.awake {
		if neighbour.hashid < a.shape.hashid {
			return false
		}
		bounds = bounds.grown(neighbour.way(a.time))
	}
	return neighbour.bb.Intersects(bounds) && mayCollide(a.shape, neighbour) && a.near(neighbour)
}

// meets reports whether a shape below the node may be met.
func (a *approach) meets(n *Node) bool {
	a.space.looked++
	switch {
	case !n.bb.Intersects(a.bounds):
		return false
	case !n.IsLeaf():
		return a.meets(n.a) || a.meets(n.b)
	}
	return n.obj.bb.Intersects(a.bounds) && mayCollide(a.shape, n.obj) && a.near(n.obj)
}

// near reports whether another shape may be met. Between convex shapes the gap is an axis that parts them. It closes by
// their velocities along it, by what their corners swing along it as they turn, and by the margin. Each of these grows
// no slower than in proportion to the time, so that where they come to nothing together, nothing is met before.
func (a *approach) near(other *Shape) bool {
	gap, away := a.shape.gap(other)
	if gap <= 0 {
		return true
	}
	v, along := a.shape.body.v, away.Neg()
	swing := a.shape.swing(along, a.time)
	if a.awake {
		v = v.Sub(other.body.v)
		swing += other.swing(away, a.time)
	}
	return gap <= max(0, float64(v.Dot(along)*a.time)+swing+a.margin)
}

// swing is how much farther a shape reaches in a direction, a unit vector, after it has turned for a time: a corner at
// r goes on by w t along the circle about the middle, and at most by r (w t)^2/2 beside it.
func (s *Shape) swing(along Vector, time float64) float64 {
	angle := s.body.w * time
	was, is := -INFINITY, -INFINITY
	corner := func(at Vector) {
		r := at.Sub(s.body.p)
		reach := r.Dot(along)
		was = max(was, reach)
		is = max(is, reach+max(0, float64(angle*r.Perp().Dot(along)))+float64(r.Length()*angle*angle/2))
	}
	switch class := s.Class.(type) {
	case *Circle:
		corner(class.tc)
	case *PolyShape:
		for i := range class.count {
			corner(class.planes[i].v0)
		}
	}
	return is - was
}

// way is what no point of a shape exceeds within a time, as its body moves now.
func (s *Shape) way(time float64) float64 {
	reach := ((s.bb.R - s.bb.L) + (s.bb.T - s.bb.B)) / 2 // no point is farther from the middle
	return float64(s.body.v.Length()*time) + float64(math.Abs(s.body.w)*time*reach)
}

func (bb BB) grown(by float64) BB { return BB{bb.L - by, bb.B - by, bb.R + by, bb.T + by} }

// mayCollide reports whether neither filters nor joints keep two shapes from colliding.
func mayCollide(a, b *Shape) bool {
	return a.body != b.body && !a.Filter.Reject(b.Filter) && !QueryRejectConstraints(a.body, b.body)
}

// gap is the distance of a shape from another, below 0 where they overlap, and the direction of its way out: between
// convex shapes it lies at a corner of one.
func (s *Shape) gap(other *Shape) (gap float64, away Vector) {
	if touching(s.body, other.body) {
		return -INFINITY, away // crossed bars have no corner in one another
	}
	gap, away = s.corners(other)
	if back, toward := other.corners(s); back < gap {
		return back, toward.Neg()
	}
	return gap, away
}

// corners is the least distance of a shape's corners, rounded, or of a circle, from another shape, and its direction.
func (s *Shape) corners(other *Shape) (least float64, away Vector) {
	switch class := s.Class.(type) {
	case *Circle:
		least, away = other.distance(class.tc)
		return least - class.r, away
	case *PolyShape:
		least = INFINITY
		for i := range class.count {
			if d, out := other.distance(class.planes[i].v0); d-class.r < least {
				least, away = d-class.r, out
			}
		}
		return least, away
	}
	return -INFINITY, away // of a segment only the bounds are asked
}

func (s *Shape) distance(p Vector) (float64, Vector) {
	s.Class.PointQuery(p, &s.nearest)
	return s.nearest.Distance, s.nearest.Gradient
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
