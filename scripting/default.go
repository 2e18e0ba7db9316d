package scripting

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"chalkfield/scripting/literal"
)

// DefaultIn is how a routine's text comes to have the value in force as its default: what stands from one byte to
// another is exchanged for words. All else stays as it is.
func (p Param) DefaultIn(text string) (from, to int, with string, err error) {
	wrong := fmt.Errorf("%w %s(%q, ...) in plain letters: write %s there by hand", ErrNoCall, p.call(), p.Name,
		p.Words(p.Used))
	for _, c := range literal.Calls(text) {
		if p.calledBy(c, text) {
			from, to, with, reason := p.exchange(c, text)
			if reason == "" {
				return from, to, with, nil
			}
			wrong = fmt.Errorf("line %d: %s(%q, ...): %s", c.Line, p.call(), p.Name, reason)
		}
	}
	return 0, 0, "", wrong
}

// ErrNoCall is of a text that has no call of a name.
var ErrNoCall = errors.New("the text has no")

// call is the function that leaves it open.
func (p Param) call() string {
	if p.Kind == "" {
		return "param"
	}
	return string(p.Kind)
}

func (p Param) calledBy(c literal.Call, text string) bool {
	return c.Of == "" && c.Name == p.call() && len(c.Args) > 1 && strings.Trim(textOf(c.Args[0], text), `"'`) == p.Name
}

func textOf(v literal.Value, text string) string { return text[v.From:v.To] }

// exchange says what cannot be written, "" if it can.
func (p Param) exchange(c literal.Call, text string) (from, to int, with, wrong string) {
	second := c.Args[1]
	plain := func(x bool) bool { return textOf(second, text) == strconv.FormatBool(x) }
	switch {
	case p.Kind == Whether && !plain(true) && !plain(false):
		return 0, 0, "", "its default is written as " + textOf(second, text) + ": write true or false there"
	case p.Kind == Whether:
		return second.From, second.To, strconv.FormatBool(p.Used == 1), ""
	case p.Kind != "" && len(second.List) != len(p.Options):
		return 0, 0, "", "its list is written as " + textOf(second, text) + ": write it there as {..., ...}"
	case p.Kind == Choice:
		return p.given(c, text)
	case p.Kind == Order:
		return exchanged(second.List, OrderAt(int(p.Used)-1, len(second.List)), text)
	case second.Number == nil:
		return 0, 0, "", "its default is written as " + textOf(second, text) + ": write a plain number there"
	}
	return second.From, second.To, strconv.FormatFloat(p.Used, 'f', -1, 64), ""
}

// given is a choice's third argument. A table cannot stand there, since it would be another one: it comes to be the
// first.
func (p Param) given(c literal.Call, text string) (from, to int, with, wrong string) {
	list, own := c.Args[1].List, int(p.Used)-1
	switch table := list[own].List != nil; {
	case len(c.Args) == 2 && own == 0:
		return c.Args[1].To, c.Args[1].To, "", ""
	case table && len(c.Args) > 2:
		return 0, 0, "", "its third is written as " + textOf(c.Args[2], text) +
			": leave it out, and let the usual one of the list be the first"
	case table:
		order := []int{own}
		for i := range list {
			if i != own {
				order = append(order, i)
			}
		}
		return exchanged(list, order, text)
	}
	with = textOf(list[own], text)
	if len(c.Args) > 2 {
		return c.Args[2].From, c.Args[2].To, with, ""
	}
	return c.Args[1].To, c.Args[1].To, ", " + with, ""
}

// exchanged are the members of a list in another order; what stands between them stays.
func exchanged(list []literal.Value, order []int, text string) (from, to int, with, wrong string) {
	if slices.ContainsFunc(list, func(v literal.Value) bool { return v.Key != "" }) {
		return 0, 0, "", "its list has names before \"=\": leave these out"
	}
	for i, k := range order {
		if i > 0 {
			with += text[list[i-1].To:list[i].From]
		}
		with += textOf(list[k], text)
	}
	return list[0].From, list[len(list)-1].To, with, ""
}
