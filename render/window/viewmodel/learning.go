package viewmodel

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"chalkfield/internal/app/lesson"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/scripting"
)

// LessonEntry is a lesson in the list of all.
type LessonEntry struct {
	*lesson.Lesson
	lesson.Reached
	Number int
	Next   bool // it comes next
}

// learning is what the window knows of lessons: which there are, which is open, and how the answer to it was judged.
type learning struct {
	school *School // nil: this window has no lessons
	open   *lesson.Lesson
	page   *LessonPage
	work   chan judgement // of runs that are being judged; only the latest counts
	number int            // of that
	stop   context.CancelFunc

	driven lesson.Driven // of a course: the last drive
	drove  bool          // there was one
	best   bool          // it was the best
}

// School is where lessons come from, and where answers and progress lie.
type School struct {
	Lessons  []*lesson.Lesson
	Desk     lesson.Desk // where answers lie
	Progress *lesson.Progress
}

// judgement is what a run was found to have done.
type judgement struct {
	number int
	steps  []bool
	answer lesson.Answer
	marks  *lesson.Marks
	err    error
}

// Learn gives the window lessons.
func (d *Model) Learn(s *School) { d.learning = learning{school: s, work: make(chan judgement, 4)} }

// Learns reports whether this window has lessons.
func (d *Model) Learns() bool { return d.learning.school != nil }

// Lessons is the list of all.
func (d *Model) Lessons() (list []LessonEntry) {
	s := d.learning.school
	next := s.Progress.Next(s.Lessons)
	for i, l := range s.Lessons {
		p := s.Progress.Of(l)
		list = append(list, LessonEntry{Lesson: l, Reached: p, Number: s.number(i), Next: l == next})
	}
	return list
}

// number is a lesson's number, from 1: courses have their own.
func (s *School) number(i int) (n int) {
	for _, l := range s.Lessons[:i+1] {
		if (l.Kind == lesson.Drive) == (s.Lessons[i].Kind == lesson.Drive) {
			n++
		}
	}
	return n
}

// NextUp is the name of the lesson that comes next; "": all are passed.
func (d *Model) NextUp() string {
	s := d.learning.school
	if next := s.Progress.Next(s.Lessons); next != nil {
		return next.Name
	}
	return ""
}

// Lesson is the one that is open; nil: none is.
func (d *Model) Lesson() *LessonPage { return d.learning.page }

// lessonNamed is a lesson by its name; -1: there is none.
func (s *School) at(name string) int {
	for i, l := range s.Lessons {
		if l.Name == name {
			return i
		}
	}
	return -1
}

// OpenLesson opens a lesson: what the learner wrote for it before, or what they begin with.
func (d *Model) OpenLesson(name string) (Files, error) {
	s := d.learning.school
	i := s.at(name)
	if i < 0 {
		return Files{}, fmt.Errorf("there is no lesson %s", name)
	}
	l := s.Lessons[i]
	if _, err := s.Desk.Begin(l); err != nil {
		return Files{}, err
	}
	d.stopJudging()
	d.learning.open, d.learning.drove = l, false
	d.learning.page = &LessonPage{Lesson: l, Number: s.number(i), Ticked: make([]bool, len(l.Steps))}
	if i+1 < len(s.Lessons) {
		d.learning.page.Next = s.Lessons[i+1].Title
	}
	d.showBelief(l)
	d.tellProgress()
	d.SeeStep(d.learning.page.Current())
	return Files{Routine: s.Desk.Routine(l)}, nil
}

// showBelief shows what the robot believes where the lesson is about that.
func (d *Model) showBelief(l *lesson.Lesson) {
	told := strings.Contains(l.Opening, "belie")
	for _, step := range l.Steps {
		told = told || strings.Contains(step.Text, "belie")
	}
	if d.Overlays &^= scene.Belief; told {
		d.Overlays |= scene.Belief
	}
}

// answers reports whether files are the answer to the lesson that is open.
func (d *Model) answers(files Files) bool {
	l := d.learning.open
	return l != nil && files.Routine == d.learning.school.Desk.Routine(l)
}

// loaded reads what stands behind a rehearsal: the lesson and the answer to it, or what the loader finds.
func (d *Model) loaded(files Files) (Loaded, error) {
	switch {
	case d.Learns() && files == Files{}: // the loader would take the demo
		return Loaded{}, errors.New(lesson.Say("panel_choose"))
	case !d.answers(files):
		return d.load(files)
	}
	l, desk, path := d.learning.open, d.learning.school.Desk, files.Routine
	loaded := Loaded{Watch: []string{path, desk.Answer(l)}, Name: filepath.Base(path), Replay: path}
	modules, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*.lua"))
	if err == nil {
		loaded.Watch = append(loaded.Watch, modules...)
	}
	text, err := atomicfile.Read(path, atomicfile.Routine)
	loaded.Source = SourceOf(filepath.Base(path), path, string(text))
	if err != nil {
		return loaded, err
	}
	routine, err := scripting.Load(path)
	if err != nil {
		return loaded, err
	}
	loaded.Setup = l.Setup(lesson.Answer{Routine: routine})
	return loaded, nil
}

// readCheck adds the learner's check to the files of the routine, where the answer is one.
func (d *Model) readCheck() {
	l := d.learning.open
	if !d.answers(d.Files) || l.Kind != lesson.Check {
		return
	}
	path := d.learning.school.Desk.Answer(l)
	text, err := atomicfile.Read(path, atomicfile.TOML)
	if err != nil {
		return // the judge tells of it
	}
	source := SourceOf(filepath.Base(path), path, string(text))
	source.Module = source.Name
	d.modules = append(d.modules, source)
	if d.module == "" {
		d.module = source.Module
	}
}

// judgeDelay is how long a turned number rests before all that is expected of it is rehearsed.
const judgeDelay = 200 * time.Millisecond

// judge judges a run in the background, if it is one of the lesson's answer.
func (d *Model) judge(run *Run) {
	l := d.learning.open
	if l == nil || l.Kind == lesson.Drive || !d.answers(d.Files) || len(run.Setup.Entrants) == 0 {
		return
	}
	d.stopJudging()
	ctx, stop := context.WithCancel(context.Background())
	d.learning.stop = stop
	d.learning.number++
	number, wait := d.learning.number, time.Duration(0)
	if d.trial != nil {
		wait = judgeDelay
	}
	first := run.Setup.Entrants[0]
	answer := lesson.Answer{Routine: first.Routine, Pad: first.Pad, Name: d.learning.school.Desk.Answer(l)}
	if l.Kind == lesson.Check {
		answer.Check = d.file(filepath.Base(answer.Name)).Text
		if d.trial != nil && d.trial.source.Path == answer.Name {
			answer.Check = d.trial.source.Text
		}
	}
	o := lesson.Judging{Workers: max(pool.Cores()-1, 1), In: d.Units}
	d.learning.page.Judging = true
	d.turnedPage()
	work, tell := d.learning.work, d.job.tell
	go func() {
		j := guardedJudgement(func() judgement { return judged(ctx, l, o, answer, run.Record, wait) })
		j.number = number
		select {
		case work <- j:
			tell()
		case <-ctx.Done():
		}
	}()
}

// judged judges an answer, after a rest.
func judged(ctx context.Context, l *lesson.Lesson, o lesson.Judging, a lesson.Answer, r *record.Record,
	wait time.Duration) judgement {
	select {
	case <-time.After(wait):
	case <-ctx.Done():
	}
	marks, err := l.Judge(ctx, o, a)
	if err != nil {
		return judgement{err: err}
	}
	return judgement{answer: a, marks: marks, steps: l.StepsDone(r, marks.Passed)}
}

// guardedJudgement turns a panic into an error: a crash behind the window must not close it.
func guardedJudgement(work func() judgement) (j judgement) {
	defer func() {
		if trouble := recover(); trouble != nil {
			j = judgement{err: OurFault(trouble)}
		}
	}()
	return work()
}

func (d *Model) stopJudging() {
	if d.learning.stop != nil {
		d.learning.stop()
	}
}

// turnedPage notes that the page shows something else.
func (d *Model) turnedPage() { d.learning.page.Version++ }

// pollLesson takes what was judged. It reports whether that is news.
func (d *Model) pollLesson() (news bool) {
	for {
		select {
		case j := <-d.learning.work:
			if j.number == d.learning.number && d.learning.page != nil {
				d.takeJudgement(j)
				news = true
			}
		default:
			return news
		}
	}
}

// takeJudgement puts what was judged on the page, and keeps it where the answer is one that is written.
func (d *Model) takeJudgement(j judgement) {
	p := d.learning.page
	d.turnedPage()
	p.Judging, p.Judged, p.Fault = false, j.marks != nil, ""
	if j.err != nil {
		p.Fault, p.Passed = FaultOf(j.err).Text, false
		if d.trial == nil {
			d.Warn(FaultOf(j.err).Short() + ".")
		}
		return
	}
	p.Marks = j.marks.List
	if d.trial != nil {
		return
	}
	d.tick(j.steps, j.marks.Passed)
	d.tellPassed(!p.Passed && j.marks.Passed, j.marks.Stars)
	p.Passed, p.Reached = j.marks.Passed, j.marks.Stars
	d.noteKept(d.learning.school.Progress.Judged(p.Lesson, j.answer, j.marks, p.Ticked))
}

// tick ticks off the steps that a run has done of those that were opened before it; a pass ticks off all.
func (d *Model) tick(done []bool, passed bool) {
	p := d.learning.page
	for i := range p.Ticked {
		expects := p.Steps[i].Done != nil
		p.Ticked[i] = p.Ticked[i] || passed || expects && done[i] && i < p.Seen
	}
}

// SeeStep notes that a step was opened. Those before it that are only to be read are done then.
func (d *Model) SeeStep(step int) {
	p := d.learning.page
	for i := range min(step, len(p.Ticked)) {
		p.Ticked[i] = p.Ticked[i] || p.Steps[i].Done == nil
	}
	if step < len(p.Ticked) {
		p.Seen = max(p.Seen, step+1)
	}
	d.turnedPage()
}

// tellProgress puts what was reached before on the page.
func (d *Model) tellProgress() {
	p := d.learning.page
	r := d.learning.school.Progress.Of(p.Lesson)
	copy(p.Ticked, r.Steps)
	p.Opened = r.Opened
	if _, p.ToGo = p.Hint(r); r.Passed {
		p.ToGo = 0
	}
	p.Before = r
	d.turnedPage()
}

// noteKept says what could not be kept of what was reached, if anything.
func (d *Model) noteKept(err error) {
	if err != nil {
		d.Warn(capital(err.Error()) + ".")
	}
	d.tellProgress()
}

// NextLesson is the name of the one after that which is open; "": it is the last.
func (d *Model) NextLesson() string {
	s := d.learning.school
	if i := s.at(d.learning.open.Name); i+1 < len(s.Lessons) {
		return s.Lessons[i+1].Name
	}
	return ""
}

// OpenHint opens the next hint, where enough was tried.
func (d *Model) OpenHint() {
	if p := d.learning.page; p.HintsLeft() && p.ToGo == 0 {
		d.noteKept(d.learning.school.Progress.OpenHint(p.Lesson))
	}
}

// ResetLesson begins the lesson that is open anew, and says where what was written is kept.
func (d *Model) ResetLesson() error {
	p := d.learning.page
	kept, err := d.learning.school.Desk.Reset(p.Lesson)
	if err != nil {
		return err
	}
	clear(p.Ticked)
	p.Passed, p.Judged, p.Seen = false, false, 1
	d.noteKept(d.learning.school.Progress.Again(p.Lesson))
	if d.wrote = lesson.Say("panel_reset_fresh"); kept != "" {
		d.wrote = lesson.Say("panel_reset_done", filepath.ToSlash(kept))
	}
	return nil
}

// tellPassed says that the lesson is passed, when it has just been.
func (d *Model) tellPassed(now bool, stars int) {
	if !now {
		return
	}
	p, next := d.learning.page, lesson.Say("panel_last_one")
	if p.Next != "" {
		next = lesson.Say("panel_next_is", p.Next)
	}
	d.Say(lesson.Say("panel_passed_said", stars, p.MostStars(), next))
}
