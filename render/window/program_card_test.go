package window

import (
	"context"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
	"chalkfield/scripting/talk"
	"chalkfield/sim/robot"
)

// errand is a program that drives ahead.
type errand struct{}

func (errand) Begin(talk.Begin) error { return nil }
func (errand) End(talk.End)           {}

func (errand) Ask(t talk.Tick) (talk.Answer, error) {
	if t.Number > 1 {
		return talk.Answer{To: t.Number, Done: true}, nil
	}
	return talk.Answer{To: 1, Wait: 60, Commands: []talk.Command{{Do: "drive.ahead", With: []any{300.0}, ID: 1}}}, nil
}

// programs stands for what starts programs.
type programs struct {
	t       *testing.T
	started []string
	broken  error
}

func (p *programs) start(command string, _ *fields.Field, _ *robot.Robot) (*scripting.Program, error) {
	p.started = append(p.started, command)
	if p.broken != nil {
		return nil, p.broken
	}
	return p.foreign(command), nil
}

func (p *programs) foreign(command string) *scripting.Program {
	program, err := scripting.NewForeign(command, talk.Ready{Phases: []string{"auto"},
		Start: &talk.Pose{X: 600, Y: 1000}}, nil, func() (scripting.Guest, error) { return errand{}, nil })
	if err != nil {
		p.t.Fatal(err)
	}
	return program
}

// atRecord opens the record of a run that a program commanded.
func (p *programs) atRecord(command, named string) *game {
	p.t.Helper()
	p.t.Chdir(p.t.TempDir())
	p.t.Setenv("DISPLAY", "")
	setup := rehearse.Setup{Seed: 1, Nominal: true}
	var err error
	if setup.Field, err = fields.OpenEmbedded("core_haul"); err != nil {
		p.t.Fatal(err)
	}
	hauler, err := robot.Find("hauler")
	if err != nil {
		p.t.Fatal(err)
	}
	setup.Entrants = []rehearse.Entrant{{Robot: hauler, Routine: p.foreign(command)}}
	rec, err := rehearse.Run(context.Background(), setup)
	if err == nil {
		err = atomicfile.Write("theirs.jsonl", rec.Write)
	}
	if err != nil {
		p.t.Fatal(err)
	}
	options := Options{Files: viewmodel.Files{Record: "theirs.jsonl"}, Start: p.start, Named: named,
		Out: io.Discard, Err: io.Discard}
	g := newGame(context.Background(), options, viewmodel.Settings{Zoom: 1}, "")
	p.t.Cleanup(g.close)
	g.density, g.width, g.height = 1, 960, 600
	g.rest(p.t)
	return g
}

// A record that somebody else made starts no program: R asks, with the whole command, and what Enter does at first is
// nothing.
func TestARecordsProgramIsStartedOnlyByConsent(t *testing.T) {
	command := "python3 theirs.py " + strings.Repeat("--quite-long ", 12) + "; \x1b[2Krm"
	p := &programs{t: t}
	g := p.atRecord(command, "")
	if want := "R asks whether to start that."; !strings.HasSuffix(g.model.Notice.Text, want) {
		t.Errorf("it says %q, want ...%q", g.model.Notice.Text, want)
	}
	runs := g.model.Runs
	for name, leave := range map[string]func(){
		"Esc":   func() { g.keyed(ebiten.KeyEscape) },
		"Enter": func() { g.keyed(ebiten.KeyEnter) },
	} {
		g.keyed(ebiten.KeyR)
		if g.card == nil || g.card.name != "start program" {
			t.Fatalf("%s: R shows %+v", name, g.card)
		}
		shown := ""
		for _, row := range g.card.rows() {
			shown += strings.TrimPrefix(row.label, "  ")
		}
		if want := "--quite-long ; \\x1b[2Krm"; !strings.Contains(shown, "the commandpython3 theirs.py") ||
			!strings.Contains(shown, want) || strings.Count(shown, "--quite-long ") != 12 {
			t.Errorf("%s: the card has %q", name, shown)
		}
		leave()
		g.rest(t)
		if len(p.started) > 0 || g.card != nil || g.model.Runs != runs {
			t.Fatalf("%s starts %q", name, p.started)
		}
	}
	g.keyed(ebiten.KeyR)
	g.keyed(ebiten.KeyArrowDown)
	g.keyed(ebiten.KeyEnter)
	g.rest(t)
	if !slices.Equal(p.started, []string{command}) || g.model.Runs != runs+1 || g.model.Fault != nil {
		t.Fatalf("started %q, %d runs, %v", p.started, g.model.Runs-runs, g.model.Fault)
	}
	if end := g.model.Now.Record.Samples[len(g.model.Now.Record.Samples)-1].Robots[0].True; end[0] < 0.85 {
		t.Errorf("it ends at %v", end)
	}
	// What runs is not asked about again.
	g.keyed(ebiten.KeyR)
	g.rest(t)
	if len(p.started) != 1 || g.model.Runs != runs+2 {
		t.Errorf("R again: started %q, %d runs", p.started, g.model.Runs-runs)
	}
}

func TestAProgramNamedOnTheCommandLineIsNotAskedAbout(t *testing.T) {
	p := &programs{t: t}
	g := p.atRecord("python3 mine.py", "python3 mine.py")
	g.keyed(ebiten.KeyR)
	g.rest(t)
	if g.card != nil || !slices.Equal(p.started, []string{"python3 mine.py"}) {
		t.Errorf("card %+v, started %q", g.card, p.started)
	}
}

func TestAProgramThatCannotBeStartedOrShownIsToldOf(t *testing.T) {
	p := &programs{t: t, broken: errors.New(`"nowhere" cannot be started: there is no such program`)}
	g := p.atRecord("nowhere", "nowhere")
	g.keyed(ebiten.KeyR)
	g.rest(t)
	if !g.model.Notice.Bad || !strings.Contains(g.model.Notice.Text, "there is no such program") || g.model.Now == nil {
		t.Errorf("it says %q", g.model.Notice.Text)
	}
	p = &programs{t: t}
	g = p.atRecord(strings.Repeat("x", 5000), "")
	g.keyed(ebiten.KeyR)
	if g.card != nil || !strings.Contains(g.model.Notice.Text, "too long to be shown") || len(p.started) > 0 {
		t.Errorf("it says %q, started %d", g.model.Notice.Text, len(p.started))
	}
}
