package build

import (
	"fmt"
	"reflect"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/tomlfile"
)

// renamed are the edits of what names the table chosen: all that had its old name has the new one.
func (b *Board) renamed(r Row, name string) (edits []Edit) {
	list, _, isElement := strings.Cut(b.chosen, "[")
	values, err := tomlfile.ValuesOf(b.text)
	if !isElement || err != nil {
		return nil
	}
	what := singular(list)
	for _, path := range b.nested(values) {
		for _, key := range tomlfile.KeysOf(b.subject.Format(), path) {
			at := under(path, key.Name)
			if key.Text || key.Of == reflect.TypeFor[fields.Formula]() {
				if text, ok := values.Text(at); ok && fields.Renamed(text, what, r.Value, name) != text {
					edits = append(edits, Set(at, quoted(fields.Renamed(text, what, r.Value, name))))
				}
			}
			if key.Refer != what && !strings.HasPrefix(key.Refer, what+" of") {
				continue
			}
			if text, ok := values.Text(at); ok && text == r.Value {
				edits = append(edits, Set(at, quoted(name)))
			}
			texts, _ := values.Texts(at)
			for i, text := range texts {
				if text == r.Value {
					edits = append(edits, Set(fmt.Sprintf("%s[%d]", at, i), quoted(name)))
				}
			}
		}
	}
	return edits
}

// nested are the paths of all tables in the list beside the drawing, and of those in them that the file has.
func (b *Board) nested(values *tomlfile.Values) []string {
	list := b.tables()
	for i := 0; i < len(list); i++ {
		for _, key := range tomlfile.KeysOf(b.subject.Format(), list[i]) {
			if inner := under(list[i], key.Name); key.Takes == tomlfile.Tables && list[i] != "" && values.Given(inner) {
				list = append(list, inner)
			}
		}
	}
	return list
}

// singular is what one of a list is called: a piece kind of piece_kinds.
func singular(list string) string { return strings.TrimSuffix(strings.ReplaceAll(list, "_", " "), "s") }

// tables are the paths of all tables in the list beside the drawing.
func (b *Board) tables() (list []string) {
	for _, g := range b.sheet.Groups {
		for _, item := range g.Items {
			list = append(list, item.Path)
		}
	}
	return list
}
