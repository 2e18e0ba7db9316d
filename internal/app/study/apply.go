package study

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting"
	"chalkfield/scripting/literal"
	"chalkfield/sim/robot"
)

// Inputs are what axes change: the robot under test, its routine, the field and the parameters, with the text of the
// files.
type Inputs struct {
	Robot       *robot.Robot
	Routine     *scripting.Program
	Field       *fields.Field
	Params      map[string]float64
	RobotSource Source
	FieldSource Source
}

// Source is a file's name, as errors give it, and its text.
type Source struct {
	Name string
	Text []byte
}

// Apply gives the inputs with each axis at one of its values. The base is left as it is. A value that the file's reader
// refuses is an error that names axis, value and what the reader says.
func Apply(base Inputs, axes []Axis, at []int) (Inputs, error) {
	in := base
	in.Params = maps.Clone(base.Params)
	if in.Params == nil {
		in.Params = map[string]float64{}
	}
	for k := range axes {
		if err := in.text(&axes[k], at[k]); err != nil {
			return in, fmt.Errorf("%s = %s: %w", axes[k].Name, axes[k].Labels[at[k]], err)
		}
	}
	for k := range axes {
		if err := in.place(&axes[k], at[k]); err != nil {
			return in, fmt.Errorf("%s = %s: %w", axes[k].Name, axes[k].Labels[at[k]], err)
		}
	}
	return in, nil
}

// text applies what changes a parameter or a file's text, and reads the file anew.
func (in *Inputs) text(a *Axis, i int) (err error) {
	switch a.Target {
	case Param:
		in.Params[a.Path] = a.Values[i]
	case Number:
		in.Routine, err = rewritten(in.Routine, a, i)
	case Robot:
		in.Robot, err = reread(&in.RobotSource, a, i, robot.Parse)
	case Field:
		in.Field, err = reread(&in.FieldSource, a, i, fields.Parse)
	}
	return err
}

// rewritten is a routine with another number at the axis's place.
func rewritten(routine *scripting.Program, a *Axis, i int) (*scripting.Program, error) {
	if routine == nil || routine.Foreign() {
		return nil, errors.New("a program has no numbers that could be varied: give it a param()")
	}
	line, nth, err := a.stands()
	if err != nil {
		return nil, err
	}
	text := routine.Texts[routine.Name]
	number, err := literal.Nth(text, line, nth)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", routine.Name, err)
	}
	with, err := number.Typed(a.Labels[i])
	if err != nil {
		return nil, fmt.Errorf("%s:%d: %w", routine.Name, line, err)
	}
	return routine.WithText("", text[:number.From]+with.Text+text[number.To:])
}

// reread sets the axis's key in a file's text and reads it. Where the reader refuses it, the error names a key near by
// that it takes.
func reread[T any](s *Source, a *Axis, i int, parse func(string, []byte) (T, error)) (T, error) {
	try := func(path string) ([]byte, T, error) {
		text, err := tomlfile.Edit(s.Text, path, a.toml(i))
		if err != nil {
			var none T
			return nil, none, err
		}
		read, err := parse(s.Name, text)
		return text, read, err
	}
	text, read, err := try(a.Path)
	if err == nil {
		s.Text = text
		return read, nil
	}
	for _, near := range tomlfile.Alternatives(s.Text, a.Path) {
		if _, _, refused := try(near); refused == nil {
			first, _, _ := strings.Cut(err.Error(), "\n")
			return read, fmt.Errorf("%s; or vary %s:%s", first, a.Target, near)
		}
	}
	return read, err
}

// place applies what shifts a goal or a piece.
func (in *Inputs) place(a *Axis, i int) error {
	if a.Target != Goal && a.Target != Piece {
		return nil
	}
	name, coordinate := a.placed()
	shift, err := a.offset(i)
	if err != nil {
		return err
	}
	changed := *in.Field
	changed.Goals, changed.Pieces = slices.Clone(in.Field.Goals), slices.Clone(in.Field.Pieces)
	pose, err := find(&changed, a.Target, name)
	if err != nil {
		return err
	}
	switch coordinate {
	case "x":
		pose.X += shift
	case "y":
		pose.Y += shift
	case "heading":
		pose.Heading += shift
	}
	if !changed.Floor.Contains(pose.At()) {
		return fmt.Errorf("puts %s outside the floor", name)
	}
	in.Field = &changed
	return nil
}

// find is the pose of a named goal or piece.
func find(f *fields.Field, target Target, name string) (*geom.Pose, error) {
	var known []string
	if target == Goal {
		for i := range f.Goals {
			if f.Goals[i].Name == name {
				return &f.Goals[i].At, nil
			}
			known = append(known, f.Goals[i].Name)
		}
	} else {
		for i := range f.Pieces {
			if f.Pieces[i].Name == name {
				return &f.Pieces[i].At, nil
			}
			known = append(known, f.Pieces[i].Name)
		}
	}
	return nil, fmt.Errorf("the field has no %s %q: %s", target, name, wording.Instead(name, known))
}
