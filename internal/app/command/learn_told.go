package command

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/app/lesson"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/wording"
)

// listed is a lesson of the list, for machines.
type listed struct {
	Name    string   `json:"name"`
	Title   string   `json:"title"`
	Learn   string   `json:"learn"`
	Minutes int      `json:"minutes"`
	Kind    string   `json:"kind"`
	After   []string `json:"after"`
	Passed  bool     `json:"passed"`
	Stars   int      `json:"stars"`
	Next    bool     `json:"next"`
}

// listOf tells of the lessons what is done and which is next.
func listOf(progress *lesson.Progress, class []*lesson.Lesson) *report.Document {
	next := progress.Next(class)
	t := &report.Table{Columns: []report.Column{{Name: lesson.Say("list_state")}, {Name: lesson.Say("list_name")},
		{Name: lesson.Say("list_title")}, {Name: lesson.Say("list_minutes"), Number: true}}}
	rows := []listed{}
	for _, l := range class {
		r := progress.Of(l)
		t.Add(stateOf(l, r, l == next), l.Name, l.Title, strconv.Itoa(l.Minutes))
		rows = append(rows, listed{l.Name, l.Title, l.Learn, l.Minutes, string(l.Kind), append([]string{}, l.After...),
			r.Passed, r.Stars, l == next})
	}
	below := lesson.Say("list_all_done")
	if next != nil {
		below = lesson.Say("list_next_is", commandOf(next))
	}
	return &report.Document{Sections: []report.Section{{Table: t, Below: []string{below}}}, Data: rows}
}

// stateOf is a lesson's state in the list: done with its stars, next, begun, or nothing yet.
func stateOf(l *lesson.Lesson, r lesson.Reached, next bool) string {
	switch {
	case r.Passed && r.Medal != "":
		return lesson.Say("list_medal", lesson.Say("medal_"+r.Medal))
	case r.Passed:
		return lesson.Say("list_done", strings.Repeat("*", r.Stars)+strings.Repeat(".", l.MostStars()-r.Stars))
	case next:
		return lesson.Say("list_next")
	case r.Tries > 0 || slices.Contains(r.Steps, true):
		return lesson.Say("list_begun")
	}
	return "-"
}

// commandOf is what a learner types behind `chalkfield learn`: the name of an embedded lesson, or the folder.
func commandOf(l *lesson.Lesson) string {
	if l.Ours {
		return l.Name
	}
	return wording.Quoted(noFlag(l.Home))
}

// learner is one who learns without a window.
type learner struct {
	streams
	desk     lesson.Desk
	progress *lesson.Progress
	class    []*lesson.Lesson
	json     bool
}

// judgedAnswer is what was said about an answer, for machines.
type judgedAnswer struct {
	Lesson string        `json:"lesson"`
	Answer string        `json:"answer"`
	Passed bool          `json:"passed"`
	Stars  int           `json:"stars"`
	Marks  []lesson.Mark `json:"marks"`
	Steps  []bool        `json:"steps"`
	Tries  int           `json:"tries"`
	Hints  []string      `json:"hints"` // opened

	Drive *lesson.Driven `json:"drive,omitempty"`
}

// learn prints a lesson, judges the answer to it, keeps what was reached, and gives the next hint.
func (c learner) learn(ctx context.Context, l *lesson.Lesson) error {
	wrote, err := c.desk.Begin(l)
	if err != nil {
		return err
	}
	if !c.json {
		fmt.Fprint(c.out, plainText(l.Markdown(c.progress.Of(l).Steps), columns(c.out)))
		c.tellFiles(l, wrote)
	}
	answer, err := c.desk.Read(l)
	if err != nil {
		return err
	}
	shown, driven, err := l.Show(ctx, answer)
	if err != nil {
		return err
	}
	before := c.progress.Of(l)
	marks, err := c.judge(ctx, l, answer, shown, driven)
	if err != nil {
		return err
	}
	if next, tries := l.Hint(c.progress.Of(l)); next != nil && tries == 0 && !marks.Passed &&
		c.progress.Of(l).Tries > before.Tries {
		if err := c.progress.OpenHint(l); err != nil {
			fmt.Fprintf(c.err, "chalkfield: %v\n", err)
		}
	}
	if err := c.tell(l, marks, driven); err != nil {
		return err
	}
	if !marks.Passed {
		return errFellShort
	}
	return nil
}

// judge judges an answer and keeps what it came to.
func (c learner) judge(ctx context.Context, l *lesson.Lesson, a lesson.Answer, shown *record.Record,
	driven *lesson.Driven) (marks *lesson.Marks, err error) {
	if driven != nil {
		marks, err = l.JudgeDrive(shown, *driven, c.units)
	} else {
		marks, err = l.Judge(ctx, lesson.Judging{In: c.units}, a)
	}
	if err != nil {
		return nil, err
	}
	steps := l.StepsDone(shown, marks.Passed)
	if driven != nil {
		_, err = c.progress.Drove(l, *driven, marks, steps)
	} else {
		err = c.progress.Judged(l, a, marks, steps)
	}
	if err != nil { // what was reached is not kept: no reason not to tell it
		fmt.Fprintf(c.err, "chalkfield: %v\n", err)
	}
	return marks, nil
}

// tellFiles says where the answer is.
func (c learner) tellFiles(l *lesson.Lesson, wrote []string) {
	fmt.Fprintf(c.out, "\n%s\n", lesson.Say("answer_at", filepath.ToSlash(c.desk.Answer(l))))
	for _, path := range wrote {
		fmt.Fprintf(c.out, "  %s\n", lesson.Say("answer_wrote", filepath.ToSlash(path)))
	}
	for _, path := range c.desk.Changed(l) {
		fmt.Fprintf(c.out, "  %s\n", lesson.Say("answer_changed", filepath.ToSlash(path)))
	}
}

// tell tells how the answer did.
func (c learner) tell(l *lesson.Lesson, m *lesson.Marks, driven *lesson.Driven) error {
	r := c.progress.Of(l)
	told := judgedAnswer{Lesson: l.Name, Answer: filepath.ToSlash(c.desk.Answer(l)), Passed: m.Passed, Stars: m.Stars,
		Marks: m.List, Steps: r.Steps, Tries: r.Tries, Hints: []string{}}
	t := &report.Table{Look: report.Plain, Columns: []report.Column{{Width: 5}, {}}}
	for _, one := range m.List {
		row := t.Add(markWord(one), one.Case+": "+one.Expected)
		if one.Happened != "" {
			row.More = append(row.More, one.Happened+placeOf(one))
		}
	}
	below := []string{lesson.Say("steps_done", stepsDone(r), len(l.Steps))}
	if len(l.Stars) > 0 {
		below = append(below, lesson.Say("mark_brackets"))
	}
	told.Drive = driven
	doc := &report.Document{Data: &told, Sections: []report.Section{{Title: lesson.Say("marks"), Table: t,
		Below: below}}}
	if driven != nil {
		doc.Sections = append(doc.Sections, report.Section{Title: lesson.Say("drive"), Lines: c.drive(l, driven, r)})
	}
	for i, h := range l.Hints[:r.Opened] {
		told.Hints = append(told.Hints, h.Title)
		doc.Sections = append(doc.Sections, report.Section{Title: lesson.Say("hint", i+1, len(l.Hints), h.Title),
			Lines: strings.Split(strings.TrimSpace(plainText(h.Text, columns(c.out))), "\n")})
	}
	doc.Foot = c.verdict(l, m, r)
	return c.streams.tell(doc, c.json)
}

// drive tells what a drive came to.
func (c learner) drive(l *lesson.Lesson, d *lesson.Driven, r lesson.Reached) []string {
	list := []string{lesson.Say("drive_time", d.Clock, d.Touches, d.Seconds),
		lesson.Say("drive_way", c.units.Text(d.Metres, "m", 2)), lesson.Say("drive_smooth", d.Smooth)}
	for _, m := range l.Course.Medals.List() {
		list = append(list, lesson.Say("drive_medal", lesson.Say("medal_"+m.Name), m.Seconds))
	}
	if d.Medal != "" {
		list = append(list, lesson.Say("drive_earned", lesson.Say("medal_"+d.Medal)))
	}
	if r.Best > 0 {
		list = append(list, lesson.Say("drive_best", r.Best))
	}
	return list
}

func stepsDone(r lesson.Reached) (done int) {
	for _, step := range r.Steps {
		if step {
			done++
		}
	}
	return done
}

func markWord(m lesson.Mark) string {
	switch {
	case m.Held && m.Star:
		return lesson.Say("mark_star")
	case m.Held:
		return lesson.Say("mark_held")
	case m.Star:
		return lesson.Say("mark_no_star")
	}
	return lesson.Say("mark_short")
}

func placeOf(m lesson.Mark) string {
	if m.Line == 0 {
		return ""
	}
	return fmt.Sprintf(" (%.2f s, %s:%d)", m.T, m.File, m.Line)
}

// verdict is the last line: what to do now.
func (c learner) verdict(l *lesson.Lesson, m *lesson.Marks, r lesson.Reached) string {
	if !m.Passed {
		hint, tries := l.Hint(r)
		switch {
		case hint == nil:
			return lesson.Say("not_yet")
		case tries == 0:
			return lesson.Say("not_yet_hint")
		}
		return lesson.Say("not_yet_tries", tries)
	}
	line := lesson.Say("passed", m.Stars, l.MostStars())
	if next := c.progress.Next(c.class); next != nil {
		return line + " " + lesson.Say("passed_next", next.Title, commandOf(next))
	}
	return line + " " + lesson.Say("list_all_done")
}

// progressRows writes the table for a mentor.
func progressRows(progress *lesson.Progress, class []*lesson.Lesson) func(io.Writer) error {
	return func(w io.Writer) error {
		rows := csv.NewWriter(w)
		if err := rows.Write(strings.Split(progressHead, ",")); err != nil {
			return err
		}
		for _, l := range class {
			r := progress.Of(l)
			best := ""
			if r.Best > 0 {
				best = strconv.FormatFloat(r.Best, 'f', 2, 64)
			}
			if err := rows.Write([]string{l.Name, l.Title, map[bool]string{true: "yes", false: "no"}[r.Passed],
				strconv.Itoa(r.Stars), strconv.Itoa(r.Tries), strconv.Itoa(r.Opened), strconv.Itoa(stepsDone(r)),
				strconv.Itoa(len(l.Steps)), r.Medal, best}); err != nil {
				return err
			}
		}
		rows.Flush()
		return rows.Error()
	}
}
