package paint

import (
	"math"
	"sort"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// placer chooses a place for each label: greedily, in order of rank, the candidate near the thing that is free of other
// labels and covers least of what is drawn.
type placer struct {
	cover  occupancy
	wanted []wanted
	groups []group
	placed []placedLabel
	area   Box
	covers []Box // where no label may stand
	off    bool  // no label of another thing stands over a robot
	robots []Box // from which these step back

	corners []geom.Vec   // one plate or line, and the list of lines
	line    [][]geom.Vec // that a painter is given
}

// wanted is a label and where its thing is on the pixels.
type wanted struct {
	label *scene.Label
	words string
	at    geom.Vec
	clear float64
}

// placedLabel is a label with its plate.
type placedLabel struct {
	wanted
	plate  Box
	leader bool // far enough from its thing to need a line to it
}

const (
	padX, padY = 3.5, 1.5 // between the words and the plate's edge, pixels
	markGap    = 4.0
	apart      = 1.5 // between two plates
)

// place arranges the scene's labels off what will be covered.
func (p *placer) place(s *scene.Scene, v View, covered []Box) {
	p.area, p.covers = v.Area.Grown(-2), covered
	p.wanted, p.placed = p.wanted[:0], p.placed[:0]
	p.robots = p.robots[:0]
	for _, robot := range s.Robots {
		at := v.Pixel(robot.At)
		p.robots = append(p.robots, Box{at.X, at.Y, at.X, at.Y}.Grown(robot.Radius*v.Scale))
	}
	p.cover.fill(s, v)
	p.gather(s, v)
	sort.SliceStable(p.wanted, func(i, j int) bool { return p.wanted[i].label.Rank < p.wanted[j].label.Rank })
	for i := range p.wanted {
		p.choose(&p.wanted[i])
	}
}

// gather lists the labels whose thing is in view, and joins the numbers of neighbouring events.
func (p *placer) gather(s *scene.Scene, v View) {
	p.groups = p.groups[:0]
	for i := range s.Layers {
		for k := range s.Layers[i].Labels {
			label := &s.Layers[i].Labels[k]
			at := v.Pixel(label.At)
			if v.Scale < label.MinScale || !(Box{at.X, at.Y, at.X, at.Y}).Within(v.Area) {
				continue
			}
			if label.Number > 0 {
				p.join(label, at, v)
			} else if words := Clean(label.Words); words != "" {
				p.wanted = append(p.wanted, wanted{label: label, words: words, at: at, clear: v.Length(label.Clear)})
			}
		}
	}
	for i := range p.groups {
		g := &p.groups[i]
		p.wanted = append(p.wanted, wanted{label: g.label, words: g.words(), at: g.at, clear: g.clear})
	}
}

// directions to try, best first: right, left, above, below, then the corners.
var directions = [...]geom.Vec{
	{X: 1}, {X: -1}, {Y: -1}, {Y: 1}, {X: 0.75, Y: -0.75}, {X: -0.75, Y: -0.75}, {X: 0.75, Y: 0.75}, {X: -0.75, Y: 0.75},
}

// distances to try beyond the thing's own radius, pixels.
var distances = [...]float64{2, 14, 30, 52}

// nearCover is the most that a label may cover that is only wanted near its thing.
const nearCover = 8

// leaderFrom is the distance from which a label is joined to its thing by a line.
const leaderFrom = 14

// outsideZone is what it costs a zone's name to stand outside the zone, where it could belong to anything. On a zone
// that is narrower than the name but higher than it, the name reaches out at both ends and still leaves the zone to be
// seen.
const outsideZone = 8

// overRobot is what it costs another thing's label to stand over a robot: a place with a line to its thing costs less.
const overRobot = 120

// onRobot reports whether a label would stand over a robot that it does not belong to.
func (p *placer) onRobot(l *scene.Label, plate Box) bool {
	switch l.Rank {
	case scene.RankRobot, scene.RankBelief, scene.RankGrid, scene.RankCount, scene.RankPart:
		return false
	}
	for _, robot := range p.robots {
		if robot.Meets(plate) {
			return true
		}
	}
	return false
}

// choose places one label, or leaves it out when every candidate meets another label or the edge.
func (p *placer) choose(w *wanted) {
	width, height := plateSize(w)
	best, bestCost := placedLabel{wanted: *w}, math.Inf(1)
	try := func(centre geom.Vec, extra float64, leader bool) {
		plate := Box{centre.X - width/2, centre.Y - height/2, centre.X + width/2, centre.Y + height/2}
		if !plate.Within(p.area) || p.taken(plate) {
			return
		}
		cover := p.cover.under(plate)
		if w.label.Near && cover > nearCover {
			return
		}
		cost := extra + float64(cover)
		if p.onRobot(w.label, plate) {
			if p.off {
				return
			}
			cost += overRobot
		}
		if cost < bestCost {
			best.plate, best.leader, bestCost = plate, leader, cost
		}
	}
	if side := w.label.Beside; side != (geom.Vec{}) {
		centre := geom.Vec{X: w.at.X + side.X*(w.clear+width/2), Y: w.at.Y + side.Y*(w.clear+height/2)}
		if side.X == 0 { // at the end of an axis the number gives way along it
			centre.X = inside(centre.X, width, p.area.Left, p.area.Right)
		} else {
			centre.Y = inside(centre.Y, height, p.area.Top, p.area.Bottom)
		}
		try(centre, 0, false)
		p.keep(best, bestCost)
		return
	}
	if w.label.Centred && (w.clear == 0 || w.clear > width/2) { // a plate hides a thing that is smaller
		bonus := 1.0
		if w.label.Rank == scene.RankCount {
			bonus = 100 // a count belongs on its goal, whatever it covers there
		}
		try(w.at, -bonus, false)
	}
	outside := 0.0
	if w.label.Rank == scene.RankZone && w.clear > height {
		outside = outsideZone
		for _, up := range [...]float64{0, 1, -1} {
			try(geom.Vec{X: w.at.X, Y: w.at.Y - up*(w.clear-height/2)}, math.Abs(up)/2, false)
		}
	}
	for i, far := range distances {
		if w.label.Near && far >= leaderFrom {
			break
		}
		for k, way := range directions {
			reach := w.clear + far
			centre := geom.Vec{X: w.at.X + way.X*(reach+width/2), Y: w.at.Y + way.Y*(reach+height/2)}
			// a zone's mark and tint tell whose name it is
			try(centre, outside+float64(i)*9+float64(k)*0.2, far >= leaderFrom && w.label.Rank != scene.RankZone)
		}
	}
	p.keep(best, bestCost)
}

// inside is the middle of a stretch of a length, moved between two ends.
func inside(middle, length, low, high float64) float64 {
	half := length/2 + 1e-6 // for rounding
	return geom.Clamp(middle, low+half, math.Max(low+half, high-half))
}

// keep takes a label's best place, unless there was none.
func (p *placer) keep(best placedLabel, cost float64) {
	if !math.IsInf(cost, 1) {
		p.placed = append(p.placed, best)
	}
}

func (p *placer) taken(plate Box) bool {
	for _, cover := range p.covers {
		if cover.Grown(apart).Meets(plate) {
			return true
		}
	}
	for i := range p.placed {
		if p.placed[i].plate.Grown(apart).Meets(plate) {
			return true
		}
	}
	return false
}

func plateSize(w *wanted) (width, height float64) {
	width = Width(w.words, w.label.Size, w.label.Bold) + 2*padX
	if w.label.Mark != scene.NoShape {
		width += markRadius(w.label)*2 + markGap
	}
	return width, (ascent+descent)*w.label.Size + 2*padY
}

func markRadius(l *scene.Label) float64 { return 0.34 * l.Size }

// paint draws the lines to far labels first, so that none crosses a plate, then plates and words.
func (p *placer) paint(to Painter, d *Drawer) {
	for i := range p.placed {
		if l := &p.placed[i]; l.leader {
			p.corners = append(p.corners[:0], l.at, geom.Vec{X: (l.plate.Left + l.plate.Right) / 2,
				Y: (l.plate.Top + l.plate.Bottom) / 2})
			p.line = append(p.line[:0], p.corners)
			to.Stroke(p.line, false, 1, scene.Dust)
		}
	}
	for i := range p.placed {
		p.paintLabel(to, d, &p.placed[i])
	}
}

func (p *placer) paintLabel(to Painter, d *Drawer, l *placedLabel) {
	plate := l.plate.Corners()
	p.corners = append(p.corners[:0], plate[:]...)
	to.Fill(p.corners, scene.Plate)
	x := l.plate.Left + padX
	if l.label.Mark != scene.NoShape {
		radius := markRadius(l.label)
		d.Mark(to, l.label.Mark, geom.Vec{X: x + radius, Y: (l.plate.Top + l.plate.Bottom) / 2}, radius, l.label.Tint,
			scene.Pen{})
		x += 2*radius + markGap
	}
	to.Text(Text{Words: l.words, At: geom.Vec{X: x, Y: l.plate.Top + padY + ascent*l.label.Size}, Size: l.label.Size,
		Bold: l.label.Bold, Colour: l.label.Colour, On: scene.Plate})
}
