package formula

import (
	"slices"

	"chalkfield/internal/base/wording"

	"github.com/expr-lang/expr/ast"
)

// word reads a word of the format, with its texts in brackets; args is nil without brackets.
func (r *reader) word(at *ast.Node, name string, other bool, args *[]ast.Node) part {
	i := slices.IndexFunc(r.words, func(w Word) bool { return w.Name == name })
	if i < 0 {
		if o := slices.IndexFunc(r.overs, func(o Over) bool { return o.Name == name }); o >= 0 {
			return r.fail(*at, "%s needs brackets: write %s", name, r.overs[o].example())
		}
		if slices.ContainsFunc(r.outer, func(o Over) bool { return o.Name == name }) {
			return r.fail(*at, "%s cannot stand within another word over all rehearsals: there is one number of each here", name)
		}
		if _, function := functions[name]; function {
			return r.fail(*at, "%s takes numbers in brackets", name)
		}
		return r.fail(*at, "%q is nothing that a formula can read: %s", name, wording.Instead(name, r.known()))
	}
	w := &r.words[i]
	switch {
	case w.Told:
		return r.fail(*at, "%s is compared with a name: write %s == %s", name, name, quoted(w.Of[0]))
	case other && !w.Sides:
		return r.fail(*at, "%s is the same for all sides: leave \"other.\" out", name)
	case args == nil && (w.What != "" || w.How != nil || w.Sides):
		return r.fail(*at, "%s needs brackets: write %s", name, w.example())
	case args != nil && !w.Sides && w.What == "":
		return r.fail(*at, "%s has no brackets: write it alone", name)
	}
	t, good := r.texts(*at, w, args)
	if !good {
		return part{}
	}
	t.Other = other
	r.reading(at, t)
	if w.Units != nil {
		return part{Number, w.Units[t.Of]}
	}
	return part{Number, w.Unit}
}

// texts finds what the texts in brackets name.
func (r *reader) texts(n ast.Node, w *Word, args *[]ast.Node) (t Term, good bool) {
	t = Term{Word: w.Name, Of: -1, How: -1}
	var list []ast.Node
	if args != nil {
		list = *args
	}
	known := w.lists()
	least := len(known)
	if w.How != nil {
		least--
	}
	if w.Free {
		least--
	}
	if len(list) < least || len(list) > len(known) {
		r.fail(n, "%s cannot have %d in its brackets: write %s", w.Name, len(list), w.example())
		return t, false
	}
	if w.How != nil {
		t.How = 0
	}
	for k, arg := range list {
		text, _ := arg.(*ast.StringNode)
		if text == nil {
			r.fail(arg, "a name in quotes belongs here: write %s", w.example())
			return t, false
		}
		if w.Check != nil && k == 0 {
			if err := w.Check(text.Value); err != nil {
				r.fail(arg, "%v", err)
				return t, false
			}
			t.Text = text.Value
			continue
		}
		found := r.place(text, []string{w.What, "word here"}[k], known[k])
		if found < 0 {
			return t, false
		}
		*[]*int{&t.Of, &t.How}[k] = found
	}
	return t, true
}

// lists are the known words of each text in its brackets.
func (w *Word) lists() (known [][]string) {
	if w.What != "" {
		known = append(known, w.Of)
	}
	if w.How != nil {
		known = append(known, w.How)
	}
	return known
}

// example is how the word is written.
func (w *Word) example() string {
	if w.What == "" {
		return w.Name + "()"
	}
	if len(w.Of) == 0 {
		return w.Name + "('...')"
	}
	return w.Name + "(" + quoted(w.Of[0]) + ")"
}

// place finds a text among known ones, -1 if it is none of them.
func (r *reader) place(n *ast.StringNode, what string, known []string) int {
	i := slices.Index(known, n.Value)
	if i < 0 {
		r.fail(n, "%q is no %s: %s", n.Value, what, wording.Instead(n.Value, known))
	}
	return i
}
