package gains

import (
	"fmt"
	"strings"

	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// Edit is a gain that is written into a robot file, as texts of the file.
type Edit struct {
	Path   string `json:"path"`
	Before string `json:"before"` // "" for a key that was left out
	After  string `json:"after"`

	Comment string `json:"comment,omitempty"` // that stands behind it, and may be true no longer
	Line    int    `json:"line,omitempty"`    // of the comment
}

// Into writes gains of a loop into a robot file's text and leaves every other byte alone. A gain that is as the robot
// has it is not written.
func (l Loop) Into(text []byte, r *robot.Robot, v Values) ([]byte, []Edit, error) {
	var edits []Edit
	now := l.InFile(r)
	for _, g := range l.Gains(r) {
		old, quotes, there := tomlfile.Written(text, g.Path)
		value := g.Shown(old, v)
		if value == g.Shown(old, now) || !there && g.Value(v) == 0 {
			continue
		}
		if !there && g.Unit != "" {
			quotes = `"`
		}
		var err error
		if text, err = tomlfile.Edit(text, g.Path, quotes+value+quotes); err != nil {
			return nil, nil, err
		}
		edits = append(edits, Edit{Path: g.Path, Before: old, After: value})
	}
	for i := range edits {
		edits[i].Comment, edits[i].Line = tomlfile.Comment(text, edits[i].Path)
	}
	if _, err := robot.Parse(r.Name, text); err != nil {
		return nil, nil, fmt.Errorf("these gains make no robot file: %w", err)
	}
	return text, edits, nil
}

// digits is what a written gain may be off by, a share of it: nothing is that exact.
const digits = 0.1

// Shown is a gain as a robot file has it, like a text of the same quantity.
func (g *Gain) Shown(like string, v Values) string {
	x := g.Value(v)
	if g.Unit == "" {
		return units.Decimal(x, digits*x)
	}
	return units.Like(like, x, digits*x, g.Unit)
}

// Stands tells whether a robot's file has any of the loop's gains.
func (l Loop) Stands(r *robot.Robot) bool {
	for _, g := range l.Gains(r) {
		if g.Written(r) != "" {
			return true
		}
	}
	return false
}

// Written is the gain as a robot's file has it, "" where it does not.
func (g *Gain) Written(r *robot.Robot) string {
	text, _, _ := tomlfile.Written([]byte(r.Text), g.Path)
	return text
}

// Words are all gains of a loop that are not 0, as the file has them: "p 0.8 V/deg, hold 1 V".
func (l Loop) Words(r *robot.Robot, v Values) string {
	var list []string
	for _, g := range l.Gains(r) {
		if g.Value(v) != 0 || g.Word == "p" {
			list = append(list, g.Word+" "+g.Shown(g.Written(r), v))
		}
	}
	return strings.Join(list, ", ")
}

// Ultimate is a gain at which the loop would ring, as the file has it.
func (l Loop) Ultimate(r *robot.Robot, u Ultimate) string {
	p := l.Gains(r)[0]
	return p.Shown(p.Written(r), Values{P: u.Gain})
}
