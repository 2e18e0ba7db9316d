package tomlfile

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
)

// maxHomes is how many tables a message names for a key that stands in the wrong one.
const maxHomes = 7

// home says into which of a table's own tables a key belongs that is not known in it, "" if into none. A table that the
// file gives is named before those that it might have.
func home(path string, n *node, all []member, key string) string {
	var given, possible []string
	for _, m := range all {
		header, has := headerOf(path, m, key)
		if !has {
			continue
		}
		possible = append(possible, header)
		if n.table[m.key] != nil {
			given = append(given, header)
		}
	}
	if len(given) > 0 {
		possible = given
	}
	if len(possible) == 0 || len(possible) > maxHomes {
		return ""
	}
	return fmt.Sprintf("it belongs below %s", strings.Join(possible, " or "))
}

var index = regexp.MustCompile(`\[\d+\]`)

// headerOf is the header of a member that is a table, or a list of tables, and has a key.
func headerOf(path string, m member, key string) (header string, has bool) {
	t, form := m.typ, "[%s]"
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() == reflect.Slice {
		t, form = t.Elem(), "[[%s]]"
	}
	if !isTable(t) {
		return "", false
	}
	has = slices.ContainsFunc(members(t), func(m member) bool { return m.key == key })
	return fmt.Sprintf(form, index.ReplaceAllString(join(path, m.key), "")), has
}

// severalTables is the longest part of a key that names a list of tables, "" if none does, and whether it is the whole
// key.
func severalTables(t reflect.Type, key []string) (header string, exactly bool) {
	for i, word := range key {
		m := memberOf(t, word)
		if m == nil {
			break
		}
		if t = m.typ; t.Kind() == reflect.Slice && isTable(t.Elem()) {
			header, exactly = strings.Join(key[:i+1], "."), i == len(key)-1
		}
		for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
			t = t.Elem()
		}
	}
	return header, exactly
}

func memberOf(t reflect.Type, key string) *member {
	if !isTable(t) {
		return nil
	}
	for _, m := range members(t) {
		if m.key == key {
			return &m
		}
	}
	return nil
}

// severalOf is what to write for a list of tables that was taken for one.
func severalOf(header string) string {
	return fmt.Sprintf("there may be several of these, so each begins with two brackets: write [[%s]]", header)
}
