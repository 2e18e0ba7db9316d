package viewmodel

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync/atomic"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/units"
)

// Ask is what a study is to be.
type Ask struct {
	Kind   results.Kind
	Count  int      // rehearsals, pairs, or rehearsals at each value
	Need   *float64 // points from which one is good; nil: those of the plan
	Before int      // of a comparison: which of the Versions
	Axis   string   // of a sweep, as `chalkfield sweep --x` has it
}

// Study is many rehearsals of what is shown, under way or done.
type Study struct {
	Ask
	Seen   Seen
	Ended  bool
	of     *Run   // the routine's first run
	field  string // SHA-256 of the field
	text   string // what commanded the robot, and what was tried of it
	notes  []string
	stop   context.CancelFunc
	latest atomic.Pointer[Seen] // the newest, from the work
	units  atomic.Int64         // the units.System in which it is told
	have   atomic.Int64         // rehearsals done
	due    atomic.Int64         // 0: it is being made ready
	done   chan error
}

// Seen is what there is of a study at a moment. Nothing of it changes any more.
type Seen struct {
	Made *study.Study     // nil: it is being made ready
	File *results.File    // nil likewise
	Told *report.Document // nil: too little is done
}

// Study is the last one that was begun; nil: none, or it was put away.
func (d *Model) Study() *Study { return d.study }

// Begin begins a study of what is shown, with all that is chosen, arranged and tried.
func (d *Model) Begin(a Ask) {
	if d.Driving() {
		d.Say("Not while somebody drives.")
		return
	}
	if d.Setup.Field == nil || !d.hasRoutine() {
		d.Warn("There is no routine to rehearse: O opens one.")
		return
	}
	prepare, err := d.prepare(a)
	if err != nil {
		d.Warn("No study: " + err.Error() + ".")
		return
	}
	d.StopStudy()
	ctx, stop := context.WithCancel(context.Background())
	d.study = &Study{Ask: a, stop: stop, done: make(chan error, 1), of: d.first,
		field: d.Setup.Field.SHA256, text: d.commands()}
	if d.Arranged() {
		d.study.notes = []string{"With what is arranged or turned in the window, and not in the files"}
	}
	d.Bundle = true
	d.Say(d.study.begun())
	go d.study.work(ctx, prepare, d.job.tell)
}

// begun says what is under way.
func (s *Study) begun() string {
	words := map[results.Kind]string{results.Trials: "", results.Compare: " of each", results.Sweep: " at each value"}
	return fmt.Sprintf("%s%s under way: Esc gives them up, J chooses how many.",
		units.Counted(s.Count, "rehearsal"), words[s.Kind])
}

// commands tells what commands the robot from what did before: the routine's files, and what is tried of them.
func (d *Model) commands() string {
	text := ""
	if d.hasRoutine() {
		text = d.Setup.Entrants[0].Routine.SHA256
	}
	if d.trial != nil {
		text += fmt.Sprint(d.trial.edit.from, d.trial.edit.New)
	}
	return text
}

// preparing makes a study ready, which rehearses.
type preparing func(context.Context) (*study.Study, error)

// prepare says how the study that is asked for is made. What cannot be is refused at once.
func (d *Model) prepare(a Ask) (preparing, error) {
	now, trial := d.arranged.Apply(d.Setup), d.trial
	replay, name := d.replay, d.routineName()
	o := study.Options{Count: a.Count, Seed: d.Setup.Seed, Need: a.Need, Shard: results.Whole}
	present := func(called string) (study.Candidate, error) {
		setup, err := trial.with(now)
		return study.Candidate{Name: called, Replay: replay, Setup: setup}, err
	}
	switch a.Kind {
	case results.Compare:
		old, words, err := d.version(a.Before)
		if err != nil {
			return nil, err
		}
		return func(ctx context.Context) (*study.Study, error) {
			b, err := present(name + ", now")
			if err != nil {
				return nil, err
			}
			return study.Compare(ctx, rehearse.Run, study.Candidate{Name: name + ", " + words, Setup: old}, b, o)
		}, nil
	case results.Sweep:
		axis, err := study.ParseAxis(a.Axis)
		if err != nil {
			return nil, err
		}
		return func(ctx context.Context) (*study.Study, error) {
			c, err := present(name)
			if err != nil {
				return nil, err
			}
			if axis.Target == study.Param {
				c.Setup.Params = maps.Clone(c.Setup.Params)
				delete(c.Setup.Params, axis.Path)
			}
			in := study.Inputs{Robot: c.Setup.Entrants[0].Robot, Routine: c.Setup.Entrants[0].Routine, Field: c.Setup.Field,
				Params: c.Setup.Params}
			return study.Sweep(ctx, rehearse.Run, c, in, []study.Axis{axis}, now.Nominal, o)
		}, nil
	}
	return func(ctx context.Context) (*study.Study, error) {
		c, err := present(name)
		if err != nil {
			return nil, err
		}
		return study.Trials(ctx, rehearse.Run, c, o)
	}, nil
}

// routineName is what the person calls the routine.
func (d *Model) routineName() string {
	if d.name != "" {
		return d.name
	}
	return d.Text.called()
}

// firstTold is how many rehearsals it takes until a study under way tells of them; later it takes more.
const firstTold = 8

// work makes the study, on a goroutine of its own, and tells when there is more of it. One core is left to the window.
func (s *Study) work(ctx context.Context, prepare preparing, tell func()) {
	defer tell()
	defer func() { // a crash behind the window must not close it
		if trouble := recover(); trouble != nil {
			s.done <- OurFault(trouble)
		}
	}()
	made, err := prepare(ctx)
	if err != nil {
		s.done <- err
		return
	}
	journal, err := results.InMemory(made.Header)
	if err != nil {
		s.done <- err
		return
	}
	s.due.Store(int64(made.Header.Jobs()))
	told := 0
	err = made.Run(ctx, journal, max(pool.Cores()-1, 1), func(done int) {
		if have := int(s.have.Add(int64(done))); have-told >= told/4+firstTold {
			told = have
			s.see(made, journal)
			tell()
		}
	})
	s.see(made, journal)
	s.done <- err
}

// see puts down what there is by now.
func (s *Study) see(made *study.Study, journal *results.Journal) {
	seen := &Seen{Made: made, File: &results.File{Header: made.Header, Results: slices.Clone(journal.File().Results)}}
	s.told(seen)
	s.latest.Store(seen)
}

// told tells what was seen, if that is enough.
func (s *Study) told(seen *Seen) {
	if told, err := report.Study(units.System(s.units.Load()), seen.File); err == nil {
		told.Notes = append(slices.Clone(s.notes), told.Notes...)
		seen.Told = told
	}
}

// showIn tells it in another system.
func (s *Study) showIn(in units.System) {
	s.units.Store(int64(in))
	if s.Seen.Told != nil {
		s.told(&s.Seen)
	}
}

// Progress is how many of its rehearsals are done; due 0: it is being made ready.
func (s *Study) Progress() (have, due int) {
	return int(s.have.Load()), int(s.due.Load())
}

// pollStudy takes what the study under way has by now. It reports whether that is news.
func (d *Model) pollStudy() bool {
	s := d.study
	if s == nil || s.Ended {
		return false
	}
	var err error
	select {
	case err = <-s.done:
		s.Ended = true
	default:
	}
	news := s.Ended
	if seen := s.latest.Load(); seen != nil && seen.File != s.Seen.File {
		s.Seen, news = *seen, true
	}
	if s.Ended {
		d.tellStudy(err)
	}
	return news
}

// tellStudy says how the study ended.
func (d *Model) tellStudy(err error) {
	s := d.study
	s.stop()
	switch {
	case err != nil && !errors.Is(err, context.Canceled):
		d.Warn("No study: " + FaultOf(err).Text)
	case s.Seen.Told == nil:
		d.Say("The study was given up.")
	case err != nil:
		have, due := s.Progress()
		d.Say(fmt.Sprintf("Given up after %d of %s; page Study tells of these.", have, units.Counted(due, "rehearsal")))
	default:
		d.Say(s.outcome() + " Page Study tells why; a click on a row of it or on a path, or Ctrl+R, shows that seed.")
	}
}

// outcome is the study in a sentence.
func (s *Study) outcome() string {
	h := &s.Seen.File.Header
	for _, section := range s.Seen.Told.Sections {
		for _, line := range section.Lines {
			if h.Kind != results.Trials || strings.HasPrefix(line, "Good") {
				return fmt.Sprintf("%s: %s.", units.Counted(h.Jobs(), "rehearsal"), strings.TrimSuffix(line, "."))
			}
		}
	}
	return units.Counted(h.Jobs(), "rehearsal") + " done."
}

// StudyRuns reports whether a study is under way.
func (d *Model) StudyRuns() bool { return d.study != nil && !d.study.Ended }

// StopStudy gives up the study under way; what is done of it stays. It reports whether there was one.
func (d *Model) StopStudy() bool {
	if !d.StudyRuns() {
		return false
	}
	d.study.stop()
	return true
}

// DropStudy puts the study away, with its paths.
func (d *Model) DropStudy() {
	d.StopStudy()
	d.study = nil
}
