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

// home says into which of a table's own tables a key belongs that is not known in it, "" if into none. A table that the file
// gives is named before those that it might have.
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
