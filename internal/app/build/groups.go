package build

import (
	"cmp"
	"fmt"
	"reflect"
	"strings"

	"chalkfield/internal/base/tomlfile"
)

// Groups lists the tables of a text by its format: the head first, then the tables, then the lists of
// tables, there or not.
func Groups(format reflect.Type, head string, values *tomlfile.Values) []Group {
	groups := []Group{{Title: head, Items: []Item{{Words: head}}}}
	var lists []Group
	for _, key := range tomlfile.KeysOf(format, "") {
		title := strings.ReplaceAll(key.Name, "_", " ")
		switch key.Takes {
		case tomlfile.Tables:
			groups = append(groups, Group{Path: key.Name, Title: title, Items: []Item{{key.Name, title}}})
		case tomlfile.TableLists:
			g := Group{Path: key.Name, Title: title, List: true}
			for i := range values.Length(key.Name) {
				path := fmt.Sprintf("%s[%d]", key.Name, i)
				g.Items = append(g.Items, Item{path, itemWords(values, path, fmt.Sprintf("%s %d", singular(key.Name), i+1))})
			}
			lists = append(lists, g)
		}
	}
	return append(groups, lists...)
}

// itemWords is what a table is called: its name, or its kind and side with its number.
func itemWords(values *tomlfile.Values, path, otherwise string) string {
	text := func(key string) string { t, _ := values.Text(path + "." + key); return t }
	if name := text("name"); name != "" {
		return name
	}
	if train := text("train"); train != "" {
		return train + " " + otherwise
	}
	words := strings.TrimSpace(text("side") + " " + cmp.Or(text("kind"), otherwise))
	if grid, ok := values.Texts(path + ".grid"); ok && len(grid) == 2 {
		words += ", " + grid[0] + " x " + grid[1]
	}
	return words
}
