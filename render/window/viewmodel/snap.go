package viewmodel

import (
	"math"

	"chalkfield/internal/base/geom"
)

// Snap moves a place onto what is near: the middle of a piece or goal, or lines of tiles and of goals' middles.
func (d *Model) Snap(at geom.Vec, within float64) geom.Vec {
	if d.Now == nil {
		return at
	}
	best, least := at, within
	xs, ys := d.tileLine(at.X), d.tileLine(at.Y)
	for id, body := range d.Now.Record.Header.Bodies {
		if pose, ok := d.Now.PoseOf(Thing{PieceThing, id}, d.Time); ok {
			if far := math.Hypot(pose.X-at.X, pose.Y-at.Y); far < least {
				best, least = pose.At(), far
			}
			if kindOf(body) == GoalThing {
				xs, ys = append(xs, pose.X), append(ys, pose.Y)
			}
		}
	}
	if best != at {
		return best
	}
	return geom.Vec{X: geom.Nearest(xs, at.X, within), Y: geom.Nearest(ys, at.Y, within)}
}

// SnapBeside moves a thing's place, as the files would have it, onto lines of tiles or of other things' middles.
func (d *Model) SnapBeside(thing Thing, at geom.Vec, within float64) geom.Vec {
	xs, ys := d.tileLine(at.X), d.tileLine(at.Y)
	if d.Now != nil {
		for id, body := range d.Now.Record.Header.Bodies {
			other := Thing{kindOf(body), id}
			if pose, ok := d.Standing(other); ok && other != thing {
				xs, ys = append(xs, pose.X), append(ys, pose.Y)
			}
		}
	}
	return geom.Vec{X: geom.Nearest(xs, at.X, within), Y: geom.Nearest(ys, at.Y, within)}
}

// tileLine is the line of tiles next to a coordinate, where the field has tiles.
func (d *Model) tileLine(x float64) []float64 {
	if d.Setup.Field == nil || !(d.Setup.Field.Tile > 0) {
		return nil
	}
	return []float64{math.Round(x/d.Setup.Field.Tile) * d.Setup.Field.Tile}
}

// SnapTurn brings a place about another to the nearest 15 degrees, where it is within 3 of them.
func SnapTurn(about, to geom.Vec) geom.Vec {
	angle, far := math.Atan2(to.Y-about.Y, to.X-about.X), math.Hypot(to.X-about.X, to.Y-about.Y)
	near := math.Round(angle/(15*deg)) * 15 * deg
	if math.Abs(near-angle) > 3*deg {
		return to
	}
	sin, cos := math.Sincos(near)
	return geom.Vec{X: about.X + far*cos, Y: about.Y + far*sin}
}
