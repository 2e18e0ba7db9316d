package tomlfile

import "github.com/pelletier/go-toml/v2/unstable"

// Values are those of a document as they are written.
type Values struct{ of *document }

// ValuesOf finds the values of a document.
func ValuesOf(data []byte) (*Values, error) {
	p, err := locate(data)
	return &Values{p}, err
}

// Raw is the TOML that stands at a path; false where it has no value in one place.
func (v *Values) Raw(path string) (string, bool) {
	from, to, found := v.of.extent(path)
	if !found {
		return "", false
	}
	return string(v.of.data[from:to]), true
}

// Text is the text of a single value, without quotes.
func (v *Values) Text(path string) (string, bool) {
	n := v.of.nodes[path]
	if n == nil || !n.isValue() {
		return "", false
	}
	return string(n.text), true
}

// Texts are the texts of a list of single values; false for any other.
func (v *Values) Texts(path string) (list []string, ok bool) {
	n := v.of.nodes[path]
	if n == nil || n.kind != unstable.Array {
		return nil, false
	}
	for _, item := range n.items {
		if !item.isValue() {
			return nil, false
		}
		list = append(list, string(item.text))
	}
	return list, true
}

// Given reports whether there is anything at a path, Length how many elements a list has.
func (v *Values) Given(path string) bool { return v.of.nodes[path] != nil }
func (v *Values) Length(path string) int {
	if n := v.of.nodes[path]; n != nil {
		return len(n.items)
	}
	return 0
}

// Keys are those of a table, in the order of the file.
func (v *Values) Keys(path string) []string {
	if n := v.of.nodes[path]; n != nil {
		return n.keys
	}
	return nil
}
