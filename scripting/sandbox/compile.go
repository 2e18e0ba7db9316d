package sandbox

import (
	"cmp"
	"fmt"
	"reflect"
	"strings"

	lua "github.com/yuin/gopher-lua"
	"github.com/yuin/gopher-lua/parse"
)

const (
	// MaxSource is the longest source file, in bytes. gopher-lua's compiler looks for each constant among all before it:
	// the worst file of this length takes it a second.
	MaxSource = 128 << 10
	// maxDepth is how deep blocks and expressions may be nested: gopher-lua's compiler is recursive, and its folding of
	// constants quadratic in the depth.
	maxDepth = 200
)

// Source is a compiled file. It is read only: many boxes may run it at once.
type Source struct {
	Name     string
	Calls    []Called // of global functions, in the order of the text
	assigned []string // names that are given a value by =, or by function, without local
	declared []string // names of locals and of arguments
	proto    *lua.FunctionProto
	lastLine int
	text     string
}

// Compile translates a file. An error names file, line and, where it is known, column.
func Compile(name, text string) (source *Source, err error) {
	if len(text) > MaxSource {
		return nil, fmt.Errorf("%s: %d bytes is too long for a routine file: the limit is %d", name, len(text), MaxSource)
	}
	if i := strings.IndexByte(text, 0x1b); i == 0 {
		return nil, fmt.Errorf("%s: this is compiled Lua: only source text is accepted", name)
	}
	source = &Source{Name: name, text: text, lastLine: strings.Count(text, "\n") + 1}
	defer func() {
		if r := recover(); r != nil {
			source, err = nil, fmt.Errorf("%s: the Lua compiler cannot translate this file: %v", name, r)
		}
	}()
	chunk, err := parse.Parse(strings.NewReader(text), name)
	if err != nil {
		return nil, source.parseError(err, text)
	}
	t := tree{source: source}
	if t.block(chunk, 0); t.err != nil {
		return nil, t.err
	}
	source.Calls = t.calls
	callPowers(reflect.ValueOf(chunk))
	if source.proto, err = lua.Compile(chunk, name); err != nil {
		return nil, source.compileError(err)
	}
	setPowers(source.proto)
	return source, nil
}

func (s *Source) parseError(err error, text string) error {
	e, is := err.(*parse.Error)
	if !is {
		return fmt.Errorf("%s: %v", s.Name, err)
	}
	message := strings.TrimSpace(e.Message)
	if e.Pos.Line == parse.EOF {
		hint := missingEnd(text, s.lastLine)
		if hint == "" {
			hint = ": is a bracket or a quote missing?"
		}
		return fmt.Errorf("%s:%d: %s at the end of the file%s", s.Name, s.lastLine, message, hint)
	}
	if e.Pos.Column == 0 { // the end of the line before has been read
		return fmt.Errorf("%s:%d: %s near %.40q%s", s.Name, e.Pos.Line-1, message, e.Token,
			cmp.Or(foreignMark(text, e.Pos.Line-1, e.Token), missingEnd(text, e.Pos.Line-1)))
	}
	return fmt.Errorf("%s:%d:%d: %s near %.40q%s", s.Name, e.Pos.Line, e.Pos.Column, message, e.Token,
		cmp.Or(foreignMark(text, e.Pos.Line, e.Token), missingBracket(text, e.Pos.Line), missingEnd(text, e.Pos.Line)))
}

func (s *Source) compileError(err error) error {
	if e, is := err.(*lua.CompileError); is && e.Line > 0 {
		return fmt.Errorf("%s:%d: %s", s.Name, e.Line, e.Message)
	}
	if e, is := err.(*lua.CompileError); is {
		return fmt.Errorf("%s: %s", s.Name, e.Message) // of the file's own code: gopher-lua gives no line
	}
	return fmt.Errorf("%s: %v", s.Name, err)
}

// Function is the file's main function in a box.
func (b *Box) Function(s *Source) *lua.LFunction {
	b.sources[s.Name] = s
	return b.root.NewFunctionFromProto(s.proto)
}
