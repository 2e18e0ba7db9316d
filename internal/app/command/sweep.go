package command

import (
	"context"
	"errors"
	"io"
	"os"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/render/picture"
	"chalkfield/sim/robot"
)

type sweepCommand struct {
	inputs
	X     string `help:"What to vary, and its values." placeholder:"AXIS"`
	Y     string `help:"A second quantity to vary with it." placeholder:"AXIS"`
	Count int    `help:"How many rehearsals at each point; with --nominal one is enough." short:"n" default:"30" placeholder:"N"`
	Map   string `help:"Draw the map (.png or .svg)." placeholder:"FILE"`
	CSV   string `help:"Write the points as a table for spreadsheets." name:"csv" placeholder:"FILE"`
	studyFlags
}

// Help is shown under the flags.
func (sweepCommand) Help() string {
	return `Rehearses at every point of a grid of one or two quantities: a parameter or a number of the routine, any key of
the robot or field file, or how far a goal or piece lies from where the field file puts it. Every point meets the same
seeds.

An axis is NAME=FROM..TO/STEPS or NAME=VALUE,VALUE,... with NAME one of
  param:NAME           a param() of the routine
  number:LINE          a number of the routine's file: number:31 the first of line 31, number:31.2 its second
  robot:KEY field:KEY  a key of the file as error messages name it: chassis.mass, wheels[*].radius (of all),
                       parts.lift.lift.gear (of the part named lift)
  goal:NAME.x          offset of a goal in x, y or heading;  piece:NAME.x the same

Examples:
  chalkfield sweep mine.lua --x "param:turn_gain=0.05..0.2/7"
  chalkfield sweep mine.lua --x "number:31=500..700/5" --for "-result(took)"
  chalkfield sweep mine.lua --x "robot:chassis.mass=5 kg..8 kg/7" --y "field:surface.grip=0.7..1.1/5" --map map.png
  chalkfield sweep mine.lua --nominal --x "goal:middle sled.x=-40 mm..40 mm/9" --y "goal:middle sled.y=-40 mm..40 mm/9" --csv reach.csv`
}

// Run makes the rehearsals at every point and tells what they show.
func (c sweepCommand) Run(ctx context.Context, s streams) error {
	o, err := c.options(c.Count, c.Seed)
	if err != nil {
		return err
	}
	if err := foldersExist(c.Map, c.CSV); err != nil {
		return err
	}
	axes, err := c.axes()
	if err != nil {
		return err
	}
	if err := c.refuseOverwriting(c.Out, c.Report, c.Map, c.CSV); err != nil {
		return err
	}
	if err := tableFile.mayBe(c.CSV); err != nil {
		return err
	}
	candidate, err := c.candidate()
	if err != nil {
		return err
	}
	sources, err := c.sources(candidate)
	if err != nil {
		return err
	}
	bar := progress(s.err, study.Points(axes))
	bar.doing = "making the points ready"
	o.Ready = bar.add
	one, err := study.Sweep(ctx, careful, candidate, sources, axes, c.Nominal, o)
	bar.clear()
	if err != nil {
		return err
	}
	file, running := c.run(ctx, s, one)
	if file == nil {
		return running
	}
	if file.Have() > 0 {
		if err := c.draw(file); err != nil {
			return err
		}
	}
	return c.finish(s, file, candidate.Setup.Field, running)
}

func (c sweepCommand) axes() ([]study.Axis, error) {
	if c.X == "" {
		return nil, errors.New(`a sweep needs an axis: --x "param:turn_gain=0.05..0.2/7"`)
	}
	if c.Map != "" {
		if err := picture.MayBe(c.Map); err != nil {
			return nil, err
		}
	}
	var axes []study.Axis
	for _, spec := range []string{c.X, c.Y} {
		if spec == "" {
			continue
		}
		a, err := study.ParseAxis(spec)
		if err != nil {
			return nil, err
		}
		axes = append(axes, a)
	}
	return axes, nil
}

// sources reads the text of robot and field file, where axes may change a key.
func (in inputs) sources(c study.Candidate) (study.Inputs, error) {
	first := c.Setup.Entrants[0]
	out := study.Inputs{Robot: first.Robot, Routine: first.Routine, Field: c.Setup.Field, Params: c.Setup.Params}
	var err error
	homeField, homeRobot := assets.RoutineHome(in.Routine)
	out.RobotSource.Name = beside(in.own(), "robot.toml", in.Robot, homeRobot)
	if out.RobotSource.Text, err = textOf(out.RobotSource.Name, robot.EmbeddedSource); err != nil {
		return out, err
	}
	out.FieldSource.Name = beside(in.own(), "field.toml", in.Field, homeField)
	out.FieldSource.Text, err = textOf(out.FieldSource.Name, fields.EmbeddedSource)
	return out, err
}

// textOf is the text of a file, or of the embedded one of that name.
func textOf(name string, embedded func(string) ([]byte, error)) ([]byte, error) {
	if _, err := os.Stat(name); err == nil {
		return tomlfile.ReadFile(name)
	}
	return embedded(name)
}

// draw writes map and table.
func (c sweepCommand) draw(file *results.File) error {
	if c.Map == "" && c.CSV == "" {
		return nil
	}
	sweep, err := analysis.OfSweep(file)
	if err != nil {
		return err
	}
	if c.CSV != "" {
		if err := atomicfile.Write(c.CSV, func(w io.Writer) error { return report.CSV(w, sweep) }); err != nil {
			return err
		}
	}
	if c.Map == "" {
		return nil
	}
	return picture.WriteFile(c.Map, picture.Sweep(sweep, picture.SweepWidth), pictureWidth)
}
