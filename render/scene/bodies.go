package scene

import (
	"math"
	"strconv"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"

	"gonum.org/v1/gonum/spatial/r2"
)

// body is how a piece or a goal is drawn, and where it starts.
type body struct {
	name   string
	goal   bool
	fixed  bool
	side   int
	shape  geom.Polygon // own frame, m; nil for a disc
	radius float64      // m: of the disc, or to the farthest corner
	ring   bool         // marked with its outline again, smaller
	within geom.Polygon // that, when it has corners
	lines  [][]geom.Vec // thin lines of its mark, own frame
	room   int          // goal: pieces it takes
	fill   Colour
	line   Colour
	start  record.BodySample
}

// lostRadius is the size at which a body is drawn whose kind the field does not have, m.
const lostRadius = 0.05

// newBodies lists the record's bodies; without a record, the field's pieces and goals.
func newBodies(b *Builder) []body {
	f, header := b.in.Field, b.index.Record.Header.Bodies
	if len(header) == 0 {
		for i := range f.Pieces {
			header = append(header, record.Body{Kind: f.PieceKinds[f.Pieces[i].Kind].Name, Name: f.Pieces[i].Name,
				Side: f.Pieces[i].Side})
		}
		for i := range f.Goals {
			header = append(header, record.Body{Kind: f.GoalKinds[f.Goals[i].Kind].Name, Goal: true, Name: f.Goals[i].Name,
				Side: f.Goals[i].Side})
		}
	}
	bodies := make([]body, len(header))
	for id, h := range header {
		bodies[id] = b.newBody(h)
		bodies[id].start = laidOut(f, id)
	}
	return bodies
}

// laidOut is where the field puts a body: pieces first, then goals.
func laidOut(f *fields.Field, id int) record.BodySample {
	state := record.BodySample{ID: id}
	pieces := len(f.Pieces)
	if load := f.LoadOf(id); load >= 0 {
		state.In = record.WithPerson(load)
	}
	switch {
	case id < pieces:
		piece := f.Pieces[id]
		state.Pose = record.FromGeom(piece.At)
		if piece.Goal >= 0 {
			state.In = record.InGoal(pieces + piece.Goal)
		}
	case id < pieces+len(f.Goals):
		state.Pose = record.FromGeom(f.Goals[id-pieces].At)
	}
	return state
}

func (b *Builder) newBody(h record.Body) body {
	out := body{name: Shorten(h.Name, longestName), goal: h.Goal, side: h.Side, radius: lostRadius, fill: SlateTop,
		line: Dust}
	if h.Goal {
		for _, kind := range b.in.Field.GoalKinds {
			if kind.Name == h.Kind {
				out.fixed, out.shape, out.room = kind.Fixed, kind.Shape, kind.Room
				out.radius = reach(kind.Shape)
				out.tint(ParseColour(kind.Colour, Dust), 0.75)
				out.marked(kind.Mark)
				if kind.Fixed && !kind.Around {
					out.lines = append(out.lines, facing(kind.Shape))
				}
			}
		}
		if h.Side >= 0 {
			out.line = b.side(h.Side).colour
		}
		return out
	}
	for _, kind := range b.in.Field.PieceKinds {
		if kind.Name == h.Kind {
			out.radius = kind.Radius
			if kind.Corners >= 3 {
				out.shape = kind.Outline()
			}
			out.tint(ParseColour(kind.Colour, Dust), 0.55)
			out.marked(kind.Mark)
		}
	}
	if h.Side >= 0 {
		out.line = b.side(h.Side).colour
	}
	return out
}

// tint gives a body its kind's colour, darkened by a share for the inside so that lines on it stand out.
func (o *body) tint(c Colour, dark float64) {
	o.fill, o.line = Mix(c, SlateTop, dark), Legible(c, SlateTop, ShapeContrast)
}

// marked gives a body its kind's mark.
func (o *body) marked(mark fields.Drawing) {
	o.lines = strokes(mark, o.shape, o.radius)
	o.ring = mark == fields.Ring
	if o.ring {
		o.within = scaled(o.shape, 0.5)
	}
}

// facing is the sign of where a fixed goal is served: an angle before its face.
func facing(shape geom.Polygon) []geom.Vec {
	const before, deep, half = 0.012, 0.028, 0.045 // m
	_, high := shape.Bounds()
	return []geom.Vec{{X: high.X + before, Y: -half}, {X: high.X + before + deep}, {X: high.X + before, Y: half}}
}

// reach is the distance from a body's origin to its farthest corner.
func reach(shape geom.Polygon) float64 {
	var far float64
	for _, v := range shape {
		far = math.Max(far, math.Hypot(v.X, v.Y))
	}
	return far
}

// state is a body's state at the sample shown; before the record tells it, where the field put it.
func (b *Builder) state(id int) record.BodySample {
	if state, known := b.index.Body(id, max(b.sample, 0)); known {
		return state
	}
	return b.bodies[id].start
}

// drawBodies draws the goals with what is in them, the pieces on the floor, and what waits with people. Pieces that a
// robot holds are drawn with it.
func (b *Builder) drawBodies() {
	b.counts = append(b.counts[:0], make([]int, len(b.bodies))...)
	b.wait = append(b.wait[:0], make([]int, len(b.loads))...)
	for i := range b.robots {
		b.robots[i].held = b.robots[i].held[:0]
	}
	for id := range b.bodies {
		if b.bodies[id].goal {
			continue
		}
		state := b.state(id)
		goal, robot, person := state.In.Goal(), state.In.Robot(), state.In.Person()
		switch {
		case person >= 0 && person < len(b.wait):
			b.wait[person]++
		case goal >= 0 && goal < len(b.counts):
			b.counts[goal]++
		case robot >= 0 && robot < len(b.robots):
			b.robots[robot].held = append(b.robots[robot].held, id)
		case state.In == record.OnFloor:
			b.drawPiece(b.layer(Pieces), &b.bodies[id], state.Pose.Geom())
		}
	}
	for id := range b.bodies {
		if b.bodies[id].goal {
			b.drawGoal(&b.bodies[id], b.state(id).Pose.Geom(), b.counts[id])
		}
	}
	for i := range b.loads {
		b.drawLoad(&b.loads[i], b.loads[i].at, b.wait[i])
	}
}

// drawPiece draws a piece as its outline with its kind's mark.
func (b *Builder) drawPiece(layer *Layer, piece *body, at geom.Pose) {
	if !plausible(at.At()) {
		return
	}
	b.drawShape(layer, piece, at, Pen{Width: 1.5, Colour: piece.line})
	own := b.side(piece.side)
	if own.mark != NoShape {
		layer.add(Item{Kind: Mark, Shape: own.mark, At: at.At(), Radius: Size{Metres: piece.radius * 0.4}, Fill: own.colour})
	}
	layer.label(Label{Words: piece.name, At: at.At(), Clear: Size{Metres: piece.radius}, Size: 11, Colour: Dust,
		Rank: RankPiece, MinScale: 380})
}

// drawShape draws a body's shape and on it the mark of its kind.
func (b *Builder) drawShape(layer *Layer, o *body, at geom.Pose, pen Pen) {
	thin := Pen{Width: 1, Colour: o.line}
	round := len(o.shape) < 3
	if round {
		layer.add(Item{Kind: Disc, At: at.At(), Radius: Size{Metres: o.radius}, Fill: o.fill, Pen: pen, Avoid: true})
	} else {
		layer.add(Item{Kind: Area, Points: b.placed(at, o.shape...), Fill: o.fill, Pen: pen, Avoid: true})
	}
	switch {
	case o.ring && round:
		layer.add(Item{Kind: Disc, At: at.At(), Radius: Size{Metres: o.radius / 2}, Pen: thin})
	case o.ring:
		layer.add(Item{Kind: Area, Points: b.placed(at, o.within...), Pen: thin})
	}
	for _, line := range o.lines {
		layer.add(Item{Kind: Line, Points: b.placed(at, line...), Pen: thin})
	}
}

// drawGoal draws a goal with the count of pieces in it; a fixed goal has the heavier outline.
func (b *Builder) drawGoal(goal *body, at geom.Pose, count int) {
	if !plausible(at.At()) {
		return
	}
	layer := b.layer(Goals)
	width := 2.0
	if goal.fixed {
		width = 3.5
	}
	b.drawShape(layer, goal, at, Pen{Width: width, Colour: goal.line})
	own := b.side(goal.side)
	words := strconv.Itoa(count)
	if goal.room > 0 {
		words = countOf(count, goal.room)
	}
	middle := at.At()
	if len(goal.shape) >= 3 {
		middle = at.ToWorld(goal.shape.Centroid())
	}
	layer.label(Label{Words: words, At: middle, Centred: true, Clear: Size{Metres: goal.radius}, Size: 13, Bold: true,
		Colour: Chalk,
		Mark:   own.mark, Tint: own.text, Rank: RankCount})
	layer.label(Label{Words: goal.name, At: middle, Clear: Size{Metres: goal.radius}, Size: 11, Colour: Dust,
		Rank: RankGoal, MinScale: 90})
}

// countOf is "2/5" without an allocation for the counts that games have.
func countOf(count, room int) string {
	if count >= 0 && count < len(shortCounts) && room < len(shortCounts) {
		return shortCounts[room][count]
	}
	return strconv.Itoa(count) + "/" + strconv.Itoa(room)
}

var shortCounts = func() (table [10][10]string) {
	for room := range table {
		for count := range table[room] {
			table[room][count] = strconv.Itoa(count) + "/" + strconv.Itoa(room)
		}
	}
	return table
}()

// scaled is a polygon about its frame's origin, grown by a factor.
func scaled(p geom.Polygon, factor float64) geom.Polygon {
	out := make(geom.Polygon, len(p))
	for i, v := range p {
		out[i] = r2.Scale(factor, v)
	}
	return out
}
