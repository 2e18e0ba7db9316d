package tomlfile

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// Edit sets one key of a TOML document and leaves every other byte alone. path is as error messages give it
// ("wheels[0].radius"); an element of a list of tables may also be called by its name ("parts.intake.intake.gear"), and
// [*] is every element. value is TOML. A key that the document does not have is added to its table, which is added too
// if need be. Whether the key means anything is for the reader of the file to say.
func Edit(data []byte, path, value string) ([]byte, error) {
	list, key, every := strings.Cut(path, all)
	if !every {
		return editOne(data, path, value)
	}
	p, err := locate(data)
	if err == nil {
		list, err = p.resolve(list)
	}
	if err != nil {
		return nil, err
	}
	if !p.isList(list) {
		return nil, fmt.Errorf("%s is no list in the file: leave out the %s", list, all)
	}
	for i := 0; err == nil && p.nodes[element(list, i)] != nil; i++ {
		data, err = Edit(data, element(list, i)+key, value)
	}
	return data, err
}

// all stands for every element of a list.
const all = "[*]"

// document knows what stands at each path of a document that is known to be good TOML.
type document struct {
	data  []byte
	nodes map[string]*node
	names map[string]string // "parts" + "." + a name -> "parts[2]", for tables in lists that have a name
}

func locate(data []byte) (*document, error) {
	root, err := tree(data)
	if err != nil {
		return nil, err
	}
	p := &document{data: data, nodes: map[string]*node{}, names: map[string]string{}}
	root.index("", 0, func(path string, n *node) {
		p.nodes[path] = n
		for i, item := range n.items {
			if name := item.table["name"]; name != nil && name.isValue() {
				p.names[path+"."+string(name.text)] = element(path, i)
			}
		}
	})
	return p, nil
}

// isValue reports whether a node is no table and no list.
func (n *node) isValue() bool { return n.kind != unstable.Table && n.kind != unstable.Array }

// Alternatives lists paths that a user who wrote this one may have meant: every element instead of one, a key of the
// same name farther down in the same table.
func Alternatives(data []byte, path string) []string {
	p, err := locate(data)
	if err != nil {
		return nil
	}
	list := []string{}
	if every := oneElement.ReplaceAllString(path, all); every != path {
		list = append(list, every)
	}
	resolved, err := p.resolve(path)
	if err != nil {
		return list
	}
	table, key := parent(resolved)
	for _, known := range slices.Sorted(maps.Keys(p.nodes)) {
		if strings.HasPrefix(known, table+".") && strings.HasSuffix(known, "."+key) && known != resolved &&
			p.nodes[known].isValue() {
			list = append(list, p.named(known))
		}
	}
	return list
}

var oneElement = regexp.MustCompile(`\[[0-9]+\]`)

// named calls the elements of lists by their names where they have one.
func (p *document) named(path string) string {
	for _, name := range slices.Sorted(maps.Keys(p.names)) {
		if rest, found := strings.CutPrefix(path, p.names[name]+"."); found {
			path = name + "." + rest
		}
	}
	return path
}

// SameKey reports whether two paths mean one value of a document, or share one.
func SameKey(data []byte, a, b string) bool {
	p, err := locate(data)
	if err != nil {
		return a == b
	}
	a, b = p.canonical(a), p.canonical(b)
	if strings.Contains(a, all) || strings.Contains(b, all) {
		a, b = oneElement.ReplaceAllString(a, all), oneElement.ReplaceAllString(b, all)
	}
	return a == b
}

// canonical is a path with names of list elements turned into their places, as far as they are there.
func (p *document) canonical(path string) string {
	list, rest, every := strings.Cut(path, all)
	resolved, err := p.resolve(list)
	switch {
	case err != nil:
		return path
	case every:
		return resolved + all + rest
	}
	return resolved
}

// editOne is Edit for a path without [*].
func editOne(data []byte, path, value string) ([]byte, error) {
	p, err := locate(data)
	if err != nil {
		return nil, err
	}
	path, err = p.resolve(path)
	if err != nil {
		return nil, err
	}
	switch n := p.nodes[path]; {
	case n == nil:
	case n.isValue():
		return splice(data, n.at, n.end, value), nil
	default:
		return nil, fmt.Errorf("%s is a table or a list: name one value in it", path)
	}
	table, key := parent(path)
	if strings.HasSuffix(key, "]") {
		return nil, fmt.Errorf("there is no %s in the file", path)
	}
	data, err = p.insert(table, key, value)
	var anything map[string]any
	if err == nil && toml.Unmarshal(data, &anything) != nil {
		err = fmt.Errorf("the file has no place for %s: %s cannot become a table there", path, table)
	}
	return data, err
}

// insert adds a key to a table: behind its last one and written like that, in braces too.
func (p *document) insert(table, key, value string) ([]byte, error) {
	n := p.nodes[table]
	switch {
	case n == nil || n.kind != unstable.Table:
		return p.appendTable(table, key, value) // of what is a value already the file has no place
	case n.last != nil && n.last.brace || n.brace && n.last != nil:
		return splice(p.data, n.last.end, n.last.end, ", "+n.last.like(p.data, key, value)), nil
	case n.brace:
		return splice(p.data, n.opens, n.opens, fmt.Sprintf(" %s = %s ", key, value)), nil
	case n.last != nil:
		_, end := lineEnd(p.data, n.last.end)
		line := lineBreak(p.data) + p.indent(n.last.from) + n.last.like(p.data, key, value)
		return splice(p.data, end, end, line), nil
	case table == "":
		return splice(p.data, 0, 0, fmt.Sprintf("%s = %s%s", key, value, lineBreak(p.data))), nil
	case n.opens < 0:
		return p.appendTable(table, key, value)
	}
	line := fmt.Sprintf("%s%s%s = %s", lineBreak(p.data), p.indent(n.at), key, value)
	return splice(p.data, n.opens, n.opens, line), nil
}

// indent is the blank before an offset, if nothing else stands before it in its line.
func (p *document) indent(at int) string {
	line := string(p.data[bytes.LastIndexByte(p.data[:at], '\n')+1 : at])
	return line[:len(line)-len(strings.TrimLeft(line, " \t"))]
}

// appendTable adds a table with its first key at the end, or the first of a list of tables.
func (p *document) appendTable(table, key, value string) ([]byte, error) {
	header := "[" + table + "]"
	if list, first := strings.CutSuffix(table, "[0]"); first && p.nodes[list] == nil {
		header = "[[" + list + "]]"
	}
	if strings.Contains(strings.TrimSuffix(table, "[0]"), "[") || strings.HasSuffix(table, "]") && header[1] != '[' {
		return nil, fmt.Errorf("there is no %s in the file", table)
	}
	end, parting := lineBreak(p.data), ""
	if n := len(p.data); n > 0 {
		parting = end
		if p.data[n-1] != '\n' {
			parting += end
		}
	}
	return slices.Concat(p.data, []byte(fmt.Sprintf("%s%s%s%s = %s%s", parting, header, end, key, value, end))), nil
}

// isList reports whether a path is a list.
func (p *document) isList(path string) bool {
	n := p.nodes[path]
	return n != nil && len(n.items) > 0
}

var segment = regexp.MustCompile(`^[A-Za-z0-9_-]+(\[[0-9]+\])*$`)

// resolve turns names of list elements into their places.
func (p *document) resolve(path string) (string, error) {
	out := ""
	for _, part := range strings.Split(path, ".") {
		part = strings.TrimSpace(part)
		if element, found := p.names[join(out, part)]; found && out != "" {
			out = element
			continue
		}
		if !segment.MatchString(part) {
			return "", fmt.Errorf("%q: there is nothing of that name in %q", part, out)
		}
		if p.isList(out) && out != "" {
			return "", fmt.Errorf("%s is a list that has no %q: there are %s; or write %s[0]", out, part, p.elements(out), out)
		}
		out = join(out, part)
	}
	return out, nil
}

// elements lists the names of a list's tables.
func (p *document) elements(list string) string {
	var names []string
	for name, element := range p.names {
		if strings.HasPrefix(element, list+"[") && strings.HasPrefix(name, list+".") {
			names = append(names, strings.TrimPrefix(name, list+"."))
		}
	}
	if names == nil {
		return "no names"
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

func parent(path string) (table, key string) {
	cut := strings.LastIndexByte(path, '.')
	if cut < 0 {
		return "", path
	}
	return path[:cut], path[cut+1:]
}

func splice(data []byte, from, to int, text string) []byte {
	return slices.Concat(data[:from], []byte(text), data[to:])
}
