// Package command is the command line: it parses, calls the packages that do the work, prints, and gives the exit code.
package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/internal/app/program"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
	"chalkfield/render/window/viewmodel"

	"github.com/alecthomas/kong"
)

// Exit codes of every command.
const (
	held       = 0 // all is well
	fellShort  = 1 // a check fell short or a routine failed with an error
	inputWrong = 2 // a file or a flag is wrong
	ourFault   = 3 // a defect of Chalkfield

	interrupted = 130 // 128 + SIGINT, as shells have it
)

// errFellShort makes a command exit with fellShort after it has printed why.
var errFellShort = errors.New("fell short")

// commands is the whole command line.
type commands struct {
	Version  kong.VersionFlag `help:"Print the version."`
	Licences licencesFlag     `help:"Print the licences of all that the program is made from."`

	Units string `help:"What quantities are shown in: metric, or inch for inches, pounds and psi. Default: as the window's settings have it, else metric." enum:"metric,inch," default:"" placeholder:"SYSTEM"`

	Open      openCommand      `cmd:"" help:"Watch, question and drive a rehearsal in the window."`
	Run       runCommand       `cmd:"" help:"Rehearse a routine without a window: timeline, score sheet, record, picture."`
	Check     checkCommand     `cmd:"" help:"Hold routines to their checks: one line a case; for CI."`
	Trials    trialsCommand    `cmd:"" help:"Rehearse many times over the spread: how often it works, and why not."`
	Compare   compareCommand   `cmd:"" help:"Two routines with the same seeds: is one really better?"`
	Sweep     sweepCommand     `cmd:"" help:"One or two quantities on a grid: where does the routine still work?"`
	Tune      tuneCommand      `cmd:"" help:"Search for better values of what a routine leaves open, and prove them with fresh seeds."`
	Merge     mergeCommand     `cmd:"" help:"Join the parts of a study that ran on several machines."`
	Show      showCommand      `cmd:"" help:"Say what a field, robot or other file means, check it, draw it; what is in a robot's log."`
	Testdrive testdriveCommand `cmd:"" help:"Write test drives for the real robot: tables to play back, and what to log and measure."`
	Fit       fitCommand       `cmd:"" help:"Fit the robot file to logs of the real robot: what is it really like, and how sure is that?"`
	Worth     worthCommand     `cmd:"" help:"What each thing of a field is worth to a robot: points a second, and cycles."`
	Gains     gainsCommand     `cmd:"" help:"What a robot's gains do: steps and ramps of each loop, and better gains."`
	Learn     learnCommand     `cmd:"" help:"Lessons for new members, courses for drivers: from the first volt to a routine that scores."`
	New       newCommand       `cmd:"" help:"Write a small working project: routine, robot, README. Never overwrites."`
	Guide     guideCommand     `cmd:"" help:"Print a page of the guide: routine, window, studies, field, robot and more."`
	Bench     benchCommand     `cmd:"" help:"Measure simulated seconds per wall second on this machine."`
}

// licencesFlag prints the licences instead of running a command.
type licencesFlag bool

func (licencesFlag) BeforeReset(app *kong.Kong) error {
	fmt.Fprint(app.Stdout, assets.Licences)
	app.Exit(held)
	return nil
}

// streams is where a command prints. What Main gives shows control characters instead of letting a terminal obey them.
type streams struct {
	out, err io.Writer
	units    units.System // of what is told
}

// Main runs the command line and returns the exit code.
func Main(args []string, out, err io.Writer) (code int) {
	shownOut, shownErr := wording.NewVisibleWriter(out), wording.NewVisibleWriter(err)
	out, err = shownOut, shownErr
	defer shownErr.Close() // a stream that takes no more is no reason for another message
	defer shownOut.Close()
	defer func() {
		if trouble := recover(); trouble != nil {
			fmt.Fprintf(err, "chalkfield: internal error: %v\nThis is our fault, not yours. Please report it with the command "+
				"and the files that led here.\n", trouble)
			code = ourFault
		}
	}()
	ctx, stop := interruptible(func() {
		fmt.Fprintln(err, "chalkfield: interrupted")
		os.Exit(interrupted)
	})
	defer stop()
	return run(ctx, args, streams{out: out, err: err})
}

// exit carries kong's wish to end (after --help) out of the parser.
type exit int

func run(ctx context.Context, args []string, s streams) (code int) {
	defer func() {
		if wish, ok := recover().(exit); ok {
			code = int(wish)
		}
	}()
	programs := program.NewOwner()
	defer programs.Close()
	defer context.AfterFunc(ctx, programs.Close)()
	line := &commands{}
	parser, err := newParser(line, s, programs)
	if err != nil {
		return s.fail(err, ourFault)
	}
	if len(args) == 0 {
		args = []string{"open"} // the window on the demo
	}
	if args[0] == "help" { // as many type it
		args = append(args[1:], "--help")
	}
	if strings.HasSuffix(args[0], ".lua") {
		return s.fail(fmt.Errorf("to rehearse it write `chalkfield run %s`, to watch it `chalkfield open %s`", args[0],
			args[0]), inputWrong)
	}
	if names := commandNames(parser); !strings.HasPrefix(args[0], "-") && !slices.Contains(names, args[0]) {
		return s.fail(fmt.Errorf("there is no command %q: %s; `chalkfield --help` tells what they do", args[0],
			wording.Instead(args[0], names)), inputWrong)
	}
	parsed, err := parser.Parse(joined(args))
	if err != nil {
		return s.fail(errors.New(plainWords(err.Error())+dashed(args)), inputWrong)
	}
	if err := givenOnce(parsed); err != nil {
		return s.fail(err, inputWrong)
	}
	s.units = unitsOf(line.Units, parsed)
	parsed.BindTo(ctx, (*context.Context)(nil)) // by its interface: kong binds a plain argument by its concrete type
	err = parsed.Run(s)
	switch {
	case err == nil:
		return held
	case errors.Is(err, errFellShort):
		return fellShort
	case errors.Is(err, context.Canceled):
		return s.fail(errors.New("interrupted"), interrupted)
	}
	return s.fail(err, inputWrong)
}

// unitsOf is what --units says, else what the window remembers. What is for machines is in SI units.
func unitsOf(word string, parsed *kong.Context) units.System {
	for _, step := range parsed.Path {
		if step.Flag != nil && step.Flag.Name == "json" {
			return units.Metric
		}
	}
	if word == "" {
		return viewmodel.RememberedUnits()
	}
	in, _ := units.SystemCalled(word)
	return in
}

func commandNames(parser *kong.Kong) []string {
	var names []string
	for _, command := range parser.Model.Children {
		names = append(names, command.Name)
	}
	return names
}

// dashed says how to write a file's name that looks like a flag.
func dashed(args []string) string {
	for _, arg := range args {
		if _, err := os.Stat(arg); err == nil && strings.HasPrefix(arg, "-") {
			return fmt.Sprintf("; for the file of that name write ./%s", arg)
		}
	}
	return ""
}

func newParser(line *commands, s streams, programs *program.Owner) (*kong.Kong, error) {
	return kong.New(line,
		kong.Name("chalkfield"),
		kong.Bind(programs),
		kong.Vars{"version": "chalkfield " + rehearse.Program},
		kong.Description("Rehearse a student robot's autonomous routine on a simulated field.\n\nWithout a command it "+
			"opens the window on the demo. A rehearsal is a model: first runs of a new routine on the real robot at low "+
			"speed, on blocks or with the field clear, a person at the disable switch, eye protection on."),
		kong.Writers(s.out, s.err),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
		kong.Exit(func(code int) { panic(exit(code)) }),
	)
}

func (s streams) fail(err error, code int) int {
	fmt.Fprintf(s.err, "chalkfield: %v\n", err)
	return code
}
