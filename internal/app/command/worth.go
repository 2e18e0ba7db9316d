package command

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/worth"
	"chalkfield/internal/base/geom"
	"chalkfield/render/picture"
)

type worthCommand struct {
	Field   string `arg:"" help:"Field file (.toml), or the name of an embedded field."`
	Robot   string `help:"Robot file (.toml) or embedded robot. Default: robot.toml beside the field, else the one that is embedded for it." placeholder:"FILE"`
	Routine string `help:"Routine whose start the robot has. Default: the field's own start, else that of an embedded routine for it." placeholder:"FILE"`
	Side    string `help:"Side to play for. Default: the first." placeholder:"NAME"`
	Session string `help:"Which session of the field to play. Default: its first." placeholder:"NAME"`
	Picture string `help:"Draw it on the field (.png or .svg)." placeholder:"FILE"`
	JSON    bool   `help:"Print everything as JSON, with the ways and the time from each place to each other." name:"json"`
}

// Help is shown under the flags.
func (worthCommand) Help() string {
	return `What to go for? For each piece, goal and zone: the points that it brings by the game's own scoring, the way from
the start and the time as the robot's own motions drive it round walls and goals, the time of its mechanisms, and the
chance that start, goal, piece and odometry are off by no more than clamp, scorer and intake take. The best points a
second come first; then the cycles of the driver phase.

Examples:
  chalkfield worth core_haul --robot hauler
  chalkfield worth field.toml --robot robot.toml --routine mine.lua --picture worth.png`
}

// Run finds and tells.
func (c worthCommand) Run(ctx context.Context, s streams) error {
	field, err := fields.Find(c.Field)
	if errors.Is(err, os.ErrNotExist) {
		err = noSuchFile(c.Field)
	}
	if err != nil {
		return err
	}
	home := c.home()
	_, machine := assets.RoutineHome(home)
	robot, err := findRobot(beside(c.Field, "robot.toml", c.Robot, machine))
	if err != nil {
		return err
	}
	if c.Picture != "" {
		if err := errors.Join(picture.MayBe(c.Picture), refuseRead(c.Picture, []string{c.Field, c.Robot, c.Routine}),
			foldersExist(c.Picture)); err != nil {
			return err
		}
	}
	start, err := c.start(field, home)
	if err != nil {
		return err
	}
	found, err := worth.Find(ctx, field, robot, worth.Options{Side: c.Side, Session: c.Session, Start: start})
	if err != nil {
		return err
	}
	if c.Picture != "" {
		drawn := picture.Worth(s.units, found, pictureWidth)
		if err := picture.WriteFile(c.Picture, drawn, pictureWidth); err != nil {
			return err
		}
	}
	return s.tell(report.Worth(s.units, found), c.JSON)
}

// home is an embedded routine for the field; "" for none.
func (c worthCommand) home() string {
	names := assets.RoutineNames()
	i := slices.IndexFunc(names, func(name string) bool {
		field, _ := assets.RoutineHome(name)
		return field == c.Field
	})
	if i < 0 || filepath.Ext(c.Field) != "" {
		return ""
	}
	return names[i]
}

// start is the named routine's, or that of one for the field where the field names none; nil: the field's, or where
// there is room.
func (c worthCommand) start(f *fields.Field, home string) (*geom.Pose, error) {
	side := 0
	if c.Side != "" {
		var err error
		if side, err = f.SideIndex(c.Side); err != nil {
			return nil, err
		}
	}
	named := c.Routine
	if named == "" {
		if _, known := f.StartFor(side); known || home == "" {
			return nil, nil
		}
		named = home
	}
	program, err := loadRoutine(named, "")
	if err != nil {
		return nil, err
	}
	pose, err := rehearse.StartOf(f, rehearse.Entrant{Routine: program}, side)
	if err != nil {
		return nil, fmt.Errorf("--routine: %w", err)
	}
	return &pose, nil
}
