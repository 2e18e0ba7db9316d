package command

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// firstSteps is the routine of a project that begins with its field: it starts where the field says.
const firstSteps = `-- Begins where [[starts]] of field.toml says. All that a routine can do: chalkfield guide routine
return routine {
  title = "first steps",
  auto = function(bot)
    bot.drive:ahead(300)
  end,
}
`

// usualSize is the floor of a field that is begun without a size.
const usualSize = "3.6 m x 3.6 m"

// usual is it in a person's units.
func (c newCommand) usual() string {
	if c.in == units.Inch {
		return "12 ft x 12 ft"
	}
	return usualSize
}

// fieldProject is a project that begins with a field of its own: a rectangle, one with a picture to trace, or a copy.
func (c newCommand) fieldProject() ([]file, error) {
	machine, err := robot.EmbeddedSource(c.Robot)
	if err != nil {
		return nil, err
	}
	text, files, err := c.fieldText()
	if err != nil {
		return nil, err
	}
	return append([]file{{filepath.Join(c.Folder, "field.toml"), []byte(text)},
		{filepath.Join(c.Folder, "routine.lua"), []byte(firstSteps)}, {filepath.Join(c.Folder, "robot.toml"), machine}},
		files...), nil
}

func (c newCommand) fieldText() (text string, more []file, err error) {
	if c.From != "" {
		if c.Size != "" || c.Picture != "" {
			return "", nil, errors.New("--from takes a field as it is: leave --size and --picture out")
		}
		field, err := fields.OpenEmbedded(c.From)
		if err != nil {
			return "", nil, err
		}
		text, ok := field.WithStart()
		if !ok {
			return "", nil, fmt.Errorf("%s has no room for a robot to start: take another field", c.From)
		}
		return text, nil, nil
	}
	size, err := floorSize(cmp.Or(c.Size, c.usual()))
	if err != nil {
		return "", nil, err
	}
	title := filepath.Base(c.Folder)
	if c.Picture == "" {
		return fields.BegunText(c.in, title, size, "", 0), nil, nil
	}
	width, height, err := fields.PictureSize(c.Picture)
	if err != nil {
		return "", nil, fmt.Errorf("--picture %s: %w", c.Picture, err)
	}
	high := float64(height) / float64(width)
	if c.Size == "" {
		size.Y = size.X * high
	}
	if size.Y < 0.5 || size.Y > 50 {
		return "", nil, fmt.Errorf("--picture %s is %d x %d pixels, which makes a floor of %s: give its --size", c.Picture,
			width, height, units.Text(size.Y, "m"))
	}
	data, err := os.ReadFile(c.Picture)
	if err != nil {
		return "", nil, err
	}
	name := filepath.Base(c.Picture)
	return fields.BegunText(c.in, title, size, name, high), []file{{filepath.Join(c.Folder, name), data}}, nil
}

// floorSize reads "3.6 m x 2.4 m".
func floorSize(text string) (size geom.Vec, err error) {
	wrong := fmt.Errorf("--size %q is no size of a floor: write, for example, --size %q, from 500 mm to 50 m each", text,
		usualSize)
	width, height, two := strings.Cut(strings.ReplaceAll(text, "×", "x"), "x")
	if !two {
		return size, wrong
	}
	for i, part := range []string{width, height} {
		m, _, err := units.Parse("m", strings.TrimSpace(part))
		if err != nil || m < 0.5 || m > 50 {
			return size, wrong
		}
		if i == 0 {
			size.X = m
		} else {
			size.Y = m
		}
	}
	return size, nil
}
