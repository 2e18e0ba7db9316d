package viewmodel

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/scripting/literal"
)

// macroRun is a run of a macro in a drive.
type macroRun struct {
	button   string
	from, to float64 // s
	drives   bool    // by motions of its own, which moved the robot meanwhile
	broken   bool    // the sticks took over from one of them
	call     string  // that repeats it; "": none can
}

// instant is how long a macro runs at most that only tells parts what to do, s.
const instant = 0.015

// macroRuns are those of the first robot, in order of time.
func macroRuns(rec *record.Record, end float64) []macroRun {
	var list []macroRun
	at := map[int]int{} // task to index in list
	for _, e := range rec.Events {
		i, known := at[e.Task]
		switch {
		case e.Robot != 0:
		case e.Kind == record.TaskStart && e.Macro != "":
			at[e.Task] = len(list)
			list = append(list, macroRun{button: e.Macro, from: e.T, to: end})
		case !known:
		case e.Kind == record.TaskEnd:
			list[i].to = e.T
			delete(at, e.Task)
		case e.Kind == record.MotionStart:
			list[i].drives = true
		case e.Kind == record.MotionEnd && e.Reason == record.Cancelled:
			list[i].broken = true
		}
	}
	return list
}

// loan is what a draft takes over from the routine that was driven, so that it can call its macros.
type loan struct {
	before string            // what stands before its routine{...}, without what is said at its head of all of it
	named  map[string]string // by button: the macros that have no name, with one
	calls  map[string]string // by button
}

// borrow reads a routine's text. A macro without a name gets one; one that needs what only the driver's function has
// (its pad, its locals) cannot be called from elsewhere.
func borrow(text string) loan {
	before, ok := literal.Before(text, "routine")
	if !ok {
		return loan{}
	}
	l := loan{before: headless(before), named: map[string]string{}, calls: map[string]string{}}
	inside := map[string]bool{} // names that are declared within functions
	for _, d := range literal.Declarations(text) {
		inside[d.Name] = inside[d.Name] || d.Depth > 0 || d.At >= len(before)
	}
	top := literal.Declarations(before)
	for _, b := range bindings(text) {
		function := text[b.from:b.to]
		own := literal.Declarations(function)
		declares := func(list []literal.Declared, name string, depth int) bool {
			return slices.ContainsFunc(list, func(d literal.Declared) bool { return d.Name == name && d.Depth <= depth })
		}
		lacks := func(name string) bool {
			return inside[name] && !declares(own, name, math.MaxInt) && !declares(top, name, 0)
		}
		argument := "bot" // of a macro that takes none, but uses the driver's
		switch inner, anonymous := strings.CutPrefix(function, "function"); {
		case slices.ContainsFunc(literal.Used(function), func(name string) bool {
			return lacks(name) && !(anonymous && name == argument)
		}):
		case !anonymous && strings.ContainsAny(function, "([{:'\""): // worked out as it is bound
		case !anonymous:
			l.calls[b.button] = function + "(bot)"
		default:
			name := "macro_" + b.button
			if bare := strings.TrimLeft(inner, " "); strings.HasPrefix(bare, "()") {
				inner = "(" + argument + ")" + strings.TrimPrefix(bare, "()")
			}
			l.named[b.button] = "local function " + name + outdented(inner)
			l.calls[b.button] = name + "(bot)"
		}
	}
	return l
}

// headless is a text without the comment at its head that is parted from what follows by an empty line.
func headless(text string) string {
	text = strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n"))
	head, rest, parted := strings.Cut(text, "\n\n")
	for _, line := range strings.Split(head, "\n") {
		if !strings.HasPrefix(line, "--") || strings.HasPrefix(line, "--[") {
			return text
		}
	}
	if !parted {
		return ""
	}
	return strings.TrimSpace(rest)
}

// needed is what calls of these runs need.
func (l loan) needed(runs []macroRun) string {
	called, parts := false, []string{l.before}
	for _, run := range runs {
		called = called || run.call != ""
		if text := l.named[run.button]; run.call != "" && text != "" && !slices.Contains(parts, text) {
			parts = append(parts, text)
		}
	}
	if !called {
		return ""
	}
	return strings.TrimSpace(strings.Join(parts, "\n\n"))
}

// outdented takes from each line of a function's text what its last line is indented by.
func outdented(text string) string {
	lines := strings.Split(text, "\n")
	last := lines[len(lines)-1]
	margin := last[:len(last)-len(strings.TrimLeft(last, " \t"))]
	for i := range lines[1:] {
		lines[i+1] = strings.TrimPrefix(lines[i+1], margin)
	}
	return strings.Join(lines, "\n")
}

// parted are the moves of a drive without those that macros drove: each of these is a move of its own that calls it.
func parted(samples []record.Sample, runs []macroRun) []move {
	var moves []move
	from := 0
	for _, run := range runs {
		if !run.blocks() {
			continue
		}
		first, _ := slices.BinarySearchFunc(samples, run.from, sampleTime)
		last, _ := slices.BinarySearchFunc(samples, run.to, sampleTime)
		if first < from { // it began while another drove
			continue
		}
		moves = append(moves, movesOf(samples[from:min(first+1, len(samples))], 0)...)
		moves = append(moves, move{kind: calling, call: run.call, button: run.button, from: run.from,
			seconds: run.to - run.from})
		from = min(last, len(samples)-1)
	}
	return append(moves, movesOf(samples[from:], 0)...)
}

func sampleTime(s record.Sample, t float64) int { return cmp.Compare(s.T, t-1e-9) }

// blocks reports whether the draft waits for the macro, because it drives.
func (r macroRun) blocks() bool { return r.drives && !r.broken && r.call != "" }

// callable gives the runs their calls.
func (l loan) callable(runs []macroRun) {
	for i := range runs {
		runs[i].call = l.calls[runs[i].button]
	}
}

// writeBeside writes what runs of macros begin during a move, or before it: calls that go on beside it.
func writeBeside(out *strings.Builder, runs []macroRun, began float64) {
	for _, run := range runs {
		words, after := run.call, run.from-began
		switch {
		case run.call == "":
			fmt.Fprintf(out, "    -- the driver pressed %q at %.1f s: its macro needs what only the driver's function has\n",
				run.button, run.from)
			continue
		case run.drives:
			fmt.Fprintf(out, "    -- the driver pressed %q at %.1f s (%s), and the sticks took over from it\n", run.button,
				run.from, run.call)
			continue
		case after >= 0.05:
			words = fmt.Sprintf("task(function() wait(%s) %s end)", tidy(after, 2), run.call)
		case run.to-run.from > instant:
			words = fmt.Sprintf("task(function() %s end)", run.call)
		}
		fmt.Fprintf(out, "    %s -- button %s\n", words, run.button)
	}
}

// loads reports whether a draft can be read as a routine, with the files that the driven one requires.
func loads(text string, texts map[string]string) bool {
	const name = "draft.lua"
	all := map[string]string{}
	for file, of := range texts {
		all[file] = of
	}
	all[name] = text
	_, err := scripting.LoadTexts(name, all)
	return err == nil
}
