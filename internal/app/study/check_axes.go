package study

import (
	"fmt"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/tomlfile"
)

// checkAxes refuses axes that would vary one quantity twice, one that is given a value beside, or one that has no
// effect. sides are the sides that have a robot.
func checkAxes(base Inputs, axes []Axis, sides []int) error {
	for i := range axes {
		a := &axes[i]
		if value, given := base.Params[a.Path]; a.Target == Param && given {
			return fmt.Errorf("%s is varied and has the fixed value %g by --param too: leave one out", a.Name, value)
		}
		for j := range axes[:i] {
			if base.same(a, &axes[j]) {
				return fmt.Errorf("%s and %s are the same quantity: the second axis must be another one", axes[j].Name, a.Name)
			}
		}
		if a.Target == Piece {
			if err := lies(base.Field, a, sides); err != nil {
				return err
			}
		}
	}
	return nil
}

func (in *Inputs) same(a, b *Axis) bool {
	switch {
	case a.Target != b.Target:
		return false
	case a.Target == Number:
		line, nth, _ := a.stands() // ParseAxis has read them
		other, n, _ := b.stands()
		return line == other && nth == n
	case a.Target == Robot:
		return tomlfile.SameKey(in.RobotSource.Text, a.Path, b.Path)
	case a.Target == Field:
		return tomlfile.SameKey(in.FieldSource.Text, a.Path, b.Path)
	}
	return a.Path == b.Path
}

// lies refuses to move a piece whose place the field file does not decide.
func lies(f *fields.Field, a *Axis, sides []int) error {
	name, _ := a.placed()
	for _, p := range f.Pieces {
		switch {
		case p.Name != name:
		case p.Robot >= 0 && slices.Contains(sides, p.Robot):
			return fmt.Errorf("%s: %s is loaded in the robot of %s before the start: to move it has no effect", a.Name, name,
				f.Sides[p.Robot].Name)
		case p.Goal >= 0:
			return fmt.Errorf("%s: %s starts in %s: move that, with goal:%s", a.Name, name, f.Goals[p.Goal].Name,
				f.Goals[p.Goal].Name)
		}
	}
	return nil
}
