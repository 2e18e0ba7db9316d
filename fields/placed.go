package fields

import (
	"fmt"
	"slices"

	"chalkfield/internal/base/geom"
)

// numbers counts things that the file does not name, for "core 7" and "ochre brick 2".
type numbers map[string]int

func (n numbers) next(kind string, owner string) string {
	if owner != "" {
		kind = owner + " " + kind
	}
	n[kind]++
	return fmt.Sprintf("%s %d", kind, n[kind])
}

func (b *builder) sideName(side int) string {
	if side < 0 {
		return ""
	}
	return b.field.Sides[side].Name
}

// called is what a thing is called: by a name of its own, which is checked, or by its number among those of a kind and
// a side; without a kind it stays as it is.
func (b *builder) called(path, own, kind string, side int, count numbers) string {
	switch {
	case b.at.Has(path + ".name"):
		b.name(path+".name", own)
	case kind != "":
		return count.next(kind, b.sideName(side))
	}
	return own
}

func (b *builder) goals() {
	b.goalCopies = map[int]int{}
	listed := b.field.Goals
	b.field.Goals = nil
	count := numbers{}
	for i, goal := range listed {
		path := fmt.Sprintf("goals[%d]", i)
		goal.At = settled(goal.At)
		if !b.addGoal(path, goal, count) {
			return
		}
		if !b.copies(path, goal.Copy) {
			continue
		}
		goal.At, goal.Side = b.copyPose(goal.At), b.field.OtherSide(goal.Side)
		if goal.Name != "" {
			goal.Name = b.copyName(goal.Name)
		}
		b.goalCopies[len(b.field.Goals)-1] = len(b.field.Goals)
		if !b.addGoal(path, goal, count) {
			return
		}
	}
	goals := b.field.Goals
	b.unique("goal", len(goals), func(i int) (string, string) { return b.goalPaths[i], goals[i].Name })
}

func (b *builder) addGoal(path string, g Goal, count numbers) bool {
	if !b.roomForBody(path) {
		return false
	}
	kind := "" // one that is not known has been told of
	if g.Kind >= 0 {
		kind = b.field.GoalKinds[g.Kind].Name
	}
	g.Name = b.called(path, g.Name, kind, g.Side, count)
	b.field.Goals = append(b.field.Goals, g)
	b.goalPaths = append(b.goalPaths, path)
	return true
}

// roomForBody notes an error when the field is full.
func (b *builder) roomForBody(path string) bool {
	if len(b.field.Goals)+len(b.field.Pieces) < maxBodies {
		return true
	}
	b.at.Errorf(path, "with this there are more than %d pieces and goals: write fewer", maxBodies)
	return false
}

func (b *builder) pieces() {
	b.at.Refer("pieces", &b.field.Pieces, "goal", namesOf(b.field.Goals, func(g Goal) string { return g.Name }))
	listed := b.field.Pieces
	b.field.Pieces = nil
	count := numbers{}
	for i, piece := range listed {
		path := fmt.Sprintf("pieces[%d]", i)
		b.holder(path)
		copied, spots := b.copies(path, piece.Copy), b.spots(path, piece)
		piece.Grid, piece.Step = nil, nil // each of a grid is a piece like others
		for _, at := range spots {
			piece.At = at
			if !b.addPiece(path, piece, count) {
				return
			}
			if copied && !b.addPiece(path, b.copyPiece(path, piece), count) {
				return
			}
		}
	}
	b.filling()
}

// pieceNames checks that each piece has its own, also those with people.
func (b *builder) pieceNames() {
	pieces := b.field.Pieces
	b.unique("piece", len(pieces), func(i int) (string, string) { return b.piecePaths[i], pieces[i].Name })
}

func (b *builder) addPiece(path string, p Piece, count numbers) bool {
	if !b.roomForBody(path) {
		return false
	}
	kind := ""
	if p.Kind >= 0 {
		kind = b.field.PieceKinds[p.Kind].Name
	}
	p.Name = b.called(path, p.Name, kind, p.Side, count)
	b.field.Pieces = append(b.field.Pieces, p)
	b.piecePaths = append(b.piecePaths, path)
	return true
}

func (b *builder) copyPiece(path string, p Piece) Piece {
	p.At, p.Side, p.Robot = b.copyPose(p.At), b.field.OtherSide(p.Side), b.field.OtherSide(p.Robot)
	if p.Name != "" {
		p.Name = b.copyName(p.Name)
	}
	if p.Goal < 0 {
		return p
	}
	twin, ok := b.goalCopies[p.Goal]
	if !ok {
		b.at.Errorf(path+".copy", "the goal %q has no copy for this piece's copy to start in: write copy = true there too",
			b.field.Goals[p.Goal].Name)
		return p
	}
	p.Goal, p.At = twin, b.field.Goals[twin].At
	return p
}

// holder notes an error at what a piece that starts in a goal has no use for.
func (b *builder) holder(path string) {
	if !b.at.Has(path + ".in") {
		return
	}
	for _, key := range []string{"at", "heading", "grid", "preload"} {
		if b.at.Has(path + "." + key) {
			b.at.KeyErrorf(path+"."+key, "a piece that starts in a goal is there: leave %s out", key)
		}
	}
}

// spots are the places of a piece or of a grid of them: row by row, from the place given.
func (b *builder) spots(path string, p Piece) []geom.Pose {
	switch {
	case b.at.Has(path + ".in"):
		if p.Goal < 0 {
			return nil
		}
		return []geom.Pose{b.field.Goals[p.Goal].At}
	case !b.at.Has(path + ".at"):
		b.at.Errorf(path+".at", `the key "at" is missing: write, for example, at = ["600 mm", "450 mm"]`)
		return nil
	case p.Grid == nil && p.Step == nil:
		return []geom.Pose{settled(p.At)}
	case p.Grid == nil || p.Step == nil:
		b.at.Errorf(path, `a grid has a count and a step in x and y: write grid = [3, 1] and step = ["160 mm", "0 mm"]`)
		return nil
	case b.at.Has(path + ".name"):
		b.at.KeyErrorf(path+".name", "the pieces of a grid are numbered: leave the name out")
		return nil
	}
	var out []geom.Pose
	for row := range p.Grid[1] {
		for column := range p.Grid[0] {
			if len(out) > maxBodies {
				return out // addPiece says that these are too many
			}
			at := geom.Pose{X: p.At.X + float64(float64(column)*p.Step.X), Y: p.At.Y + float64(float64(row)*p.Step.Y),
				Heading: p.At.Heading}
			out = append(out, settled(at))
		}
	}
	return out
}

// settled is a pose as the file gives it, with its place rounded and its heading within half a turn.
func settled(p geom.Pose) geom.Pose {
	at := snapped(p.At())
	return geom.Pose{X: at.X, Y: at.Y, Heading: geom.WrapAngle(p.Heading)}
}

// filling checks the pieces that start in goals against what these take and hold.
func (b *builder) filling() {
	inside := make([]int, len(b.field.Goals))
	for i, p := range b.field.Pieces {
		if p.Goal < 0 || p.Kind < 0 || b.field.Goals[p.Goal].Kind < 0 {
			continue
		}
		goal := b.field.Goals[p.Goal]
		kind := b.field.GoalKinds[goal.Kind]
		inside[p.Goal]++
		if !slices.Contains(kind.Takes, p.Kind) {
			b.at.Errorf(b.piecePaths[i]+".in", "%q takes no %s: name another goal, or add it to the takes of %q", goal.Name,
				b.field.PieceKinds[p.Kind].Name, kind.Name)
		} else if inside[p.Goal] == kind.Room+1 {
			b.at.Errorf(b.piecePaths[i]+".in", "%q has room for %d: name another goal", goal.Name, kind.Room)
		}
	}
}
