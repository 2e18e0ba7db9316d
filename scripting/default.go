package scripting

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"chalkfield/scripting/literal"
)

// DefaultIn is how a routine's text comes to have the value in force as its default: what stands from one byte to
// another is exchanged for words. All else stays as it is.
func (p Param) DefaultIn(text string) (from, to int, with string, err error) {
	for _, c := range literal.Calls(text) {
		if p.calledBy(c, text) {
			if from, to, with, ok := p.exchange(c, text); ok {
				return from, to, with, nil
			}
		}
	}
	return 0, 0, "", fmt.Errorf("the text has no plain %s(%q, ...): write %s there by hand", p.call(), p.Name,
		p.Words(p.Used))
}

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

func (p Param) exchange(c literal.Call, text string) (from, to int, with string, ok bool) {
	second := c.Args[1]
	switch p.Kind {
	case Whether:
		return second.From, second.To, strconv.FormatBool(p.Used == 1), true
	case Choice:
		return p.given(c, text)
	case Order:
		return p.reorder(second.List, text)
	}
	if second.Number == nil {
		return 0, 0, "", false
	}
	n, err := second.Number.Typed(strconv.FormatFloat(p.Used, 'f', -1, 64))
	return n.From, n.To, n.Text, err == nil
}

// given is a choice's third argument; a table cannot stand there, since it would be another one.
func (p Param) given(c literal.Call, text string) (from, to int, with string, ok bool) {
	list := c.Args[1].List
	if len(list) != len(p.Options) || list[int(p.Used)-1].List != nil {
		return 0, 0, "", false
	}
	with = textOf(list[int(p.Used)-1], text)
	if len(c.Args) > 2 {
		return c.Args[2].From, c.Args[2].To, with, true
	}
	return c.Args[1].To, c.Args[1].To, ", " + with, true
}

// reorder exchanges the members of a list; what stands between them stays.
func (p Param) reorder(list []literal.Value, text string) (from, to int, with string, ok bool) {
	if len(list) != len(p.Options) {
		return 0, 0, "", false
	}
	for i, k := range OrderAt(int(p.Used)-1, len(list)) {
		if i > 0 {
			with += text[list[i-1].To:list[i].From]
		}
		with += textOf(list[k], text)
	}
	last := len(list) - 1
	named := slices.ContainsFunc(list, func(v literal.Value) bool { return v.Key != "" })
	return list[0].From, list[last].To, with, !named
}
