package setpoints

import (
	"math"
	"strconv"
)

// column is one of a table: its name and unit as a log would have them, its name in C, how many decimals it has, and
// where a row keeps it.
type column struct {
	name, unit, c string
	decimals      int
	at            func(*Row) *float64
	whole         func(*Row) *int // where it is a whole number
	says          string
}

var columns = []column{
	{"time", "s", "time", 3, func(r *Row) *float64 { return &r.Time }, nil, "since the routine began"},
	{"x", "mm", "x", 3, func(r *Row) *float64 { return &r.X }, nil, "where to be, in the field's frame"},
	{"y", "mm", "y", 3, func(r *Row) *float64 { return &r.Y }, nil, ""},
	{"heading", "deg", "heading", 4, func(r *Row) *float64 { return &r.Heading }, nil,
		"counter-clockwise, counts on beyond a turn"},
	{"speed", "mm/s", "speed", 2, func(r *Row) *float64 { return &r.Speed }, nil, "along the heading"},
	{"turning", "deg/s", "turning", 3, func(r *Row) *float64 { return &r.Turning }, nil, "counter-clockwise"},
	{"left speed", "mm/s", "left_speed", 2, func(r *Row) *float64 { return &r.LeftSpeed }, nil, "of the left wheels"},
	{"right speed", "mm/s", "right_speed", 2, func(r *Row) *float64 { return &r.RightSpeed }, nil, ""},
	{"left", "V", "left_volts", 4, func(r *Row) *float64 { return &r.LeftVolts }, nil,
		"feed-forward: what the model gives for these speeds"},
	{"right", "V", "right_volts", 4, func(r *Row) *float64 { return &r.RightVolts }, nil, ""},
	{"mode", "", "mode", 0, nil, func(r *Row) *int { return (*int)(&r.Mode) },
		"0: rest, 0 V. 1: be there. 2: turn on the spot, look there"},
	{"step", "", "step", 0, nil, func(r *Row) *int { return &r.Step }, "number of the motion, 0: none"},
	{"line", "", "line", 0, nil, func(r *Row) *int { return &r.Line }, "of the routine, 0: none"},
	{"waits", "", "waits", 0, nil, func(r *Row) *int { return &r.Waits },
		"line of what the routine waited for that a sensor tells, 0: nothing"},
}

// header is a column's name with its unit.
func (c *column) header() string {
	if c.unit == "" {
		return c.name
	}
	return c.name + " " + c.unit
}

// text is a row's value.
func (c *column) text(r *Row) string {
	if c.whole != nil {
		return strconv.Itoa(*c.whole(r))
	}
	return strconv.FormatFloat(*c.at(r), 'f', -1, 64)
}

// round rounds a row's values to what is written. Zero has no sign.
func (r *Row) round() {
	for i := range columns {
		if c := &columns[i]; c.whole == nil {
			scale := math.Pow10(c.decimals)
			*c.at(r) = math.Round(*c.at(r)*scale)/scale + 0
		}
	}
}
