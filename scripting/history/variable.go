package history

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Variable is a name and what it held. It never changes: what holds another value is another Variable.
type Variable struct {
	Name    string
	Kind    Kind
	Number  float64     // of a number; of a boolean 1 or 0; of a table how many entries it has
	Text    string      // of a string its beginning; of others what they are
	Members []*Variable // the first entries of a table
}

// MarshalJSON writes it for machines: a number that JSON has no word for is there in words alone.
func (v *Variable) MarshalJSON() ([]byte, error) {
	out := struct {
		Name    string      `json:"name"`
		Kind    Kind        `json:"kind"`
		Value   string      `json:"value"`
		Number  *float64    `json:"number,omitempty"`
		Entries int         `json:"entries,omitempty"`
		Members []*Variable `json:"members,omitempty"`
	}{Name: v.Name, Kind: v.Kind, Value: v.Words(), Members: v.Members}
	switch _, finite := v.Curved(); {
	case v.Kind == Number && finite:
		out.Number = &v.Number
	case v.Kind == Table:
		out.Entries = int(v.Number)
	}
	return json.Marshal(out)
}

// Kind is what a variable holds.
type Kind string

const (
	Nil     Kind = "nil"
	Boolean Kind = "boolean"
	Number  Kind = "number"
	String  Kind = "string"
	Table   Kind = "table"
	Func    Kind = "function"
	Object  Kind = "object" // the robot, its parts, motions, tasks, controllers
)

// What is kept of one variable.
const (
	mostMembers = 12 // of a table
	deepest     = 3  // tables within tables
	longestText = 60 // bytes of a string
)

// Words is what it held, as a routine would write it where that is short.
func (v *Variable) Words() string {
	switch v.Kind {
	case Nil:
		return "nil"
	case Boolean:
		return strconv.FormatBool(v.Number != 0)
	case Number:
		return strconv.FormatFloat(v.Number, 'g', 10, 64)
	case String:
		return strconv.Quote(v.Text)
	case Table:
		return v.tableWords()
	}
	return v.Text
}

// InLine is whether Words has all that there is of it.
func (v *Variable) InLine() bool {
	const few = 4
	nested := slices.ContainsFunc(v.Members, func(m *Variable) bool { return m.Kind == Table })
	return !nested && len(v.Members) <= few && (v.Kind != Table || len(v.Members) == int(v.Number))
}

// tableWords has the entries of a small table, and of any how many there are.
func (v *Variable) tableWords() string {
	if !v.InLine() {
		return fmt.Sprintf("table of %.0f", v.Number)
	}
	var words []string
	for i, m := range v.Members {
		if m.Name == fmt.Sprintf("[%d]", i+1) {
			words = append(words, m.Words())
		} else {
			words = append(words, m.Name+" = "+m.Words())
		}
	}
	return "{" + strings.Join(words, ", ") + "}"
}

// Curved is whether it can be drawn as a curve, and its value there.
func (v *Variable) Curved() (value float64, is bool) {
	return v.Number, v.Kind == Number && !math.IsInf(v.Number, 0) && !math.IsNaN(v.Number) || v.Kind == Boolean
}
