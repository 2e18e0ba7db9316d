package cp

import "math"

// sight is a line of sight through a space.
type sight struct {
	from, to Vector
	along    Vector // unit vector
	bounds   BB
	filter   ShapeFilter
	least    float64 // share of the way to the nearest hit so far
	hit      SegmentQueryInfo
	looked   int // nodes
}

// FirstHit is how far it is from a place along a unit vector to the first shape that the filter lets through, at most
// far. It is SegmentQueryFirst without its garbage and without the branches that the line passes by.
func (space *Space) FirstHit(from, along Vector, far float64, filter ShapeFilter) float64 {
	return far * space.firstHit(space.lookAlong(from, along, far, filter))
}

// FirstHitBeside is FirstHit for a line that begins near a shape: while it stays within the room that the tree keeps
// for the shape to move in, what it may hit is among the shape's neighbours.
func (space *Space) FirstHitBeside(shape *Shape, from, along Vector, far float64, filter ShapeFilter) float64 {
	l := space.lookAlong(from, along, far, filter)
	leaf := space.dynamicShapes.GetTree().leaves.Find(shape.hashid, shape)
	if leaf == nil || !leaf.bb.Contains(l.bounds) {
		return far * space.firstHit(l)
	}
	l.look(shape)
	for pair := leaf.pairs; pair != nil; {
		other, next := pair.across(leaf)
		space.looked++
		l.look(other.obj)
		pair = next
	}
	return far * l.least
}

// lookAlong is a line of sight before it has met anything.
func (space *Space) lookAlong(from, along Vector, far float64, filter ShapeFilter) *sight {
	l := &space.sight
	to := Vector{from.X + float64(far*along.X), from.Y + float64(far*along.Y)}
	l.from, l.to, l.along, l.filter, l.least = from, to, along, filter, 1
	l.bound(1)
	return l
}

// firstHit looks through the trees.
func (space *Space) firstHit(l *sight) float64 {
	for _, index := range [...]*SpatialIndex{space.dynamicShapes, space.staticShapes} {
		if root := index.GetRootIfTree(); root != nil {
			l.looked = 0
			l.search(root)
			space.looked += l.looked
		}
	}
	return l.least
}

func (l *sight) search(n *Node) {
	l.looked++
	switch {
	case !l.meets(&n.bb):
	case !n.IsLeaf():
		l.search(n.a)
		l.search(n.b)
	default:
		l.look(n.obj)
	}
}

// look looks whether a shape is hit sooner than all so far.
func (l *sight) look(shape *Shape) {
	if !shape.Filter.Reject(l.filter) && l.meets(&shape.bb) && shape.SegmentQuery(l.from, l.to, 0, &l.hit) &&
		l.hit.Alpha < l.least {
		l.least = l.hit.Alpha
		l.bound(l.least + rounding)
	}
}

// bound looks no farther from here on than a share of the way.
func (l *sight) bound(share float64) {
	x, y := l.from.X+float64(share*(l.to.X-l.from.X)), l.from.Y+float64(share*(l.to.Y-l.from.Y))
	l.bounds = BB{min(l.from.X, x), min(l.from.Y, y), max(l.from.X, x), max(l.from.Y, y)}
}

// rounding is what bounds and places may be off by.
const rounding = 1e-9

// meets reports whether the line comes into bounds, or within rounding of them: whether neither the axes nor the line's
// own direction part the two.
func (l *sight) meets(bb *BB) bool {
	if !l.bounds.Intersects(*bb) {
		return false
	}
	w, h := bb.R-bb.L, bb.T-bb.B
	x, y := bb.L+bb.R-float64(2*l.from.X), bb.B+bb.T-float64(2*l.from.Y) // twice the way to the middle
	aside := float64(x*l.along.Y) - float64(y*l.along.X)
	return math.Abs(aside) <= float64(w*math.Abs(l.along.Y))+float64(h*math.Abs(l.along.X))+rounding
}
