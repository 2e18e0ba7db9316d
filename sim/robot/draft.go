package robot

import (
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"
)

// Draft is a robot that is being built: what can be read and drawn of it, whether it is whole or not.
type Draft struct {
	Robot   *Robot
	Corners geom.Polygon      // of the outline, as the file lists them; nil: it lists none
	Wrong   []*tomlfile.Error // why it is refused, in the order of the file; nil: it is not
}

// ReadDraft reads a robot file that may not be whole. The error is of one that is no TOML.
func ReadDraft(path string, data []byte) (*Draft, error) {
	d := &Draft{Robot: &Robot{Name: filepath.Base(path), Text: string(data)}}
	at, err := tomlfile.DecodeLoosely(filepath.ToSlash(path), data, d.Robot)
	if err != nil {
		return nil, err
	}
	d.Corners = slices.Clone(d.Robot.Chassis.Outline)
	if d.Wrong, _ = at.Noted(); len(d.Wrong) == 0 { // what the values mean is asked of good ones alone, as Parse does
		(&reader{at, d.Robot}).robot()
		d.Wrong, _ = at.Noted()
	}
	if len(d.Wrong) > 0 {
		d.drawable()
	}
	return d, nil
}

// drawable makes of what was read something that can be drawn: it draws the outline as it is, and leaves out what has
// no kind or stands on nothing.
func (d *Draft) drawable() {
	r := d.Robot
	c := &r.Chassis
	if c.Outline = nil; len(d.Corners) >= 3 {
		c.Outline = slices.Clone(d.Corners)
		if c.Outline.Area() < 0 {
			slices.Reverse(c.Outline)
		}
		low, high := c.Outline.Bounds()
		c.Length, c.Width = high.X-low.X, high.Y-low.Y
	}
	for _, size := range []*float64{&c.Length, &c.Width} {
		if !(*size > 0 && *size <= 2*mostSize) {
			*size = 0.3
		}
	}
	for i := range r.Parts {
		names, _ := given[Mechanism](mechanisms, r.Parts[i])
		if r.Parts[i].Kind = ""; len(names) == 1 {
			r.Parts[i].Kind = Kind(names[0])
		}
	}
	isBelt := func(i int) bool { return i >= 0 && i < len(r.Parts) && r.Parts[i].Kind == KindConveyor }
	for i := range r.Parts { // nothing is taken out, others name them by their place
		if gate := r.Parts[i].Gate; gate != nil && !isBelt(gate.On) {
			r.Parts[i].Kind = ""
		} else if gate != nil && !isBelt(gate.Into) {
			gate.Into = -1
		}
	}
	for i := range r.Sensors {
		s := &r.Sensors[i]
		names, tables := given[Device](devices, *s)
		if s.Kind = ""; len(names) != 1 || s.Optical != nil && !isBelt(s.Optical.On) || tables[0].Part() >= len(r.Parts) {
			continue
		}
		s.Kind = SensorKind(strings.ReplaceAll(names[0], "_", " "))
	}
}
