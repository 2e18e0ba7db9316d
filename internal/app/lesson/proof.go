package lesson

import (
	"context"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/app/check"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
	"chalkfield/render/signals"
)

// Proof is one thing that shows that a lesson teaches what it says.
type Proof struct {
	Name   string
	answer string // file
	Single bool   // it needs no trials
	holds  func(*proving) error
}

// Proofs are those of the lesson: its solution passes and does all steps, the start does not pass, and each wrong
// answer falls short for its reason.
func (l *Lesson) Proofs() []Proof {
	list := []Proof{{Say("proof_solution", l.Solution()), l.Solution(), l.Kind != Check,
		(*proving).solution}}
	if l.Kind != Drive { // to stand still is no drive
		list = append(list, Proof{Say("proof_start", l.Start()), l.Start(), true, (*proving).start})
	}
	for i := range l.Hints {
		h := &l.Hints[i]
		list = append(list, Proof{Say("proof_wrong", h.Wrong, h.Fails), h.Wrong, l.single(h.Fails),
			func(p *proving) error { return p.wrong(h) }})
	}
	return list
}

// single reports whether a case is one rehearsal.
func (l *Lesson) single(name string) bool {
	f, err := check.Parse(passFile, []byte(l.files.files[passFile]))
	return err != nil || l.Kind == Check ||
		slices.ContainsFunc(f.Cases, func(c check.Case) bool { return c.Name == name && c.Trials == 0 })
}

// proving is a proof under way.
type proving struct {
	*Lesson
	ctx    context.Context
	o      Judging
	answer Answer
	cases  []check.Judged
	out    check.Judged
}

// Prove shows whether a proof holds.
func (l *Lesson) Prove(ctx context.Context, o Judging, of Proof) (check.Judged, error) {
	p := &proving{Lesson: l, ctx: ctx, o: o, out: check.Judged{File: l.files.path(About), Case: of.Name, State: check.Held,
		Rehearsals: 1, HeldBy: 1,
		Open: l.Open(l.files.path(of.answer))}}
	var err error
	if p.answer, err = l.answer(of.answer); err == nil {
		p.cases, err = l.judged(ctx, o, p.answer)
	}
	for i := range p.cases {
		if c := &p.cases[i]; err == nil && c.State == check.Wrong {
			err = fmt.Errorf("%s", c.Error)
		}
	}
	if err == nil {
		err = of.holds(p)
	}
	if ctx.Err() != nil {
		return p.out, ctx.Err()
	}
	if err != nil {
		p.out.State, p.out.Error = check.Wrong, err.Error()
	}
	return p.out, nil
}

// fall notes what is not as it must be.
func (p *proving) fall(s check.Shortfall) {
	p.out.State, p.out.Shortfalls = check.Short, append(p.out.Shortfalls, s)
}

// solution must hold every case, and do every step in the run that is shown.
func (p *proving) solution() error {
	held := 0
	for _, c := range p.cases {
		for _, s := range c.Shortfalls {
			s.Expected = c.Case + ": " + s.Expected
			p.fall(s)
		}
		if c.State == check.Held {
			held++
		}
	}
	p.out.Facts = Say("proof_held", held, len(p.cases))
	shown, driven, err := p.Show(p.ctx, p.answer)
	if err != nil {
		return err
	}
	if driven != nil && driven.Medal != bestMedal {
		p.fall(check.Shortfall{Expected: Say("proof_medal", bestMedal, p.Course.Medals.Quartz), T: driven.Seconds,
			Happened: Say("proof_took", driven.Seconds)})
	}
	if err := p.meaning(shown); err != nil {
		return err
	}
	for i, s := range p.Steps {
		if s.Done == nil {
			continue
		}
		for _, short := range s.Done.Held(shown, p.setup.Field.Floor, p.o.In) {
			short.Expected = Say("proof_step", i+1, s.Title, short.Expected)
			p.fall(short)
		}
	}
	return nil
}

// meaning checks names that only a run tells: of signals, and of what expectations are about.
func (p *proving) meaning(shown *record.Record) error {
	at, err := tomlfile.Decode(p.files.path(About), []byte(p.files.files[About]), &Lesson{})
	if err != nil {
		return err
	}
	list := signals.Of(shown, 0, p.setup.Entrants[0].Robot)
	last := shown.Samples[len(shown.Samples)-1].T
	for i, s := range p.Steps {
		path := fmt.Sprintf("steps[%d]", i)
		for k, name := range s.Curve {
			if _, known := signals.Named(list, name); !known {
				at.Errorf(fmt.Sprintf("%s.curve[%d]", path, k), "%q is no signal of the run: %s", name,
					wording.Instead(name, signals.Names(list)))
			}
		}
		if t, _, err := units.Parse("s", s.Picture); err == nil && t > last {
			at.Errorf(path+".picture", "the run ends at %.2f s: write a time before it, or \"end\"", last)
		}
		if s.Done != nil {
			s.Done.Meaning(at, path+".done", shown, p.setup.Field.Floor)
		}
	}
	if p.Course != nil && p.Course.Finish != nil {
		p.Course.Finish.Meaning(at, "course.finish", shown, p.setup.Field.Floor)
	}
	return at.Err()
}

// passes reports whether all cases hold but those for stars.
func (p *proving) passes() bool {
	return !slices.ContainsFunc(p.cases, func(c check.Judged) bool {
		return c.State != check.Held && !slices.Contains(p.Stars, c.Case)
	})
}

// start must run, and not pass.
func (p *proving) start() error {
	for _, c := range p.cases {
		for _, m := range c.Marks {
			if m.Key == check.NoError && m.Short != nil {
				p.fall(*m.Short)
				return nil
			}
		}
	}
	if !p.o.Single && p.passes() {
		p.fall(check.Shortfall{Expected: Say("proof_not_yet"), Happened: Say("proof_passes")})
	}
	return nil
}

// wrong must not pass, and fall short of what the hint says.
func (p *proving) wrong(h *Hint) error {
	if !p.o.Single && p.passes() {
		p.fall(check.Shortfall{Expected: Say("proof_not_passing", h.Wrong), Happened: Say("proof_passes")})
		return nil
	}
	i := slices.IndexFunc(p.cases, func(c check.Judged) bool { return c.Case == h.Fails })
	if i < 0 {
		return fmt.Errorf("%s: no case is called %q", p.files.path(passFile), h.Fails)
	}
	c := p.cases[i]
	var missed []string
	for _, m := range c.Marks {
		if m.Missed > 0 && !slices.Contains(missed, m.Key) {
			missed = append(missed, m.Key)
		}
	}
	switch {
	case c.State == check.Held:
		p.fall(check.Shortfall{Expected: Say("proof_short", h.Wrong, h.Fails), Happened: Say("proof_case_held")})
	case h.Missing != "" && !slices.Contains(missed, h.Missing):
		p.fall(check.Shortfall{Expected: Say("proof_reason", h.Wrong, h.Missing, h.Fails),
			Happened: Say("proof_other", strings.Join(missed, ", "))})
	default:
		p.out.Facts = c.Shortfalls[0].Happened
	}
	return nil
}

// Open is the command that shows the run of an answer: a path that the learner has.
func (l *Lesson) Open(answer string) string {
	return "chalkfield open " + strings.Join(l.openArgs(answer), " ")
}

// openArgs are the arguments of commands that rehearse.
func (l *Lesson) openArgs(answer string) (words []string) {
	dir := strings.TrimSuffix(answer, path.Base(answer))
	if l.Kind == Check {
		answer = dir + l.Judged.Holds
	}
	add := func(flag, value string) {
		if value != "" {
			words = append(words, flag, wording.Quoted(value))
		}
	}
	beside := func(name string) string {
		if l.files.has(name) {
			return dir + name
		}
		return name
	}
	if l.Kind == Drive {
		words = append(words, wording.Quoted(dir+l.Start()))
		add("--pad", answer)
	} else {
		words = append(words, wording.Quoted(answer))
		add("--pad", beside(l.subject.Pad))
	}
	for _, s := range []struct{ flag, name, usual string }{{"--robot", l.subject.Robot, "robot.toml"},
		{"--field", l.subject.Field, "field.toml"}} {
		if s.name != s.usual {
			add(s.flag, beside(s.name))
		}
	}
	add("--session", l.subject.Session)
	add("--side", l.subject.Side)
	add("--partner", beside(l.subject.Partner))
	for _, name := range l.subject.Opponents {
		add("--opponent", beside(name))
	}
	if l.Nominal {
		return append(words, "--nominal")
	}
	return append(words, "--seed", strconv.FormatUint(l.Seed, 10))
}
