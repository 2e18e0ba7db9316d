package scripting

import (
	"maps"
	"slices"
	"strings"

	"chalkfield/scripting/sandbox"
	"chalkfield/sim/robot"

	"github.com/yuin/gopher-lua/ast"
)

// Decision is a place of a routine whose outcome hangs on what it reads while it runs: what a plan made of one
// rehearsal has only one outcome of.
type Decision struct {
	File string `json:"file"`
	Line int    `json:"line"`
	Last int    `json:"-"` // line with which it ends
	What string `json:"what"`
	Text string `json:"text"` // of the line
}

// What a Decision may be.
const (
	Branch = "branch"
	Loop   = "loop"
	Wait   = "wait"   // await
	Number = "number" // a call is given a reading, or chosen by one
)

// Decisions lists the branches and loops on readings, the waits for a condition, and the calls that are given readings,
// of all the routine's files, but for what is only told (note, signal, print); of a program outside nothing is known. A
// variable or function of the routine counts as a reading wherever one of its name was made from one.
func (p *Program) Decisions(r *robot.Robot) ([]Decision, error) {
	if p.Foreign() {
		return nil, nil
	}
	parts, err := Hears(r)
	if err != nil {
		return nil, err
	}
	l := looker{readings: map[string]bool{"where": true, "battery": true, "air": true, "read": true, "done": true,
		clock: true}}
	for _, part := range parts {
		for _, name := range part.Readings {
			l.readings[name] = true
		}
	}
	var files []parsed
	for _, file := range slices.Sorted(maps.Keys(p.Texts)) {
		chunk, err := sandbox.Parse(file, p.Texts[file])
		if err != nil {
			return nil, err
		}
		files = append(files, parsed{file, strings.Split(p.Texts[file], "\n"), chunk})
	}
	for l.learnt = true; l.learnt; { // names may be used before they are made
		l.learnt, l.list = false, nil
		for i := range files {
			l.file = &files[i]
			l.block(files[i].chunk)
		}
	}
	slices.SortStableFunc(l.list, func(a, b Decision) int {
		if a.File != b.File {
			return strings.Compare(a.File, b.File)
		}
		return a.Line - b.Line
	})
	return slices.CompactFunc(l.list, func(a, b Decision) bool { return a.File == b.File && a.Line == b.Line }), nil
}

type parsed struct {
	name  string
	lines []string
	chunk []ast.Stmt
}

// looker walks a file and finds what reads.
type looker struct {
	readings map[string]bool // names of calls that read, and of the routine's own variables and functions that do
	learnt   bool            // a name has come to them
	file     *parsed
	list     []Decision
}

func (l *looker) learn(name string) {
	if name != "" && !l.readings[name] {
		l.readings[name], l.learnt = true, true
	}
}

func (l *looker) found(what string, from, to int) {
	text := ""
	if from > 0 && from <= len(l.file.lines) {
		text = strings.TrimSpace(l.file.lines[from-1])
	}
	l.list = append(l.list, Decision{File: l.file.name, Line: from, Last: to, What: what, Text: text})
}

func (l *looker) block(stmts []ast.Stmt) {
	for _, s := range stmts {
		l.statement(s)
	}
}

func (l *looker) statement(s ast.Stmt) {
	switch s := s.(type) {
	case *ast.AssignStmt:
		for i, place := range s.Lhs {
			l.assign(lastName(place), i, s.Rhs)
		}
		l.look(s.Rhs...)
	case *ast.LocalAssignStmt:
		for i, name := range s.Names {
			l.assign(name, i, s.Exprs)
		}
		l.look(s.Exprs...)
	case *ast.FuncCallStmt:
		l.look(s.Expr)
	case *ast.DoBlockStmt:
		l.block(s.Stmts)
	case *ast.WhileStmt:
		l.condition(Loop, s.Condition, s.Line(), s.LastLine())
		l.block(s.Stmts)
	case *ast.RepeatStmt:
		l.condition(Loop, s.Condition, s.Condition.Line(), s.LastLine())
		l.block(s.Stmts)
	case *ast.IfStmt:
		l.condition(Branch, s.Condition, s.Condition.Line(), s.LastLine())
		l.block(s.Then)
		l.block(s.Else)
	case *ast.NumberForStmt:
		for _, e := range []ast.Expr{s.Init, s.Limit, s.Step} {
			l.condition(Loop, e, s.Line(), s.LastLine())
		}
		l.block(s.Stmts)
	case *ast.GenericForStmt:
		for _, e := range s.Exprs {
			l.condition(Loop, e, s.Line(), s.LastLine())
		}
		l.block(s.Stmts)
	case *ast.FuncDefStmt:
		l.function(nameOf(s.Name), s.Func)
	case *ast.ReturnStmt:
		l.look(s.Exprs...)
	}
}

// assign gives a name the so-manieth of some values; the last may be a call that has several.
func (l *looker) assign(name string, i int, values []ast.Expr) {
	if len(values) == 0 {
		return
	}
	value := values[min(i, len(values)-1)]
	if f, is := value.(*ast.FunctionExpr); is && l.returnsReading(f.Stmts) || l.reads(value) {
		l.learn(name)
	}
}

// condition notes what hangs on an expression that reads.
func (l *looker) condition(what string, e ast.Expr, from, to int) {
	if e == nil {
		return
	}
	if l.reads(e) {
		if delete(l.readings, clock); !l.reads(e) { // a plan goes by time: nothing is waited for
			to = 0
		} else {
			to = max(from, to)
		}
		l.readings[clock] = true
		l.found(what, from, to)
	}
	l.look(e)
}

// clock is the call that reads the time.
const clock = "clock"

// function looks into one; what gives back a reading reads.
func (l *looker) function(name string, f *ast.FunctionExpr) {
	if name != "" && l.returnsReading(f.Stmts) {
		l.learn(name)
	}
	l.block(f.Stmts)
}

func (l *looker) returnsReading(stmts []ast.Stmt) bool {
	return slices.ContainsFunc(stmts, func(s ast.Stmt) bool {
		switch s := s.(type) {
		case *ast.ReturnStmt:
			return slices.ContainsFunc(s.Exprs, l.reads)
		case *ast.IfStmt:
			return l.reads(s.Condition) && (hasReturn(s.Then) || hasReturn(s.Else)) || l.returnsReading(s.Then) ||
				l.returnsReading(s.Else)
		case *ast.WhileStmt:
			return l.returnsReading(s.Stmts)
		case *ast.RepeatStmt:
			return l.returnsReading(s.Stmts)
		case *ast.DoBlockStmt:
			return l.returnsReading(s.Stmts)
		case *ast.NumberForStmt:
			return l.returnsReading(s.Stmts)
		case *ast.GenericForStmt:
			return l.returnsReading(s.Stmts)
		}
		return false
	})
}

func hasReturn(stmts []ast.Stmt) bool {
	return slices.ContainsFunc(stmts, func(s ast.Stmt) bool { _, is := s.(*ast.ReturnStmt); return is })
}

// look goes through expressions for calls that wait or are given readings, and for functions.
func (l *looker) look(list ...ast.Expr) {
	for _, e := range list {
		switch e := e.(type) {
		case *ast.FuncCallExpr:
			l.call(e)
		case *ast.FunctionExpr:
			l.function("", e)
		case *ast.TableExpr:
			l.table(e)
		case *ast.LogicalOpExpr:
			if l.reads(e.Lhs) && l.commands(e.Rhs) {
				l.found(Branch, e.Line(), e.Line())
			}
			l.look(e.Lhs, e.Rhs)
		default:
			l.look(within(e)...)
		}
	}
}

// table looks into one. A routine's driver function is in no plan.
func (l *looker) table(e *ast.TableExpr) {
	for _, f := range e.Fields {
		if key, is := f.Key.(*ast.StringExpr); is {
			if key.Value == "driver" {
				continue
			}
			if fn, is := f.Value.(*ast.FunctionExpr); is {
				l.function(key.Value, fn)
				continue
			}
		}
		l.look(f.Key, f.Value)
	}
}

func (l *looker) call(e *ast.FuncCallExpr) {
	name := lastName(e.Func)
	plain := e.Receiver == nil
	switch {
	case plain && told[name]:
		return
	case plain && name == "await":
		l.found(Wait, e.Line(), e.LastLine())
	case l.picks(e.Func) || l.picks(e.Receiver) || !l.library(e) && slices.ContainsFunc(e.Args, l.reads):
		l.found(Number, e.Line(), e.LastLine())
	}
	l.look(e.Func, e.Receiver)
	l.look(e.Args...)
}

// told are the calls that only tell somebody.
var told = map[string]bool{"note": true, "signal": true, "result": true, "print": true}

// library reports whether a call is one of Lua's own, which only makes a value.
func (l *looker) library(e *ast.FuncCallExpr) bool {
	if e.Receiver != nil {
		return l.readings[e.Method]
	}
	switch f := e.Func.(type) {
	case *ast.IdentExpr:
		return slices.Contains([]string{"tostring", "tonumber", "type", "select", "unpack", "ipairs", "pairs", "assert"},
			f.Value)
	case *ast.AttrGetExpr:
		of := lastName(f.Object)
		return of == "math" || of == "string" || of == "table"
	}
	return false
}

// picks reports whether a reading chooses what is called.
func (l *looker) picks(e ast.Expr) bool {
	get, is := e.(*ast.AttrGetExpr)
	if !is {
		return false
	}
	_, plain := get.Key.(*ast.StringExpr)
	return !plain && l.reads(get.Key) || l.picks(get.Object)
}

// commands reports whether an expression calls something that is no reading.
func (l *looker) commands(e ast.Expr) bool {
	if call, is := e.(*ast.FuncCallExpr); is && !l.reads(e) && !l.library(call) {
		return true
	}
	return slices.ContainsFunc(within(e), l.commands)
}

// reads reports whether an expression's value hangs on a reading. What a function does when it is called is not its
// value.
func (l *looker) reads(e ast.Expr) bool {
	switch e := e.(type) {
	case nil:
		return false
	case *ast.IdentExpr:
		return l.readings[e.Value]
	case *ast.FunctionExpr:
		return false
	case *ast.AttrGetExpr:
		if key, is := e.Key.(*ast.StringExpr); is && (key.Value == "sense" || outcomes[key.Value] || l.readings[key.Value]) {
			return true
		}
	case *ast.FuncCallExpr:
		if e.Receiver != nil && l.readings[e.Method] {
			return true
		}
		if e.Receiver == nil && l.readings[lastName(e.Func)] {
			return true
		}
	}
	return slices.ContainsFunc(within(e), l.reads)
}

// outcomes are what a motion's result tells.
var outcomes = map[string]bool{"ok": true, "why": true, "left": true, "took": true, "overshoot": true, "settle": true}

// within are the parts of an expression.
func within(e ast.Expr) []ast.Expr {
	switch e := e.(type) {
	case *ast.AttrGetExpr:
		return []ast.Expr{e.Object, e.Key}
	case *ast.TableExpr:
		var list []ast.Expr
		for _, f := range e.Fields {
			list = append(list, f.Key, f.Value)
		}
		return list
	case *ast.FuncCallExpr:
		return append([]ast.Expr{e.Func, e.Receiver}, e.Args...)
	case *ast.LogicalOpExpr:
		return []ast.Expr{e.Lhs, e.Rhs}
	case *ast.RelationalOpExpr:
		return []ast.Expr{e.Lhs, e.Rhs}
	case *ast.StringConcatOpExpr:
		return []ast.Expr{e.Lhs, e.Rhs}
	case *ast.ArithmeticOpExpr:
		return []ast.Expr{e.Lhs, e.Rhs}
	case *ast.UnaryMinusOpExpr:
		return []ast.Expr{e.Expr}
	case *ast.UnaryNotOpExpr:
		return []ast.Expr{e.Expr}
	case *ast.UnaryLenOpExpr:
		return []ast.Expr{e.Expr}
	}
	return nil
}

// lastName is what a place is called: of a.b its b.
func lastName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.IdentExpr:
		return e.Value
	case *ast.AttrGetExpr:
		if key, is := e.Key.(*ast.StringExpr); is {
			return key.Value
		}
	}
	return ""
}

func nameOf(f *ast.FuncName) string {
	if f.Method != "" {
		return f.Method
	}
	return lastName(f.Func)
}
