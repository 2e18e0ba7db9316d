package window

import (
	"strings"

	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// tools are the buttons beside the field.
type tools struct {
	*shared
	kept  still
	names []string
}

// toolNames are the actions that have a button.
var toolNames = []string{"open", "again", "watch", "measure", "arrange", "drive", "build", "values", "layers",
	"signals", "studies", "times", "actions"}

// toolsOf are those of a window, which begins with lessons where it has them.
func toolsOf(m *viewmodel.Model) []string {
	if m.Learns() {
		return append([]string{"lessons"}, toolNames...)
	}
	return toolNames
}

func (t *tools) place() {
	rail := t.frame.Rail
	height := min(44.0, (rail.H-4)/float64(len(t.names)))
	for i, name := range t.names {
		e := t.named(name)
		e.On = name == string(t.model.Mode) || t.beside != nil && t.beside.name == name && t.frame.Panel.H > 0
		if paint.Width(e.Hint, small, false) > rail.W-10 {
			e.Hint = ""
		}
		e.Rect = Rect{X: rail.X + 3, Y: rail.Y + 3 + float64(i)*height, W: rail.W - 6, H: height - 3}
		t.add(e)
	}
	e := t.named("fold")
	e.Label, e.Hint, e.Bare, e.Rect = "", "", true, t.frame.Edge.Top(edgeButton)
	t.add(e)
}

func (t *tools) draw() { t.drawButtons(&t.kept, t.frame.Rail) }

// capital is a name as the label of a button.
func capital(name string) string { return strings.ToUpper(name[:1]) + name[1:] }
