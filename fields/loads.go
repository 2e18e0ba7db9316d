package fields

import "fmt"

// loads gives people their pieces, which stand behind those that the file lists, and makes symmetric copies.
func (b *builder) loads() {
	zones := namesOf(b.field.Zones, func(z Zone) string { return z.Name })
	b.at.Refer("loads", &b.field.Loads, "zone", zones)
	listed := b.field.Loads
	b.few("loads", len(listed), maxListed)
	b.field.Loads = nil
	count, pieces := numbers{}, b.counted()
	for i, l := range listed[:min(len(listed), maxListed)] {
		path := fmt.Sprintf("loads[%d]", i)
		l.At = settled(l.At)
		if !b.addLoad(path, l, count, pieces) {
			return
		}
		if !b.copies(path, l.Copy) {
			continue
		}
		if !b.addLoad(path, b.copyLoad(path, l), count, pieces) {
			return
		}
	}
	loads := b.field.Loads
	b.unique("load", len(loads), func(i int) (string, string) { return b.loadPaths[i], loads[i].Name })
}

// counted are the numbers of the pieces so far, so that those with people go on from there.
func (b *builder) counted() numbers {
	count := numbers{}
	for i, p := range b.field.Pieces {
		if p.Kind >= 0 && !b.at.Has(b.piecePaths[i]+".name") {
			count.next(b.field.PieceKinds[p.Kind].Name, b.sideName(p.Side))
		}
	}
	return count
}

func (b *builder) addLoad(path string, l Loader, count, pieces numbers) bool {
	l.Name = b.called(path, l.Name, "load", l.Side, count)
	if b.at.Has(path+".phases") && b.at.Length(path+".phases") == 0 {
		b.at.Errorf(path+".phases", "the list is empty: name a phase, or leave phases out for all")
	}
	l.First = len(b.field.Pieces)
	b.field.Loads = append(b.field.Loads, l)
	b.loadPaths = append(b.loadPaths, path)
	for range l.Count {
		if !b.addPiece(path+".count", Piece{Kind: l.Kind, At: l.At, Side: l.Owner, Goal: -1, Robot: -1}, pieces) {
			return false
		}
	}
	return true
}

func (b *builder) copyLoad(path string, l Loader) Loader {
	l.At, l.Side, l.Owner = b.copyPose(l.At), b.field.OtherSide(l.Side), b.field.OtherSide(l.Owner)
	if l.Name != "" {
		l.Name = b.copyName(l.Name)
	}
	if l.Hands < 0 {
		return l
	}
	twin, ok := b.zoneCopies[l.Hands]
	if !ok {
		b.at.Errorf(path+".copy", "the zone %q has no copy for this load's copy: write copy = true there too",
			b.field.Zones[l.Hands].Name)
		return l
	}
	l.Hands = twin
	return l
}

// LoadOf is the load whose person a piece waits with when the session begins, or -1.
func (f *Field) LoadOf(piece int) int {
	for i := range f.Loads {
		if l := &f.Loads[i]; piece >= l.First && piece < l.First+l.Count {
			return i
		}
	}
	return -1
}

// HandZones are the zones where people have their hands.
func (f *Field) HandZones() (zones []int) {
	for i := range f.Zones {
		if f.handsIn(i) {
			zones = append(zones, i)
		}
	}
	return zones
}

func (f *Field) handsIn(zone int) bool {
	for _, l := range f.Loads {
		if l.Hands == zone {
			return true
		}
	}
	return false
}

// loadPlaces notes an error where a person cannot put a piece down: it would reach off the floor.
func (b *builder) loadPlaces() {
	for i, l := range b.field.Loads {
		kind := b.field.PieceKinds[l.Kind]
		s := solid{b.loadPaths[i] + ".at", l.Name, -1, l.At.At(), kind.Radius, nil}
		if outline := kind.Outline(); outline != nil {
			s.outline = outline.Placed(l.At)
		}
		if !s.on(b.field.Floor) {
			b.at.Errorf(s.path, "a %s of %q at %s reaches %s: move the place inside, its centre %s", kind.Name, s.name,
				place(s.centre), b.offFloor(), s.keepsOff(b.field.Floor))
		}
	}
}
