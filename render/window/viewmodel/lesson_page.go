package viewmodel

import (
	"chalkfield/internal/app/lesson"
)

// LessonPage is how far the lesson that is open has come: what its panel shows.
type LessonPage struct {
	*lesson.Lesson
	Number int    // in the list, from 1
	Next   string // title of the lesson after this one; "": it is the last
	Ticked []bool // of its steps: done
	Seen   int    // so many of them were opened
	Marks  []lesson.Mark
	Fault  string // why the answer could not be judged; "": it could

	Judging bool // the run shown is being judged
	Judged  bool // Marks are of an answer
	Passed  bool // by the answer as it is written
	Reached int  // stars of it
	Opened  int  // hints
	ToGo    int  // tries until the next hint can be opened

	Before lesson.Reached // by any answer so far

	Version int // of all this: another when anything has changed
}

// Current is the first step that is not done; the number of steps when all are.
func (p *LessonPage) Current() int {
	for i, done := range p.Ticked {
		if !done {
			return i
		}
	}
	return len(p.Ticked)
}

// HintsLeft reports whether there is a hint that is not opened.
func (p *LessonPage) HintsLeft() bool { return p.Opened < len(p.Hints) }
