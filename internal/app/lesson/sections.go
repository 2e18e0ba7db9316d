package lesson

import (
	"fmt"
	"strings"
)

// The headings behind a text's steps.
const (
	sources   = "Where this comes from"
	realRobot = "On the real robot"
)

// placed is a section, and the line of its heading.
type placed struct {
	Section
	line int
}

// sections parts Markdown at its "## " headings; what stands before the first has no title. A fence of ``` hides
// headings.
func sections(markdown string) (list []placed) {
	list = []placed{{}}
	var body []string
	fenced := false
	end := func() { list[len(list)-1].Text, body = strings.TrimSpace(strings.Join(body, "\n")), nil }
	for i, line := range strings.Split(strings.ReplaceAll(markdown, "\r\n", "\n"), "\n") {
		if strings.HasPrefix(line, "```") {
			fenced = !fenced
		}
		title, heading := strings.CutPrefix(line, "## ")
		if !heading || fenced {
			body = append(body, line)
			continue
		}
		end()
		list = append(list, placed{Section{Title: strings.TrimSpace(title)}, i + 1})
	}
	end()
	return list
}

// texts puts the words of text.md into the lesson.
func (r *reader) texts() {
	file, there := r.files.files[text]
	if !there {
		r.fault("%s: there is no such file: write \"# %s\", an opening, and a \"## \" section for each [[steps]]",
			r.files.path(text), r.Title)
		return
	}
	list := sections(file)
	title, opening, _ := strings.Cut(list[0].Text, "\n")
	if _, is := strings.CutPrefix(title, "# "); !is {
		r.fault("%s:1: the text begins with its title: write \"# %s\"", r.files.path(text), r.Title)
	}
	if r.Opening = strings.TrimSpace(opening); r.Opening == "" {
		r.fault("%s:1: write one to three sentences under the title: what is this about?", r.files.path(text))
	}
	list = list[1:]
	if n := len(list); n > 0 && list[n-1].Title == realRobot {
		r.Further, list = []Section{list[n-1].Section}, list[:n-1]
	}
	n := len(list)
	if n == 0 || list[n-1].Title != sources {
		r.fault("%s:%d: the last section, but for \"## %s\", is \"## %s\": name the source of each fact of control, or "+
			"write: common practice, no source", r.files.path(text), lines(file), realRobot, sources)
		return
	}
	r.Further, list = append([]Section{list[n-1].Section}, r.Further...), list[:n-1]
	r.match(text, "steps", len(r.Steps), list, func(i int) *Section { return &r.Steps[i].Section })
}

// hints puts the words of hints.md into the lesson.
func (r *reader) hints() {
	file, there := r.files.files[hints]
	if !there && len(r.Hints) > 0 {
		r.fault("%s: there is no such file: write a \"## \" section for each [[hints]] of %s", r.files.path(hints), About)
		return
	}
	r.match(hints, "hints", len(r.Hints), sections(file)[1:], func(i int) *Section { return &r.Hints[i].Section })
}

// match gives each table of a list its section.
func (r *reader) match(file, key string, tables int, list []placed, to func(int) *Section) {
	for i, s := range list {
		switch {
		case i >= tables:
			r.fault("%s:%d: \"## %s\" has no [[%s]] in %s: write one for it there, in the same order", r.files.path(file),
				s.line, s.Title, key, About)
			return
		case s.Text == "":
			r.fault("%s:%d: nothing stands under \"## %s\": write its text", r.files.path(file), s.line, s.Title)
		default:
			*to(i) = s.Section
		}
	}
	for i := len(list); i < tables; i++ {
		r.at.Errorf(fmt.Sprintf("%s[%d]", key, i), "it has no section in %s: write \"## \", a heading, and its text there",
			file)
	}
}

func lines(text string) int { return strings.Count(strings.TrimRight(text, "\n"), "\n") + 1 }
