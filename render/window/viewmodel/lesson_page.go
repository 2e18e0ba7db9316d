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
	Marks  []lesson.Mark
	Fault  string // why the answer could not be judged; "": it could

	Judging bool // the run shown is being judged
	Judged  bool // Marks are of an answer
	Passed  bool // by the answer as it is written
	Reached int  // stars of it
	Opened  int  // hints
	ToGo    int  // tries until the next hint can be opened

	Course  *CoursePage // nil: it is no course
	Version int         // of all this: another when anything has changed
}

// CoursePage is how a driver's course stands.
type CoursePage struct {
	Gates, Crossed int
	Seconds        float64 // with what touches add
	Metres         float64
	Touches        int
	Smoothness     float64
	Finished       bool
	Driven         bool    // there is a drive to tell of
	Medal          string  // of it; "": none
	Best           float64 // s; 0: none yet
}

// MostStars is how many stars the lesson has: one for passing it, and its own.
func (p *LessonPage) MostStars() int { return mostStars(p.Lesson) }

func mostStars(l *lesson.Lesson) int { return 1 + len(l.Stars) }

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

// CourseMedal is a medal and the time that earns it.
type CourseMedal struct {
	Name    string
	Seconds float64
}

// Medals are those of a course, the first to be earned first.
func (p *LessonPage) Medals() []CourseMedal {
	if p.Lesson.Course == nil {
		return nil
	}
	m := p.Lesson.Course.Medals
	return []CourseMedal{{"clay", m.Clay}, {"chalk", m.Chalk}, {"quartz", m.Quartz}}
}
