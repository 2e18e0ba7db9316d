package sandbox

import (
	"strings"
	"testing"

	lua "github.com/yuin/gopher-lua"
)

// outcome is what running a text led to.
type outcome struct {
	box     *Box
	result  lua.LValue
	failure *Error
	printed []string
}

func (o outcome) message() string {
	if o.failure == nil {
		return ""
	}
	return o.failure.Error()
}

// run compiles and runs a text in a fresh box, on a goroutine of its own as the package demands.
func run(t testing.TB, text string) outcome {
	t.Helper()
	limits := DefaultLimits()
	limits.Load = 300_000 // enough for every test, and quickly used up by what never ends
	return runSource(t, compiled(t, text), limits)
}

func compiled(t testing.TB, text string) *Source {
	t.Helper()
	source, err := Compile("test.lua", text)
	if err != nil {
		t.Fatal(err)
	}
	return source
}

func runSource(t testing.TB, source *Source, limits Limits) outcome {
	t.Helper()
	var out outcome
	box, err := New(Setting{Limits: limits, Print: func(_ *lua.LState, text string) {
		out.printed = append(out.printed,
			text)
	}})
	if err != nil {
		t.Fatal(err)
	}
	out.box = box
	done := make(chan struct{})
	go func() {
		defer close(done)
		out.result, out.failure = box.Call(box.NewThread(), box.Function(source))
	}()
	<-done
	if broken := box.TakeBreak(); broken != nil {
		out.failure = broken
	}
	return out
}

// eval runs "return <expression>" and gives the result as tostring would.
func eval(t testing.TB, expression string) string {
	t.Helper()
	out := run(t, "return "+expression)
	if out.failure != nil {
		return "error: " + out.failure.Message
	}
	return out.result.String()
}

type expectation struct{ expression, want string }

func check(t *testing.T, rows []expectation) {
	t.Helper()
	for _, row := range rows {
		if got := eval(t, row.expression); got != row.want {
			t.Errorf("%s\n got %q\nwant %q", row.expression, got, row.want)
		}
	}
}

// fails checks that each text ends in an error that contains the words given.
func fails(t *testing.T, rows map[string]struct{ text, want string }) {
	t.Helper()
	for name, row := range rows {
		t.Run(name, func(t *testing.T) {
			limits := DefaultLimits()
			if limits.Load = 300_000; strings.HasSuffix(row.want, " MB") {
				limits.Load, limits.Memory = 3_000_000, 8<<20
			}
			out := runSource(t, compiled(t, row.text), limits)
			if out.failure == nil {
				t.Fatalf("ran to its end with %v", out.result)
			}
			if !strings.Contains(out.message(), row.want) {
				t.Errorf("got  %q\nwant %q in it", out.message(), row.want)
			}
			if out.failure.Line == 0 || out.failure.File != "test.lua" {
				t.Errorf("the error is at %s:%d", out.failure.File, out.failure.Line)
			}
		})
	}
}

// used is the number of steps that a box has used so far.
func (b *Box) used() int64 {
	m := &b.meter
	return m.limits.Total - m.total + m.given - m.left
}
