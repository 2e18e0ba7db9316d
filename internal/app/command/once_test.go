package command

import (
	"bytes"
	"context"
	"reflect"
	"strings"
	"testing"
	"time"

	"chalkfield/internal/app/program"
)

// No command takes two values for a flag that has room for one: every such flag of every command is tried.
func TestASingleValueGivenTwiceIsRefused(t *testing.T) {
	parser, err := newParser(&commands{}, streams{out: &bytes.Buffer{}, err: &bytes.Buffer{}}, program.NewOwner())
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
	for _, command := range parser.Model.Children {
		for _, flag := range command.Flags {
			if flag.IsBool() || flag.IsCumulative() {
				continue
			}
			tried++
			sample := sampleOf(flag.Target.Type())
			if flag.Enum != "" {
				sample = flag.Enum[strings.LastIndexByte(flag.Enum, ',')+1:]
			}
			arg := "--" + flag.Name + "=" + sample
			out := &bytes.Buffer{}
			args := []string{command.Name, arg, arg}
			for range command.Positional {
				args = append(args, "thing")
			}
			code := run(context.Background(), args, streams{out: out, err: out})
			if code != inputWrong || !strings.Contains(out.String(), "--"+flag.Name) ||
				!strings.Contains(out.String(), "given twice") {
				t.Errorf("%s %s twice: exit code %d, %q", command.Name, arg, code, out)
			}
		}
	}
	if tried < 50 {
		t.Errorf("only %d flags tried", tried)
	}
}

func sampleOf(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case t == reflect.TypeFor[time.Duration]():
		return "1s"
	case t.Kind() == reflect.String:
		return "x"
	}
	return "1"
}

// A switch may be repeated, and so may what is a list; one name has one value.
func TestWhatMayBeRepeated(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string // in the message, "" if there is to be none
	}{
		{[]string{"show", "--source", "--source", "hauler"}, ""},
		{[]string{"run", "--param", "a=1", "--param", "b=2", "--opponent", "x.lua", "--opponent", "y.lua", "--robot",
			"no.toml"}, "no.toml"},
		{[]string{"run", "--param", "a=1", "--param", "a=2"}, "--param: a is given twice"},
		{[]string{"run", "--param", "kp=abc"}, `the value of kp: "abc" is no number`},
		{[]string{"run", "--param", "kp=inf"}, "the value of kp: write a finite number"},
		{[]string{"run", "--param", "kp"}, `--param: write NAME=VALUE, such as turn_gain=0.15, not "kp"`},
		{[]string{"compare", "--param-b", "kp=x"}, `the value of kp: "x" is no number`},
	} {
		out := &bytes.Buffer{}
		run(context.Background(), c.args, streams{out: &bytes.Buffer{}, err: out})
		if got := out.String(); c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%v: %q, want %q", c.args, got, c.want)
		}
	}
}
