package lesson

import "strings"

// Markdown is the lesson's text as one page; done marks its steps.
func (l *Lesson) Markdown(done []bool) string {
	var page strings.Builder
	section := func(title, text string) { page.WriteString("\n## " + title + "\n\n" + text + "\n") }
	page.WriteString("# " + Say("page_title", l.Title, l.Minutes) + "\n\n" + l.Learn + ".\n\n" + l.Opening + "\n")
	for i, s := range l.Steps {
		title := Say("page_step", i+1, s.Title)
		if i < len(done) && done[i] {
			title = Say("page_step_done", i+1, s.Title)
		}
		section(title, s.Text)
	}
	for _, s := range l.Further {
		section(s.Title, s.Text)
	}
	return page.String()
}
