package cp

// Within adds to a list the shapes whose bounds meet the given ones, awake and asleep, in the order of the trees.
func (space *Space) Within(bounds BB, list []*Shape) []*Shape {
	for _, index := range [...]*SpatialIndex{space.dynamicShapes, space.staticShapes} {
		if root := index.GetRootIfTree(); root != nil {
			list = space.within(root, &bounds, list)
		}
	}
	return list
}

func (space *Space) within(n *Node, bounds *BB, list []*Shape) []*Shape {
	space.looked++
	switch {
	case !n.bb.Intersects(*bounds):
	case !n.IsLeaf():
		return space.within(n.b, bounds, space.within(n.a, bounds, list))
	case n.obj.bb.Intersects(*bounds):
		return append(list, n.obj)
	}
	return list
}

// Looked counts the nodes of the trees that were looked at to find what is near something.
func (space *Space) Looked() int { return space.looked + space.dynamicShapes.GetTree().looked }
