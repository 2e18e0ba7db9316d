// Package lesson reads lessons for new members and courses for drivers, judges answers to them, and keeps what a
// learner has done.
//
// A lesson is a folder. lesson.toml says what is learnt, its steps and hints; text.md and hints.md have the words;
// pass.check.toml has the marks that an answer must reach, as a check file has them; the answer takes the place of
// start.lua. A solution that passes and a wrong answer for each hint show that the lesson teaches what it says: see
// Proofs.
package lesson

import (
	"chalkfield/internal/app/check"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// Kind is what an answer is.
type Kind string

const (
	Routine Kind = "routine"
	Drive   Kind = "course" // by hand
	Check   Kind = "check"  // a check file
)

// Lesson is one that was read whole. It is never changed. Texts are Markdown.
type Lesson struct {
	Name string // of its folder
	Home string // the folder, as errors name it
	Hash string // of all that decides what passes; see hash
	Ours bool   // it comes with the program, and is opened by its name

	Title   string   `toml:"title" need:"'Volts and time'"`
	Learn   string   `toml:"learn" need:"'What volts do'"` // one sentence
	Minutes int      `toml:"minutes" need:"8" min:"1" max:"10"`
	After   []string `toml:"after"` // names of lessons that come before
	Kind    Kind     `toml:"kind" default:"routine" words:"routine, course, check"`
	Seed    uint64   `toml:"seed" default:"1"` // of the run that is shown
	Nominal bool     `toml:"nominal"`
	Stars   []string `toml:"stars"` // cases that are not needed to pass
	Steps   []Step   `toml:"steps" need:"[{ picture = 'end' }]"`
	Hints   []Hint   `toml:"hints"`
	Course  *Course  `toml:"course"` // of a Drive
	Judged  *Judged  `toml:"judged"` // of a Check

	Opening string    // before the first step
	Further []Section // after the last: where it comes from, on the real robot

	files   folder
	subject check.Subject  // as the check file has it
	setup   rehearse.Setup // without an answer
}

// MostStars is how many stars the lesson has: one for passing it, and its own.
func (l *Lesson) MostStars() int { return 1 + len(l.Stars) }

// Section is a heading and what stands under it.
type Section struct{ Title, Text string }

// Step is a part of a lesson that can be done.
type Step struct {
	Section
	Curve   []string            `toml:"curve"`   // names of signals
	Picture string              `toml:"picture"` // "2.5 s", "end"; "": none
	Done    *check.Expectations `toml:"done"`    // of the run shown; nil: done with the next step
}

// PictureAt is the time of the step's picture in a run that ends then, s.
func (s *Step) PictureAt(end float64) float64 {
	if t, _, err := units.Parse("s", s.Picture); err == nil {
		return min(t, end)
	}
	return end
}

// Hint is opened by the learner after so many tries, one after the other.
type Hint struct {
	Section
	After   int    `toml:"after" need:"2" min:"0" max:"100"`
	Wrong   string `toml:"wrong" need:"'wrong_1.lua'"` // an answer with the mistake that the hint mends
	Fails   string `toml:"fails" need:"'stops on the mark'"`
	Missing string `toml:"missing"` // key of the expectation of that case
}

// Course is what a drive by hand is measured by.
type Course struct {
	Gates  []Gate              `toml:"gates"` // crossed in this order
	Finish *check.Expectations `toml:"finish"`
	Touch  float64             `toml:"touch" unit:"s" min:"0 s" max:"60 s" default:"2 s"` // added for each touch
	Medals Medals              `toml:"medals" need:"{ clay = '30 s', chalk = '20 s', quartz = '14 s' }"`
}

// Gate is a line that the robot's middle crosses.
type Gate struct {
	From geom.Vec `toml:"from" unit:"m" need:"['1.2 m', '0 m']"`
	To   geom.Vec `toml:"to" unit:"m" need:"['1.2 m', '600 mm']"`
	Way  Way      `toml:"way" default:"either" words:"either, to the left"`
}

// Way is how a gate is crossed, looking from its first end to the other.
type Way string

const (
	Either Way = "either"
	Left   Way = "to the left" // from the right side to the left
)

// Medals are the times at which they are earned, s.
type Medals struct {
	Clay   float64 `toml:"clay" unit:"s" need:"'30 s'" min:"0.1 s" max:"3600 s"`
	Chalk  float64 `toml:"chalk" unit:"s" need:"'20 s'" min:"0.1 s" max:"3600 s"`
	Quartz float64 `toml:"quartz" unit:"s" need:"'14 s'" min:"0.1 s" max:"3600 s"`
}

// Judged are the routines that a learner's check is tried on.
type Judged struct {
	Holds      string   `toml:"holds" need:"'good.lua'"`
	FallsShort []string `toml:"falls_short" need:"['spoilt_1.lua']"`
}
