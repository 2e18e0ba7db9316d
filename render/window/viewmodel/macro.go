package viewmodel

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/scripting"
	"chalkfield/scripting/literal"
)

// Macro is a function that a button runs while somebody drives.
type Macro struct {
	Button string
	Name   string // the function's, what its line says about it, or what it does
	Line   int    // of the binding, in the routine's text; 0: it stands in another file
	Runs   bool   // now
}

// Macros are those of the buttons in a drive, in the order of a pad's buttons; nil where nobody drives. Before the
// driver's function has bound any they are those that its text binds.
func (d *Model) Macros() []Macro {
	if !d.Driving() || d.drive.hand {
		return nil
	}
	source := d.drive.run.Source
	inText := d.drive.bound
	bound := d.drive.rehearsal.Macros()
	if len(bound) == 0 {
		for _, b := range inText {
			bound = append(bound, scripting.Macro{Button: b.button, File: source.Name, Line: b.line})
		}
	}
	list := make([]Macro, len(bound))
	for i, b := range bound {
		list[i] = Macro{Button: b.Button, Name: fmt.Sprintf("%s:%d", b.File, b.Line), Runs: d.drive.run.runs(b.Button)}
		if b.File == source.Name {
			list[i].Line = b.Line
			if at, ok := bindingOf(inText, b); ok {
				list[i].Name = at.called(source.Text)
			}
		}
	}
	order := func(m Macro) int { return slices.Index(scripting.Buttons, m.Button) }
	slices.SortStableFunc(list, func(a, b Macro) int { return cmp.Compare(order(a), order(b)) })
	return list
}

// runs reports whether the macro of a button runs at the end of what is recorded.
func (r *Run) runs(button string) bool {
	return len(r.Lanes) > 0 && slices.ContainsFunc(r.Lanes[0], func(l Lane) bool {
		return l.Macro == button && math.IsInf(l.To, 1)
	})
}

// binding is a pad:bind(button, function) as a text has it.
type binding struct {
	button   string
	line     int
	from, to int    // bytes: of the function
	remark   string // at the end of its line
}

// bindings are those that a text makes of buttons that it names, in its order.
func bindings(text string) []binding {
	tokens := literal.Tokens(text)
	word := func(i int) string {
		if i >= len(tokens) {
			return ""
		}
		return tokens[i].Of(text)
	}
	var list []binding
	for i := range tokens {
		if word(i) != ":" || word(i+1) != "bind" || word(i+2) != "(" || word(i+4) != "," {
			continue
		}
		button := strings.Trim(word(i+3), `"'`)
		if end := closingToken(text, tokens, i+2); end > i+5 && slices.Contains(scripting.Buttons, button) {
			b := binding{button: button, line: tokens[i+1].Line, from: tokens[i+5].From, to: tokens[end-1].To}
			for k := i; k < len(tokens) && tokens[k].Line == b.line; k++ {
				if tokens[k].Kind == literal.Remark {
					b.remark = strings.TrimSpace(strings.TrimLeft(word(k), "-"))
				}
			}
			list = append(list, b)
		}
	}
	return list
}

// closingToken is the one that closes the bracket at another; 0: none does.
func closingToken(text string, tokens []literal.Token, open int) int {
	depth := 0
	for i := open; i < len(tokens); i++ {
		switch tokens[i].Of(text) {
		case "(", "{", "[":
			depth++
		case ")", "}", "]":
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return 0
}

// bindingOf finds in a text what a routine has bound.
func bindingOf(list []binding, bound scripting.Macro) (binding, bool) {
	i := slices.IndexFunc(list, func(b binding) bool { return b.button == bound.Button && b.line == bound.Line })
	if i < 0 {
		return binding{}, false
	}
	return list[i], true
}

// called is the name of the function bound, what stands behind it as a comment, or what it does.
func (b binding) called(text string) string {
	function := text[b.from:b.to]
	inner, anonymous := strings.CutPrefix(function, "function")
	switch {
	case !anonymous:
		return function
	case b.remark != "":
		return b.remark
	}
	argument, inner, _ := strings.Cut(strings.TrimLeft(inner, " ("), ")")
	inner = strings.Join(strings.Fields(strings.TrimSuffix(inner, "end")), " ")
	if argument == "" {
		return inner
	}
	return strings.ReplaceAll(inner, argument+".", "")
}
