package window

import (
	"fmt"

	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// files is the bar over the routine's page that tells which of its files is shown, where it has several.
type files struct {
	*shared
	notebook *notebook
}

const filesHeight = 22.0

// filesBar is where it lies; empty: the routine has one file, or another page is shown.
func (n *notebook) filesBar() Rect {
	bar := n.frame.Notebook.Below(tabHeight).Top(filesHeight)
	if n.model.Tab != viewmodel.RoutineTab || len(n.model.Modules()) == 0 || n.frame.Notebook.H < tabHeight+5*filesHeight {
		return Rect{}
	}
	return bar
}

func (f *files) place() {
	if bar := f.notebook.filesBar(); bar.H > 0 {
		f.add(element{Name: "files", Rect: bar, Tip: f.action("files").told(), Bare: true, Do: f.notebook.showFiles})
	}
}

func (f *files) draw() {
	bar := f.notebook.filesBar()
	if bar.H == 0 {
		return
	}
	f.fill(bar, f.ground(bar))
	f.pen.Rect(bar.X, bar.Y, 1, bar.H, f.edge)
	r := Rect{X: bar.X + 12, Y: bar.Y, W: bar.W - 24, H: bar.H}
	others := fmt.Sprintf("1 of %d files", 1+len(f.model.Modules()))
	f.rightward(others, r, small, false, scene.Dust)
	f.words(calledFile(f.model.Source()), Rect{X: r.X, Y: r.Y, W: r.W - 90, H: r.H}, normal, true, scene.Chalk)
}

func calledFile(s viewmodel.Source) string {
	if s.Module != "" {
		return s.Module
	}
	return s.Name
}

// showFiles lists the routine's files; a choice shows one in its page.
func (n *notebook) showFiles() {
	n.show(&card{name: "files", title: "Files of the routine", typed: true,
		foot: "Letters narrow the list, Enter shows the file in the page, Esc closes.", rows: func() []cardRow {
			shown := n.model.Source().Module
			row := func(module, label, note string) cardRow {
				return cardRow{label: label, note: note, on: module == shown, do: func() {
					n.turnTo(viewmodel.RoutineTab)
					n.model.ShowFile(module)
					*n.scroll[viewmodel.RoutineTab] = scroll{}
				}}
			}
			rows := []cardRow{row("", n.model.Text.Name, "the routine itself")}
			for _, module := range n.model.Modules() {
				rows = append(rows, row(module, module, "required"))
			}
			return rows
		}})
}
