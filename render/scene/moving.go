package scene

import (
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// Moving is a thing of a scene that has a place of its own, drawn about that place: its frame's origin is At.
type Moving struct {
	Overlay Overlay
	At      geom.Pose
	Items   []Item  // turn with it
	Labels  []Label // stay upright
}

// Moving gives the things of the scene that was built last, in the same order at every moment, drawn by what draws
// them in the scene. One that is not to be seen has nothing in it. The scene is used up; the things are valid until the
// next Build.
func (b *Builder) Moving() []Moving {
	var all []Moving
	for id := range b.bodies {
		body, state := &b.bodies[id], b.state(id)
		if body.goal {
			all = append(all, b.drawnApart(Goals, state.Pose.Geom(), func() {
				b.drawGoal(body, geom.Pose{}, b.counts[id])
			}))
			continue
		}
		all = append(all, b.drawnApart(Pieces, state.Pose.Geom(), func() {
			if state.In == record.OnFloor {
				b.drawPiece(b.layer(Pieces), body, geom.Pose{})
			}
		}))
	}
	for i := range b.loads {
		l := &b.loads[i]
		all = append(all, b.drawnApart(Goals, l.at, func() { b.drawLoad(l, geom.Pose{}, b.wait[i]) }))
	}
	all = append(all, Moving{Overlay: Plan, Items: b.layer(Plan).Items})
	for i := range b.robots {
		robot := &b.robots[i]
		state, known := b.index.Robot(i, b.sample)
		if !known {
			standing := b.drawnApart(Robots, robot.start, func() { b.drawRobot(robot, geom.Pose{}) })
			all = append(all, standing, Moving{Overlay: Belief})
			continue
		}
		all = append(all, b.drawnApart(Robots, state.True.Geom(), func() {
			b.drawRobot(robot, geom.Pose{})
			b.drawParts(robot, geom.Pose{}, state.Parts)
		}), b.drawnApart(Belief, state.Belief.Geom(), func() { b.drawOutline(Belief, robot, geom.Pose{}, Dashed) }))
	}
	return all
}

// drawnApart is what a drawing puts into a layer that was emptied before.
func (b *Builder) drawnApart(o Overlay, at geom.Pose, draw func()) Moving {
	layer := b.layer(o)
	*layer = Layer{Overlay: o}
	if plausible(at.At()) {
		draw()
	}
	return Moving{Overlay: o, At: at, Items: layer.Items, Labels: layer.Labels}
}

// Way is a robot's way over the whole run.
type Way struct {
	Item
	T []float64 // s: when the robot came to each point
}

// Ways are the ways of the robots of the scene that was built last, that of the robot spoken of in shades.
func (b *Builder) Ways() []Way {
	var all []Way
	for i := range b.robots {
		path := &b.paths[i]
		if len(path.at) >= 2 {
			way := Way{b.trail(i, path.at, path.steps), path.t}
			way.Shades = slices.Clone(way.Shades)
			all = append(all, way)
		}
	}
	return all
}
