package window

import "strings"

// tools are the buttons beside the field.
type tools struct {
	*shared
	kept still
}

// toolNames are the actions that have a button.
var toolNames = [...]string{"open", "again", "watch", "measure", "arrange", "drive", "values", "layers", "signals",
	"keys"}

func (t *tools) place() {
	rail := t.frame.Rail
	height := min(44.0, (rail.H-4)/float64(len(toolNames)))
	for i, name := range toolNames {
		a := t.action(name)
		hint, _, _ := strings.Cut(a.keys, ",")
		t.add(element{Name: name, Label: capital(name), Hint: hint, Do: a.do,
			On:   name == string(t.model.Mode),
			Rect: Rect{X: rail.X + 4, Y: rail.Y + 4 + float64(i)*height, W: rail.W - 8, H: height - 3}})
	}
}

func (t *tools) draw() { t.drawButtons(&t.kept, t.frame.Rail) }

// capital is a name as the label of a button.
func capital(name string) string { return strings.ToUpper(name[:1]) + name[1:] }
