package window

import (
	"path/filepath"

	"chalkfield/render/window/viewmodel"
)

// ghostFile is where the best drive of a session is kept; "": nothing is.
func (d *driver) ghostFile(session string) string {
	if d.disk.path == "" {
		return ""
	}
	name := ""
	if d.model.DrivesCourse() {
		name = d.model.CourseGhostName()
	} else {
		name = d.model.GhostName(session)
	}
	return filepath.Join(filepath.Dir(d.disk.path), "ghosts", name)
}

// race puts the best drive so far beside the one that begins.
func (d *driver) race(session string) {
	d.best, d.bestAt = nil, d.ghostFile(session)
	if d.bestAt != "" {
		d.best = viewmodel.LoadGhost(d.bestAt)
	}
	d.model.Race(d.best)
}

// keepBest keeps the last drive where it beats the best before it.
func (d *driver) keepBest() {
	if d.model.DrivesCourse() {
		d.keepCourse()
		return
	}
	ghost := viewmodel.GhostOf(d.model.Driven)
	if d.bestAt == "" || !ghost.Beats(d.best) {
		return
	}
	if err := ghost.Save(d.bestAt); err != nil {
		d.model.Also("It is the best so far, but was not kept: " + err.Error() + ".")
		return
	}
	words := "It is the best so far: " + ghost.String() + "."
	if d.best != nil {
		words = "It is the best so far: " + ghost.String() + " (before: " + d.best.String() + ")."
	}
	d.model.Also(words)
}

// keepCourse keeps the last drive of a course where it is the best.
func (d *driver) keepCourse() {
	if d.bestAt == "" || !d.model.CourseBest() {
		return
	}
	if err := d.model.CourseGhost().Save(d.bestAt); err != nil {
		d.model.Also("It is the best so far, but was not kept: " + err.Error() + ".")
	}
}

// bestRows offer to forget the best drives, where there are any.
func (d *driver) bestRows() []cardRow {
	var rows []cardRow
	for _, s := range d.model.DriverSessions() {
		path := d.ghostFile(s.Name)
		if path == "" {
			continue
		}
		if ghost := viewmodel.LoadGhost(path); ghost != nil {
			rows = append(rows, cardRow{label: "The best of " + s.Name + ", " + ghost.String(), note: "forget it",
				do: func() { d.showForget(s.Name, path, ghost) }})
		}
	}
	if len(rows) > 0 {
		rows = append([]cardRow{{label: "Driven best, seen pale in the next drive", head: true}}, rows...)
	}
	return rows
}

// showForget asks before a best drive is forgotten.
func (d *driver) showForget(session, path string, ghost *viewmodel.Ghost) {
	d.show(&card{name: "forget", title: "Forget the best drive of " + session + "?", foot: "Enter chooses, Esc keeps it.",
		rows: func() []cardRow {
			return []cardRow{
				{label: ghost.String()},
				{label: "Keep it", do: func() { d.model.Say("The best drive is kept.") }},
				{label: "Forget it", do: func() {
					if err := viewmodel.ForgetGhost(path); err != nil {
						d.model.Warn("Not forgotten: " + err.Error() + ".")
						return
					}
					d.model.Say("The best drive of " + session + " is forgotten: the next one that scores takes its place.")
				}},
			}
		}})
}
