package study

import (
	"fmt"

	"chalkfield/fields"
	"chalkfield/sim/robot"
)

// grid gives the inputs at any point of some axes. A file is read once for all points that share its text.
type grid struct {
	base   Inputs
	axes   []Axis
	robots map[string]*robot.Robot
	fields map[string]*fields.Field
}

// Points is how many points axes span.
func Points(axes []Axis) int {
	n := 1
	for _, a := range axes {
		n *= len(a.Values)
	}
	return n
}

// newGrid spans a grid over inputs.
func newGrid(base Inputs, axes []Axis) *grid {
	return &grid{base, axes, map[string]*robot.Robot{}, map[string]*fields.Field{}}
}

// At is Apply, of what the point does not share with an earlier one.
func (g *grid) At(at []int) (Inputs, error) {
	in, err := g.some(at, Param, Number)
	if err != nil {
		return in, err
	}
	key := g.key(at, Robot)
	if g.robots[key] == nil {
		changed, err := g.some(at, Robot)
		if err != nil {
			return in, err
		}
		g.robots[key] = changed.Robot
	}
	in.Robot = g.robots[key]
	key = g.key(at, Field, Goal, Piece)
	if g.fields[key] == nil {
		changed, err := g.some(at, Field, Goal, Piece)
		if err != nil {
			return in, err
		}
		g.fields[key] = changed.Field
	}
	in.Field = g.fields[key]
	return in, nil
}

// some applies the axes of some targets only.
func (g *grid) some(at []int, targets ...Target) (Inputs, error) {
	var axes []Axis
	var places []int
	for k, a := range g.axes {
		if a.among(targets) {
			axes, places = append(axes, a), append(places, at[k])
		}
	}
	return Apply(g.base, axes, places)
}

// key is the same for points that the axes of some targets do not tell apart.
func (g *grid) key(at []int, targets ...Target) string {
	key := ""
	for k, a := range g.axes {
		if a.among(targets) {
			key += fmt.Sprintf("%d ", at[k])
		}
	}
	return key
}
