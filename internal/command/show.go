package command

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/account"
	"chalkfield/internal/tomlfile"
	"chalkfield/sim/robotfile"
)

type showCommand struct {
	Thing   string `arg:"" optional:"" help:"Field or robot: a .toml file or an embedded name. Without it: the list of embedded ones."`
	Picture string `help:"Draw it (.png or .svg)." placeholder:"FILE"`
	Source  bool   `help:"Print the file itself, to copy from."`
}

// Help is shown under the flags.
func (showCommand) Help() string {
	return `Examples:
  chalkfield show                                 what is embedded
  chalkfield show core_haul --picture field.png   the rules and the floor of a field
  chalkfield show robot.toml                      check a robot file and see what it can do
  chalkfield show hauler --source > robot.toml    start a robot of your own`
}

// Run tells what the file means, after it has been checked.
func (c showCommand) Run(_ context.Context, s streams) error {
	if c.Thing == "" {
		fmt.Fprintf(s.out, "fields: %s\nrobots: %s\n", strings.Join(fields.Embedded(), ", "), strings.Join(robotfile.Embedded(), ", "))
		return nil
	}
	robot, err := c.isRobot()
	if err != nil {
		return err
	}
	if c.Source {
		return c.printSource(s, robot)
	}
	if robot {
		return c.showRobot(s)
	}
	return c.showField(s)
}

// isRobot tells the two formats apart: only a robot file has a chassis.
func (c showCommand) isRobot() (bool, error) {
	if !strings.HasSuffix(c.Thing, ".toml") {
		if slices.Contains(robotfile.Embedded(), c.Thing) {
			return true, nil
		}
		if slices.Contains(fields.Embedded(), c.Thing) {
			return false, nil
		}
		known := append(fields.Embedded(), robotfile.Embedded()...)
		return false, fmt.Errorf("%s: neither a .toml file nor embedded: %s", c.Thing, tomlfile.Instead(c.Thing, known))
	}
	data, err := os.ReadFile(c.Thing)
	if err != nil {
		return false, noSuchFile(c.Thing)
	}
	return bytes.Contains(data, []byte("[chassis]")), nil
}

func (c showCommand) printSource(s streams, robot bool) error {
	data, err := os.ReadFile(c.Thing)
	switch {
	case strings.HasSuffix(c.Thing, ".toml"):
	case robot:
		data, err = robotfile.EmbeddedSource(c.Thing)
	default:
		data, err = fields.EmbeddedSource(c.Thing)
	}
	if err != nil {
		return err
	}
	_, err = s.out.Write(data)
	return err
}

func (c showCommand) showRobot(s streams) error {
	robot, err := robotfile.Find(c.Thing)
	if err != nil {
		return err
	}
	if c.Picture != "" {
		if err := drawRobot(c.Picture, robot); err != nil {
			return err
		}
	}
	return account.Robot(s.out, robot)
}

func (c showCommand) showField(s streams) error {
	field, err := fields.Find(c.Thing)
	if err != nil {
		return err
	}
	if c.Picture != "" {
		if err := drawField(c.Picture, field); err != nil {
			return err
		}
	}
	return account.Field(s.out, field)
}
