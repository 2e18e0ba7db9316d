package fields

import (
	"fmt"
	"slices"

	"chalkfield/internal/geom"
	"chalkfield/internal/units"
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

func (b *builder) goals() {
	b.goalCopies = map[int]int{}
	kinds := namesOf(b.field.GoalKinds, func(k GoalKind) string { return k.Name })
	count := numbers{}
	for i, g := range b.file.Goals {
		path := fmt.Sprintf("goals[%d]", i)
		kind := b.at.Index(path+".kind", "goal kind", g.Kind, kinds)
		goal := Goal{Kind: kind, Name: g.Name, At: b.pose(g.At, g.Heading), Side: b.side(path+".side", g.Side)}
		if !b.addGoal(path, goal, count) {
			return
		}
		if !b.copies(path, g.Copy) {
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
	if b.at.Has(path + ".name") {
		b.name(path+".name", g.Name)
	} else if g.Kind >= 0 {
		g.Name = count.next(b.field.GoalKinds[g.Kind].Name, b.sideName(g.Side))
	}
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
	kinds := namesOf(b.field.PieceKinds, func(k PieceKind) string { return k.Name })
	count := numbers{}
	for i, p := range b.file.Pieces {
		path := fmt.Sprintf("pieces[%d]", i)
		piece := Piece{Kind: b.at.Index(path+".kind", "piece kind", p.Kind, kinds), Name: p.Name, Side: b.side(path+".side", p.Side)}
		piece.Goal, piece.Robot = b.holder(path, p)
		copied := b.copies(path, p.Copy)
		for _, at := range b.spots(path, p, piece.Goal) {
			piece.At = at
			if !b.addPiece(path, piece, count) {
				return
			}
			if copied && !b.addPiece(path, b.copyPiece(path, piece), count) {
				return
			}
		}
	}
	pieces := b.field.Pieces
	b.unique("piece", len(pieces), func(i int) (string, string) { return b.piecePaths[i], pieces[i].Name })
	b.filling()
}

func (b *builder) addPiece(path string, p Piece, count numbers) bool {
	if !b.roomForBody(path) {
		return false
	}
	if b.at.Has(path + ".name") {
		b.name(path+".name", p.Name)
	} else if p.Kind >= 0 {
		p.Name = count.next(b.field.PieceKinds[p.Kind].Name, b.sideName(p.Side))
	}
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
		b.at.Errorf(path+".copy", "the goal %q has no copy for this piece's copy to start in: write copy = true there too", b.field.Goals[p.Goal].Name)
		return p
	}
	p.Goal, p.At = twin, b.field.Goals[twin].At
	return p
}

// holder is where a piece starts if not on the floor: in a goal, or in a side's first robot.
func (b *builder) holder(path string, p pieceFile) (goal, robot int) {
	goal, robot = -1, -1
	if b.at.Has(path + ".in") {
		goal = b.at.Index(path+".in", "goal", p.In, namesOf(b.field.Goals, func(g Goal) string { return g.Name }))
		for _, key := range []string{"at", "heading", "grid", "preload"} {
			if b.at.Has(path + "." + key) {
				b.at.KeyErrorf(path+"."+key, "a piece that starts in a goal is there: leave %s out", key)
			}
		}
	}
	if b.at.Has(path + ".preload") {
		robot = b.side(path+".preload", p.Preload)
	}
	return goal, robot
}

// spots are the places of a piece or of a grid of them: row by row, from the place given.
func (b *builder) spots(path string, p pieceFile, goal int) []geom.Pose {
	switch {
	case b.at.Has(path + ".in"):
		if goal < 0 {
			return nil
		}
		return []geom.Pose{b.field.Goals[goal].At}
	case p.At == nil:
		b.at.Errorf(path+".at", `the key "at" is missing: write, for example, at = ["600 mm", "450 mm"]`)
		return nil
	case p.Grid == nil && p.Step == nil:
		return []geom.Pose{b.pose(*p.At, p.Heading)}
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
			at := [2]units.Length{p.At[0] + units.Length(units.Length(column)*p.Step[0]), p.At[1] + units.Length(units.Length(row)*p.Step[1])}
			out = append(out, b.pose(at, p.Heading))
		}
	}
	return out
}

func (b *builder) pose(at [2]units.Length, heading units.Angle) geom.Pose {
	v := point(at)
	return geom.Pose{X: v.X, Y: v.Y, Heading: geom.WrapAngle(float64(heading))}
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
			b.at.Errorf(b.piecePaths[i]+".in", "%q takes no %s: name another goal, or add it to the takes of %q", goal.Name, b.field.PieceKinds[p.Kind].Name, kind.Name)
		} else if inside[p.Goal] == kind.Room+1 {
			b.at.Errorf(b.piecePaths[i]+".in", "%q has room for %d: name another goal", goal.Name, kind.Room)
		}
	}
}
