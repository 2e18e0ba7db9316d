package lesson

import (
	"context"
	"fmt"
	"slices"

	"chalkfield/internal/app/check"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Judging is how answers are judged.
type Judging struct {
	Workers  int                // cores; 0: all
	In       units.System       // of what is told
	Single   bool               // only cases of one rehearsal: leaves out what takes long
	Progress func(done, of int) // of rehearsals; may be nil
}

// Marks are what an answer came to.
type Marks struct {
	List   []Mark
	Passed bool
	Stars  int // one for passing, and those of the lesson
}

// Mark is one expectation of a case.
type Mark struct {
	Case     string  `json:"case"`
	Key      string  `json:"key"`  // of the check format
	Star     bool    `json:"star"` // not needed to pass
	Expected string  `json:"expected"`
	Held     bool    `json:"held"`
	Happened string  `json:"happened,omitempty"` // where it does not hold
	T        float64 `json:"t,omitempty"`        // s
	File     string  `json:"file,omitempty"`     // and line, where it showed; "": nowhere
	Line     int     `json:"line,omitempty"`
}

// Judge holds an answer against the lesson's marks. An error is the learner's interrupt, or says what in the answer
// cannot be judged.
func (l *Lesson) Judge(ctx context.Context, o Judging, a Answer) (*Marks, error) {
	judged, err := l.judged(ctx, o, a)
	if err != nil {
		return nil, err
	}
	return l.marks(judged)
}

// marks are what judged cases come to.
func (l *Lesson) marks(judged []check.Judged) (*Marks, error) {
	m := &Marks{Passed: true}
	stars := 0
	for i := range judged {
		c := &judged[i]
		if c.State == check.Wrong {
			return nil, fmt.Errorf("%s", c.Error)
		}
		star := slices.Contains(l.Stars, c.Case)
		m.List = append(m.List, marksOf(c, star)...)
		switch {
		case star && c.State == check.Held:
			stars++
		case !star && c.State != check.Held:
			m.Passed = false
		}
	}
	if m.Passed {
		m.Stars = 1 + stars
	}
	return m, nil
}

// judged are the lesson's cases, judged.
func (l *Lesson) judged(ctx context.Context, o Judging, a Answer) ([]check.Judged, error) {
	switch l.Kind {
	case Check:
		return l.judgeCheck(ctx, o, a)
	case Drive:
		r, d, err := l.Show(ctx, a)
		if err != nil {
			return nil, err
		}
		return l.driven(r, *d, o.In)
	}
	f, err := check.Parse(l.files.path(passFile), []byte(l.files.files[passFile]))
	if err != nil {
		return nil, err
	}
	return l.run(ctx, o, f, a)
}

// run judges a check file's cases.
func (l *Lesson) run(ctx context.Context, o Judging, f *check.File, a Answer) ([]check.Judged, error) {
	if o.Single {
		f.Cases = slices.DeleteFunc(f.Cases, func(c check.Case) bool { return c.Trials > 0 })
	}
	if o.Workers == 0 {
		o.Workers = pool.Cores()
	}
	out, err := check.Run(ctx, []*check.File{f}, check.Options{
		Rehearse: rehearse.Run, Workers: o.Workers, In: o.In, Progress: o.Progress,
		Load: func(check.Subject) (rehearse.Setup, string, error) { return l.Setup(a), "", nil },
	})
	if err != nil {
		return nil, err
	}
	return out.Cases, nil
}

// marksOf are the marks of a case: one for each of its expectations; of trials one for all.
func marksOf(c *check.Judged, star bool) []Mark {
	mark := Mark{Case: c.Case, Star: star, Held: c.State == check.Held}
	if c.Rehearsals > 1 {
		mark.Key, mark.Expected = check.Share, Say("mark_tries", c.Needed, c.Rehearsals)
		for _, s := range c.Shortfalls {
			mark.Happened, mark.T, mark.File, mark.Line = Say("mark_tries_held", c.HeldBy, c.Rehearsals), s.T, s.File, s.Line
			if c.Missed.Text != "" {
				mark.Happened = Say("mark_tries_missed", c.HeldBy, c.Rehearsals, c.Missed.Text)
			}
		}
		return []Mark{mark}
	}
	var list []Mark
	for _, m := range c.Marks {
		one := mark
		one.Key, one.Expected, one.Held = m.Key, m.Text, m.Short == nil
		if s := m.Short; s != nil {
			one.Happened, one.T, one.File, one.Line = s.Happened, s.T, s.File, s.Line
		}
		if m.Key != check.NoError || !one.Held { // to run without an error goes without saying
			list = append(list, one)
		}
	}
	return list
}

// judgeCheck tries a learner's check on the lesson's routines: a case for each.
func (l *Lesson) judgeCheck(ctx context.Context, o Judging, a Answer) (list []check.Judged, err error) {
	for _, name := range append([]string{l.Judged.Holds}, l.Judged.FallsShort...) {
		f, err := check.Parse(a.Name, []byte(a.Check))
		if err == nil {
			err = f.Faults()
		}
		if err != nil {
			return nil, err
		}
		if a.Routine, err = l.files.routine(name); err != nil {
			return nil, err
		}
		cases, err := l.run(ctx, o, f, a)
		if err != nil {
			return nil, err
		}
		one, err := l.asWanted(name, cases)
		if err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	return list, nil
}

// asWanted is whether a learner's check says of a routine what is true of it.
func (l *Lesson) asWanted(name string, cases []check.Judged) (check.Judged, error) {
	short := 0
	var first *check.Shortfall
	for _, c := range cases {
		if c.State == check.Wrong {
			return check.Judged{}, fmt.Errorf("%s", c.Error)
		}
		if c.State == check.Short {
			if short++; first == nil {
				first = &c.Shortfalls[0]
			}
		}
	}
	one := check.Judged{Case: name, State: check.Held, Rehearsals: 1}
	mark := check.Mark{Wish: check.Wish{Key: "holds", Text: Say("check_holds", name)}}
	fall := check.Shortfall{Expected: mark.Text}
	if name != l.Judged.Holds {
		mark.Key, mark.Text = "falls_short", Say("check_falls_short", name)
		if fall.Happened = Say("check_all_held"); short == 0 {
			mark.Short = &fall
		}
	} else if short > 0 {
		fall = *first
		fall.Happened = Say("check_too_strict", first.Expected, first.Happened)
		mark.Short = &fall
	}
	if one.Marks = []check.Mark{mark}; mark.Short != nil {
		one.State, one.Shortfalls = check.Short, []check.Shortfall{*mark.Short}
	}
	return one, nil
}

// StepsDone says of each step whether the run that is shown has done it; passed says whether the answer to it passes.
func (l *Lesson) StepsDone(r *record.Record, passed bool) []bool {
	done := make([]bool, len(l.Steps))
	next := passed
	for i := len(done) - 1; i >= 0; i-- {
		if expect := l.Steps[i].Done; expect != nil {
			next = len(expect.Held(r, l.setup.Field.Floor, units.Metric)) == 0
		}
		done[i] = next
	}
	return done
}
