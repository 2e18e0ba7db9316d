package viewmodel

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/app/gains"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// turnedGains are gains of the robot's loops as they are turned in the window, and what they do.
type turnedGains struct {
	of    *robot.Robot
	bench *gains.Bench
	loops []gains.Loop
	now   []gains.Values // of each loop
	loop  int            // that is shown
	in    int            // of gains.Cases
	shown *GainSteps     // nil: to be rehearsed anew

	tuned    map[int]*tunedGains // of each loop of which they were looked for
	tuning   asked
	margined asked
}

// tunedGains are what a search found.
type tunedGains struct {
	values gains.Values
	found  bool
}

// asked is a question about gains that is worked on in the background, and what it comes to. Another takes its place.
type asked struct {
	stop   context.CancelFunc
	answer chan func(*Model)
}

// ask begins to work on a question.
func (d *Model) ask(a *asked, work func(context.Context) func(*Model)) {
	a.forget()
	ctx, stop := context.WithCancel(context.Background())
	answer, tell := make(chan func(*Model), 1), d.job.tell
	a.stop, a.answer = stop, answer
	go func() {
		var answers func(*Model)
		r := guarded(ctx, func(ctx context.Context, _ func(float64)) result {
			answers = work(ctx)
			return result{}
		}, nil)
		if r.err != nil {
			answers = func(d *Model) { d.Warn(r.err.Error()) }
		}
		answer <- answers
		if ctx.Err() == nil {
			tell()
		}
	}()
}

// forget ends the work.
func (a *asked) forget() {
	if a.stop != nil {
		a.stop()
	}
	*a = asked{}
}

// poll takes the answer if it is there.
func (a *asked) poll(d *Model) bool {
	select {
	case answers := <-a.answer:
		a.forget()
		answers(d)
		return true
	default:
		return false
	}
}

// pollGains takes what the background has found of gains.
func (d *Model) pollGains() bool {
	news := d.gains.tuning.poll(d)
	return d.gains.margined.poll(d) || news
}

// GainSteps are a loop's steps: by the gains in the file, and by those that are turned.
type GainSteps struct {
	Loop      gains.Loop
	Unit      string // SI
	File, Now *gains.Curve
	Was, Is   gains.Figures // read off them
	Near      *gains.Tried  // how near those that are turned are to ringing; nil: not known yet
}

// gainsNow are those of the robot; an error if there is none. Another robot has its own.
func (d *Model) gainsNow() (*turnedGains, error) {
	r := d.Machine()
	if r == nil {
		return nil, errors.New("there is no robot: O opens one")
	}
	if g := &d.gains; g.of != r {
		bench, err := gains.NewBench(r)
		if err != nil {
			return nil, err
		}
		g.tuning.forget()
		g.margined.forget()
		now := turnedGains{of: r, bench: bench, loops: gains.Loops(r), in: g.in, tuned: map[int]*tunedGains{}}
		now.loop = min(g.loop, len(now.loops)-1)
		for _, l := range now.loops {
			now.now = append(now.now, l.InFile(r))
		}
		d.gains = now
	}
	return &d.gains, nil
}

// GainLoops names the robot's loops, and the one that is shown; none without a robot.
func (d *Model) GainLoops() (names []string, shown string) {
	g, err := d.gainsNow()
	if err != nil {
		return nil, ""
	}
	for _, l := range g.loops {
		names = append(names, l.Name)
	}
	return names, names[g.loop]
}

// ShowGains shows the loop of a name.
func (d *Model) ShowGains(loop string) {
	names, _ := d.GainLoops()
	if i := slices.Index(names, loop); i >= 0 {
		d.gains.loop, d.gains.shown = i, nil
	}
}

// GainCase is the case in which steps are rehearsed; NextGainCase takes the next of gains.Cases, or the one before.
func (d *Model) GainCase() string { return gains.Cases[d.gains.in].Name }

func (d *Model) NextGainCase(way float64) {
	by := 1
	if way < 0 {
		by = len(gains.Cases) - 1
	}
	d.gains.in, d.gains.shown = (d.gains.in+by)%len(gains.Cases), nil
}

// TurnedGain is one gain of the loop shown.
type TurnedGain struct {
	Word      string
	Now, File string // as the robot file has it
	Turned    bool
}

// Gains are those of the loop shown.
func (d *Model) Gains() (list []TurnedGain) {
	g, err := d.gainsNow()
	if err != nil {
		return nil
	}
	l := g.loops[g.loop]
	file := l.InFile(g.of)
	for _, one := range l.Gains(g.of) {
		like := one.Written(g.of)
		t := TurnedGain{Word: one.Word, Now: one.Shown(like, g.now[g.loop]), File: one.Shown(like, file)}
		t.Turned = t.Now != t.File
		list = append(list, t)
	}
	return list
}

// TurnGain makes a gain of the loop shown larger or smaller by some steps. From 0 it begins small.
func (d *Model) TurnGain(word string, steps float64) {
	g, err := d.gainsNow()
	if err != nil {
		return
	}
	v := g.now[g.loop]
	for _, one := range g.loops[g.loop].Gains(g.of) {
		if one.Word == word {
			g.take(one.With(v, one.Turned(v, steps)))
		}
	}
}

// ResetGain puts a gain back to what the file has.
func (d *Model) ResetGain(word string) {
	g, err := d.gainsNow()
	if err != nil {
		return
	}
	file := g.loops[g.loop].InFile(g.of)
	for _, one := range g.loops[g.loop].Gains(g.of) {
		if one.Word == word {
			g.take(one.With(g.now[g.loop], one.Value(file)))
		}
	}
}

func (g *turnedGains) take(v gains.Values) { g.now[g.loop], g.shown = v, nil }

// TakeGains takes a set of gains for the loop shown: those in the file, computed, by a relay, or tuned, which are
// looked for in the background.
func (d *Model) TakeGains(set gains.Set) {
	g, err := d.gainsNow()
	if err != nil {
		return
	}
	l := g.loops[g.loop]
	switch set {
	case gains.Computed:
		g.take(l.Computed(g.of))
	case gains.ByTable:
		v, swings, err := g.bench.Table(context.Background(), l)
		switch {
		case err != nil:
			d.Warn(err.Error() + ".")
		case !swings:
			d.Say("A relay does not make it swing: the table has no gains for it.")
		default:
			g.take(v)
		}
	case gains.Tuned:
		d.takeTuned(g)
	default:
		g.take(l.InFile(g.of))
	}
}

// takeTuned takes the tuned gains of the loop shown, or has them looked for.
func (d *Model) takeTuned(g *turnedGains) {
	i, l, bench := g.loop, g.loops[g.loop], g.bench
	switch t := g.tuned[i]; {
	case t == nil && g.tuning.answer != nil:
		d.Say("Still looking for tuned gains.")
	case t == nil:
		d.Say("Looking for the best gains of " + l.Name + ": some seconds.")
		d.ask(&g.tuning, func(ctx context.Context) func(*Model) {
			v, found, err := bench.Tuned(ctx, l, l.Computed(bench.Robot))
			return func(d *Model) { d.tunedAre(i, &tunedGains{v, found}, err) }
		})
	case !t.found:
		d.Say("None of the gains that were tried settles: there are no tuned ones.")
	default:
		g.take(t.values)
		d.Say("Took the tuned gains of " + l.Name + ".")
	}
}

// tunedAre keeps what was found for a loop, and takes it if that is the one shown.
func (d *Model) tunedAre(loop int, t *tunedGains, err error) {
	if err != nil {
		d.Warn(err.Error() + ".")
		return
	}
	g := &d.gains
	if g.tuned[loop] = t; g.loop == loop {
		d.takeTuned(g)
	}
}

// askMargins has the margins of the gains that are shown looked for, unless they ring as they are.
func (d *Model) askMargins(g *turnedGains, s *GainSteps) {
	if s.Is.Swing != nil {
		return
	}
	l, v, bench := g.loops[g.loop], g.now[g.loop], g.bench
	d.ask(&g.margined, func(ctx context.Context) func(*Model) {
		near, err := bench.Margins(ctx, l, v)
		return func(*Model) {
			if err == nil {
				s.Near = near
			}
		}
	})
}

// GainSteps are the steps of the loop shown. They are rehearsed when something was turned, which takes some
// milliseconds.
func (d *Model) GainSteps() (*GainSteps, error) {
	g, err := d.gainsNow()
	switch {
	case err != nil:
		return nil, err
	case g.shown != nil:
		return g.shown, nil
	}
	l, in := g.loops[g.loop], gains.Cases[g.in]
	s := &GainSteps{Loop: l, Unit: l.Unit(g.of)}
	for _, one := range []struct {
		v     gains.Values
		curve **gains.Curve
		read  *gains.Figures
	}{{l.InFile(g.of), &s.File, &s.Was}, {g.now[g.loop], &s.Now, &s.Is}} {
		if *one.curve, err = g.bench.Step(context.Background(), l, one.v, in); err != nil {
			return nil, err
		}
		*one.read = gains.Of(*one.curve)
	}
	g.shown = s
	d.askMargins(g, s)
	return s, nil
}

// WriteGains writes the gains that are turned, of all loops, into the robot's file. Undo takes it back.
func (d *Model) WriteGains() error {
	g, err := d.gainsNow()
	if err != nil {
		return err
	}
	path := d.RobotFile()
	if path == "" {
		return errors.New("the robot is no file of yours: `chalkfield new` writes a project with one")
	}
	data, err := atomicfile.Read(path, atomicfile.TOML)
	if err != nil {
		return err
	}
	before, text := string(data), data
	var names []string
	for i, l := range g.loops {
		var edits []gains.Edit
		if text, edits, err = l.Into(text, g.of, g.now[i]); err != nil {
			return err
		}
		if len(edits) > 0 {
			names = append(names, l.Name)
		}
	}
	if names == nil {
		return errors.New("no gain is turned")
	}
	e := changeOf(path, before, string(text))
	if err := e.Write(); err != nil {
		return err
	}
	d.undo, d.redo = append(d.undo, step{d.arranged, &e}), nil
	d.wrote = fmt.Sprintf("Wrote the gains of %s into %s. Undo with Ctrl+Z.", strings.Join(names, " and "), e.Name)
	d.Reload()
	return nil
}

// changeOf is the edit that makes a text into another: the lines between those that stay at the beginning and the end.
func changeOf(path, before, after string) Edit {
	from, same := beginningOf(before, after), 0
	for same < min(len(before), len(after))-from && before[len(before)-1-same] == after[len(after)-1-same] {
		same++
	}
	from = strings.LastIndexByte(before[:from], '\n') + 1
	to := len(before) - same
	if i := strings.IndexByte(before[to:], '\n'); i >= 0 {
		to += i
	} else {
		to = len(before)
	}
	return Edit{Name: filepath.Base(path), Old: before[from:to], New: after[from : len(after)-(len(before)-to)],
		path: path, text: before, from: from}
}

// beginningOf is how many bytes two texts have in common at the beginning.
func beginningOf(a, b string) int {
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n
}

// Axes are round limits for a step's picture, in SI units and s.
func (s *GainSteps) Axes() (most, seconds float64) {
	seconds = gains.Shown(&s.Was, &s.Is)
	for _, c := range []*gains.Curve{s.File, s.Now} {
		for i, x := range c.Is {
			if c.T[i] <= seconds {
				most = max(most, x, c.Wanted[i])
			}
		}
	}
	return geom.Clamp(most, 0, 2.2*s.Now.Wanted[0]), seconds
}
