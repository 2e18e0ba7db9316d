package fields

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/wording"
)

// Frame is the field's symmetry as a mapping about its middle.
func (f *Field) Frame() geom.Symmetry {
	low, high := f.Floor.Bounds()
	kind := map[Symmetry]geom.SymmetryKind{HalfTurn: geom.HalfTurn, MirrorX: geom.MirrorX,
		MirrorY: geom.MirrorY}[f.Symmetry]
	return geom.Symmetry{Kind: kind, Centre: geom.Vec{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}}
}

// Mirror maps a pose by the field's symmetry onto the other side's half: what is a body's place for one side is the
// mirrored place for the other. Without a symmetry the pose stays.
func (f *Field) Mirror(p geom.Pose) geom.Pose {
	if f.Symmetry == NoSymmetry {
		return p
	}
	return f.Frame().Pose(p)
}

// MirrorPoint maps a point by the field's symmetry.
func (f *Field) MirrorPoint(v geom.Vec) geom.Vec { return f.Frame().Point(v) }

// Flips reports whether the symmetry turns left into right, as mirrors do and a half turn does not.
func (f *Field) Flips() bool { return f.Frame().Flips() }

// mirrorPolygon maps an outline and keeps it counter-clockwise.
func (f *Field) mirrorPolygon(p geom.Polygon) geom.Polygon {
	out := make(geom.Polygon, len(p))
	for i, v := range p {
		if f.Flips() {
			i = len(p) - 1 - i
		}
		out[i] = f.MirrorPoint(v)
	}
	return out
}

// OtherSide is the side that the symmetry swaps a side with; -1 stays -1.
func (f *Field) OtherSide(side int) int {
	if side < 0 || len(f.Sides) != 2 {
		return side
	}
	return 1 - side
}

// SideIndex finds a side by name.
func (f *Field) SideIndex(name string) (int, error) {
	names := make([]string, len(f.Sides))
	for i, s := range f.Sides {
		if s.Name == name {
			return i, nil
		}
		names[i] = s.Name
	}
	return -1, fmt.Errorf("%s has no side %q: %s", f.Title, name, wording.Instead(name, names))
}

// SessionNamed finds a session by name; "" is the first.
func (f *Field) SessionNamed(name string) (Session, error) {
	names := make([]string, len(f.Sessions))
	for i, s := range f.Sessions {
		if s.Name == name || name == "" {
			return s, nil
		}
		names[i] = s.Name
	}
	return Session{}, fmt.Errorf("%s has no session %q: %s", f.Title, name, wording.Instead(name, names))
}

// Outline is the polygon of a piece kind in the piece's own frame, the middle of a flat along +x; nil for a disc.
func (k *PieceKind) Outline() geom.Polygon {
	if k.Corners == 0 {
		return nil
	}
	return geom.Regular(k.Corners, k.Radius*portable.Cos(math.Pi/float64(k.Corners)))
}
