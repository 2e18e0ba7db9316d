package tomlfile

import (
	"reflect"
	"strings"
)

// Key is a key of a format as the tags of its struct tell of it, for whoever offers to set it.
type Key struct {
	Name      string
	Takes     Takes
	Unit      string   // of quantities, SI
	Words     []string // one of which it takes
	Refer     string   // what it names
	Usual     string   // when it is left out
	Need      string   // an example, in TOML, of a key that must be given; "": it may be left out
	Low, High string   // as a file writes them
	Zero      string   // what 0 stands for
	Text      bool     // a text may stand in place of the number
	Of        reflect.Type
}

// Takes is what may stand behind a key.
type Takes int

const (
	Texts      Takes = iota
	Flags            // true or false
	Wholes           // a whole number
	Numbers          // a number
	Quantities       // a number with a unit, in quotes
	OneWord          // one of Words
	OneName          // the name of what Refer says
	Names            // a list of those
	Places           // a place, x and y
	Corners          // a list of places
	Lists            // some other list
	Tables           // a table
	TableLists       // a list of tables
)

// KeysOf lists the keys of the table at a path of a format: "zones[2]". Nil: there is no table.
func KeysOf(format reflect.Type, path string) []Key {
	t := format
	for _, part := range strings.Split(path, ".") {
		if path == "" {
			break
		}
		name, _, _ := strings.Cut(part, "[")
		m := memberOf(t, name)
		if m == nil {
			return nil
		}
		for t = m.typ; t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice; {
			t = t.Elem()
		}
	}
	if !isTable(t) {
		return nil
	}
	var keys []Key
	for _, m := range members(t) {
		if n := len(keys); n > 0 && keys[n-1].Name == m.key {
			keys[n-1].Text = true
			continue
		}
		k := Key{Name: m.key, Takes: takes(m.typ, m.form), Unit: m.unit, Refer: m.refer, Usual: m.usual, Low: m.low,
			High: m.high, Zero: m.zero, Of: m.typ, Need: strings.ReplaceAll(m.need, "'", `"`)}
		if m.words != "" {
			_, k.Words = m.known(m.key)
		}
		keys = append(keys, k)
	}
	return keys
}

// takes is what a member is read from.
func takes(t reflect.Type, f form) Takes {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch list := t.Kind() == reflect.Slice || t.Kind() == reflect.Array; {
	case isText(t):
		return Texts
	case t == vecType || t == poseType:
		return Places
	case list && t.Elem() == vecType:
		return Corners
	case list && isTable(t.Elem()):
		return TableLists
	case list && f.refer != "":
		return Names
	case list || t.Kind() == reflect.Map:
		return Lists
	case isTable(t):
		return Tables
	case f.refer != "":
		return OneName
	case f.words != "":
		return OneWord
	case f.unit != "":
		return Quantities
	case t.Kind() == reflect.Bool:
		return Flags
	case reflect.Zero(t).CanInt() || reflect.Zero(t).CanUint():
		return Wholes
	case reflect.Zero(t).CanFloat():
		return Numbers
	}
	return Texts
}
