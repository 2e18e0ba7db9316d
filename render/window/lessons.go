package window

import (
	"fmt"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/lesson"
	"chalkfield/render/window/viewmodel"
)

// lessons opens lessons and courses, and does what their panel offers.
type lessons struct {
	*shared
	disk   *disk
	driver *driver
	view   *lessonView
}

// start begins with a lesson, or with the list of all.
func (l *lessons) start(name string) {
	if name != "" {
		l.open(name)
		return
	}
	l.showList()
}

// showList lists them, the cursor on the one that comes next.
func (l *lessons) showList() {
	c := &card{name: "lessons", title: l.say("panel_list"), foot: l.say("panel_list_foot"), typed: true, rows: l.listRows}
	for i, row := range c.rows() {
		if row.do != nil && row.id == l.model.NextUp() {
			c.cursor = i
		}
	}
	l.show(c)
	c.top = max(c.cursor-4, 0)
}

// listRows are the lessons, then the courses, under a heading each.
func (l *lessons) listRows() []cardRow {
	var rows []cardRow
	course := false
	for i, one := range l.model.Lessons() {
		if drives := one.Kind == lesson.Drive; i == 0 || drives != course {
			course = drives
			rows = append(rows, cardRow{label: l.headOf(drives), head: true})
		}
		name := one.Lesson.Name
		rows = append(rows, cardRow{label: fmt.Sprintf("%d  %s", one.Number, one.Title), id: name, note: l.noteOf(&one),
			about: one.Learn, also: name, on: one.Passed, do: func() { l.open(name) }})
	}
	return rows
}

func (l *lessons) headOf(drives bool) string {
	if drives {
		return l.say("panel_courses")
	}
	return l.say("panel_lessons")
}

// noteOf says how far a lesson is: what was reached, else how long it takes.
func (l *lessons) noteOf(one *viewmodel.LessonEntry) string {
	switch {
	case one.Medal != "":
		return l.say("panel_entry_medal", l.say("medal_"+one.Medal), one.Best)
	case one.Passed && one.MostStars() > 1:
		return l.say("panel_entry_stars", one.Reached.Stars, one.MostStars())
	case one.Passed:
		return l.say("panel_entry_done")
	case one.Next:
		return l.say("panel_entry_next", one.Minutes)
	}
	return l.say("panel_entry_minutes", one.Minutes)
}

// open opens a lesson.
func (l *lessons) open(name string) {
	l.closeCard()
	if l.model.Driving() {
		l.model.EndDrive()
	}
	files, err := l.model.OpenLesson(name)
	if err != nil {
		l.model.Warn(capital(err.Error()) + ".")
		return
	}
	l.disk.exchanged(func() { l.model.Exchange(files) })
	l.model.Turn(viewmodel.RoutineTab)
	l.model.Pause()
	if l.model.DrivesCourse() {
		l.model.Say(l.say("course_said"))
	}
}

// next opens the lesson after this one.
func (l *lessons) next() {
	if name := l.model.NextLesson(); name != "" {
		l.open(name)
		return
	}
	l.showList()
}

// hint opens the next hint, where enough was tried.
func (l *lessons) hint() {
	p := l.model.Lesson()
	switch {
	case !p.HintsLeft():
		l.model.Say(l.view.hintWords(p))
	case p.ToGo > 0:
		l.model.Say(l.say("panel_hint_waits_long", p.Opened+1, p.ToGo))
	default:
		l.model.OpenHint()
		l.view.toHints()
	}
}

// showReset asks before the answer is begun anew.
func (l *lessons) showReset() {
	p := l.model.Lesson()
	l.show(&card{name: "reset lesson", title: l.say("panel_reset_title", p.Title), foot: l.say("panel_reset_foot"),
		rows: func() []cardRow {
			return []cardRow{
				{label: l.say("panel_reset_no"), do: func() { l.model.Say(l.say("panel_reset_kept")) }},
				{label: l.say("panel_reset_yes"), note: l.say("panel_reset_note"), do: l.reset},
			}
		}})
}

func (l *lessons) reset() {
	if err := l.model.ResetLesson(); err != nil {
		l.model.Warn(capital(err.Error()) + ".")
		return
	}
	l.disk.reload()
}

// actions are those of lessons; none where the window has none.
func (l *lessons) actions() []action {
	if !l.model.Learns() {
		return nil
	}
	open := func() bool { return l.model.Lesson() != nil }
	course := func() bool { return l.model.DrivesCourse() }
	return about("Lessons", []action{
		{name: "lessons", does: lesson.Say("action_lessons"), keys: on(ebiten.KeyF6),
			do: l.showList},
		{name: "hint", does: lesson.Say("action_hint"), keys: ctrl(ebiten.KeyH), can: open, do: l.hint},
		{name: "how to drive", does: lesson.Say("action_how_to_drive"), keys: shifted(ebiten.KeyD),
			can: course, do: l.driver.showDrive},
		{name: "next lesson", does: lesson.Say("action_next"), keys: ctrl(ebiten.KeyPeriod), can: open, do: l.next},
		{name: "reset lesson", does: lesson.Say("action_reset"), can: open,
			keys: ctrl(ebiten.KeyBackspace), do: l.showReset},
		{name: "lesson up", does: lesson.Say("action_up"), keys: []stroke{{key: ebiten.KeyPageUp, alt: true}}, can: open,
			do: func() { l.view.turnPage(-0.8) }},
		{name: "lesson down", does: lesson.Say("action_down"), keys: []stroke{{key: ebiten.KeyPageDown, alt: true}},
			can: open, do: func() { l.view.turnPage(0.8) }},
		{name: "fold lesson", does: lesson.Say("action_fold"), keys: ctrl(ebiten.KeyD), can: open, do: l.view.fold},
	})
}
