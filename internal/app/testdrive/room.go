package testdrive

import (
	"fmt"
	"strconv"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/units"
)

// Room is the free floor, m. The drives go along its length; Width is not greater.
type Room struct{ Length, Width float64 }

// The sides that a room may have, m: those of a field.
const (
	leastSide = 0.5
	mostSide  = 50
)

// ParseRoom reads "2.4 m x 1.2 m", in either order.
func ParseRoom(text string) (Room, error) {
	const example = `write, for example, --room "2.4 m x 1.2 m"`
	first, second, two := strings.Cut(text, "x")
	if !two {
		return Room{}, fmt.Errorf("--room %q: two lengths with an x between them are the floor that is free: %s", text,
			example)
	}
	if _, err := strconv.ParseFloat(strings.TrimSpace(second), 64); err == nil {
		return Room{}, fmt.Errorf("--room %q: lengths have a unit, m or mm or ft: %s", text, example)
	}
	var sides [2]float64
	for i, side := range []string{first, second} {
		length, _, err := units.Parse("m", strings.TrimSpace(side))
		if err != nil {
			return Room{}, fmt.Errorf("--room %q: %w; %s", text, err, example)
		}
		if !(length >= leastSide && length <= mostSide) {
			return Room{}, fmt.Errorf("--room %q: a side may be from %g m to %g m: %s", text, leastSide, float64(mostSide),
				example)
		}
		sides[i] = length
	}
	return Room{max(sides[0], sides[1]), min(sides[0], sides[1])}, nil
}

// String is the room as --room takes it.
func (r Room) String() string { return r.In(units.Metric) }

// In is the room in a person's units.
func (r Room) In(in units.System) string { return in.Sprintf("%.4g m x %.4g m", r.Length, r.Width) }

// RoomTitle is that of the field file of every plan.
const RoomTitle = "The room of the test drives"

// FieldFile is a field of the room's size, for rehearsing the drives.
func (p *Plan) FieldFile() string {
	longest := 0.0
	for _, d := range p.Drives {
		longest = max(longest, d.Table.Seconds())
	}
	return fields.BareText(RoomTitle, p.Room.Length, p.Room.Width, longest+0.5) // for the reaction time
}

// hall is a floor on which nothing is met.
func hall(seconds float64) (*fields.Field, error) {
	return fields.Parse("hall.toml", []byte(fields.BareText("hall", mostSide, mostSide, seconds)))
}
