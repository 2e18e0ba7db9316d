package tomlfile

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// Put sets a value as Edit does, and a whole list or table in braces too.
func Put(data []byte, path, value string) ([]byte, error) {
	p, err := locate(data)
	if err != nil {
		return nil, err
	}
	from, to, found := p.extent(p.canonical(path))
	if !found {
		table, key := path[:max(strings.LastIndexByte(path, '.'), 0)], path[strings.LastIndexByte(path, '.')+1:]
		if strings.Contains(table, "].") && p.nodes[p.canonical(table)] == nil { // in an element that lacks the table
			return Put(data, table, "{ "+key+" = "+value+" }")
		}
		return Edit(data, path, value)
	}
	return checked(splice(data, from, to, value), path)
}

// Insert puts a new element before the one at a place of a list, at the end where there are not so many. In a list of
// tables it has these keys; in any other it is the value of the first, whose path is empty. A list that the file does
// not have yet is a list of tables.
func Insert(data []byte, list string, at int, keys []Change) ([]byte, error) {
	p, err := locate(data)
	if err != nil {
		return nil, err
	}
	list = p.canonical(list)
	n := p.nodes[list]
	switch {
	case n == nil || n.kind == unstable.Array && len(n.items) > 0 && headed(n.items[0]):
		data = p.insertTable(n, list, at, keys)
	case n.kind != unstable.Array:
		return nil, fmt.Errorf("%s is no list in the file", list)
	default:
		data = p.insertElement(list, at, inline(keys))
	}
	return checked(data, list)
}

// Remove takes a key out of a document, or an element of a list, with all that it holds. Comments before it stay.
func Remove(data []byte, path string) ([]byte, error) {
	p, err := locate(data)
	if err != nil {
		return nil, err
	}
	path = p.canonical(path)
	n := p.nodes[path]
	switch {
	case n == nil || path == "":
		return nil, fmt.Errorf("there is no %s in the file", path)
	case headed(n), n.kind == unstable.Array && len(n.items) > 0 && headed(n.items[0]):
		data = p.removeBlocks(path)
	case strings.HasSuffix(path, "]"):
		data = p.removeElement(path)
	default:
		data, err = p.removeKey(path)
	}
	if err != nil {
		return nil, err
	}
	return checked(data, path)
}

// checked refuses what is no good TOML any more.
func checked(data []byte, path string) ([]byte, error) {
	var anything map[string]any
	if err := toml.Unmarshal(data, &anything); err != nil {
		return nil, fmt.Errorf("%s cannot be written there: change the file by hand", path)
	}
	return data, nil
}

// headed reports whether a table has a header of its own, not braces.
func headed(n *node) bool { return n.kind == unstable.Table && !n.brace && n.opens >= 0 }

// inline is a table in braces, or a value where the key has no name.
func inline(keys []Change) string {
	if len(keys) == 1 && keys[0].Path == "" {
		return keys[0].Value
	}
	parts := make([]string, len(keys))
	for i, k := range keys {
		parts[i] = k.Path + " = " + k.Value
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}

// insertTable writes a table with a header behind the one before it, or at the end of the file.
func (p *document) insertTable(n *node, list string, at int, keys []Change) []byte {
	end := lineBreak(p.data)
	text := "[[" + index.ReplaceAllString(list, "") + "]]" + end
	for _, k := range keys {
		text += k.Path + " = " + k.Value + end
	}
	blocks := p.blocks()
	switch {
	case n == nil:
		parting := ""
		if len(p.data) > 0 {
			parting = end
			if p.data[len(p.data)-1] != '\n' {
				parting += end
			}
		}
		return slices.Concat(p.data, []byte(parting+text))
	case at <= 0:
		for _, b := range blocks {
			if b.path == element(list, 0) {
				return splice(p.data, b.from, b.from, text+end)
			}
		}
	}
	before, to := element(list, min(at, len(n.items))-1), len(p.data)
	for _, b := range blocks {
		if within(b.path, before) {
			to = b.to
		}
	}
	if to > 0 && p.data[to-1] != '\n' {
		text = end + text
	}
	return splice(p.data, to, to, end+text)
}

// block is a header with its keys: whole lines.
type block struct {
	path     string
	from, to int
}

// blocks are the tables of the file that have headers, in its order.
func (p *document) blocks() (list []block) {
	count := map[string]int{} // of lists of tables: how many elements so far
	var parser unstable.Parser
	parser.Reset(p.data)
	for parser.NextExpression() {
		e := parser.Expression()
		first, last := -1, -1
		var names []string
		for key := e.Key(); key.Next(); {
			raw := key.Node().Raw
			if first < 0 {
				first = int(raw.Offset)
			}
			last = int(raw.Offset + raw.Length)
			names = append(names, string(key.Node().Data))
		}
		if e.Kind == unstable.KeyValue {
			if n := len(list); n > 0 {
				list[n-1].to = p.lineBehind(p.valueEnd(last))
			}
			continue
		}
		path := ""
		for i, name := range names {
			path = join(path, name)
			if e.Kind == unstable.ArrayTable && i == len(names)-1 {
				count[path]++
			}
			if n := count[path]; n > 0 {
				path = element(path, n-1)
			}
		}
		list = append(list, block{path, bytes.LastIndexByte(p.data[:first], '\n') + 1, p.lineBehind(last)})
	}
	return list
}

// valueEnd is where the value ends of a key that ends at an offset.
func (p *document) valueEnd(key int) int { return valueEnd(p.data, afterEquals(p.data, key)) }

// lineBehind is where the line after that of an offset begins.
func (p *document) lineBehind(at int) int {
	_, end := lineEnd(p.data, at)
	if end < len(p.data) && p.data[end] == '\r' {
		end++
	}
	return min(end+1, len(p.data))
}

// within reports whether a path is another or leads into it.
func within(path, of string) bool {
	rest, found := strings.CutPrefix(path, of)
	return found && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// removeBlocks takes tables with headers out, each with the blank line behind it where one stands before it too.
func (p *document) removeBlocks(path string) []byte {
	data := p.data
	for _, b := range slices.Backward(p.blocks()) {
		if !within(b.path, path) {
			continue
		}
		to := b.to
		before := bytes.TrimRight(data[:b.from], " \t")
		alone := len(before) == 0 || bytes.HasSuffix(before, []byte("\n\n")) || bytes.HasSuffix(before, []byte("\n\r\n"))
		if blank := p.blankLine(data, to); alone && blank > to {
			to = blank
		}
		data = splice(data, b.from, to, "")
	}
	return data
}

// blankLine is where a line that begins at an offset ends, if it is blank; else the offset.
func (*document) blankLine(data []byte, at int) int {
	for i := at; i < len(data); i++ {
		switch data[i] {
		case '\n':
			return i + 1
		case ' ', '\t', '\r':
			continue
		}
		return at
	}
	return at
}

// removeKey takes a key with its value out: its line, or its part of braces.
func (p *document) removeKey(path string) ([]byte, error) {
	table, key := parent(path)
	for k := p.nodes[table].last; k != nil; k = k.before {
		if k.key != p.nodes[path].keyAt {
			continue
		}
		if k.brace {
			return p.removePart(k.from, k.end), nil
		}
		from := bytes.LastIndexByte(p.data[:k.from], '\n') + 1
		return splice(p.data, from, p.lineBehind(k.end), ""), nil
	}
	return nil, fmt.Errorf("%s stands in several places of the file: take it out by hand, %s in each", path, key)
}

// removePart takes a part of a list or of braces out, with the comma that parts it from its neighbour.
func (p *document) removePart(from, to int) []byte {
	after := skipBlank(p.data, to)
	if after < len(p.data) && p.data[after] == ',' {
		after++
		for after < len(p.data) && (p.data[after] == ' ' || p.data[after] == '\t') {
			after++
		}
		return splice(p.data, from, after, "")
	}
	before := bytes.TrimRight(p.data[:from], " \t\r\n")
	if bytes.HasSuffix(before, []byte(",")) {
		return splice(p.data, len(before)-1, to, "")
	}
	return splice(p.data, from, to, "")
}

func (p *document) removeElement(path string) []byte {
	from, to, found := p.extent(path)
	if !found {
		return p.data
	}
	return p.removePart(from, to)
}

// insertElement puts a value into a list in brackets.
func (p *document) insertElement(list string, at int, value string) []byte {
	open, _, _ := p.extent(list)
	parts := elements(p.data, open)
	switch at = min(max(at, 0), len(parts)); {
	case len(parts) == 0:
		return splice(p.data, open+1, open+1, value)
	case at == 0:
		return splice(p.data, parts[0][0], parts[0][0], value+", ")
	}
	end := parts[at-1][1]
	return splice(p.data, end, end, ", "+value)
}

// extent is where a value stands: a scalar, a list in brackets, a table in braces, an element of such a list. False for
// what has headers and what is not there.
func (p *document) extent(path string) (from, to int, found bool) {
	base, inner := path, []int{}
	for n := p.nodes[base]; n != nil && strings.HasSuffix(base, "]"); n = p.nodes[base] {
		if headed(n) {
			return 0, 0, false
		}
		cut := strings.LastIndexByte(base, '[')
		var i int
		if _, err := fmt.Sscanf(base[cut:], "[%d]", &i); err != nil {
			return 0, 0, false
		}
		base, inner = base[:cut], append(inner, i)
	}
	n := p.nodes[base]
	if n == nil || path == "" || n.kind == unstable.Table && !n.brace ||
		n.kind == unstable.Array && len(n.items) > 0 && headed(n.items[0]) {
		return 0, 0, false
	}
	from = n.at
	if n.kind == unstable.Table {
		from = n.opens - 1
	}
	to = valueEnd(p.data, from)
	for _, i := range slices.Backward(inner) {
		parts := elements(p.data, from)
		if i >= len(parts) {
			return 0, 0, false
		}
		from, to = parts[i][0], parts[i][1]
	}
	return from, to, true
}

// elements are where the values of a list in brackets stand that begins at an offset.
func elements(data []byte, open int) (list [][2]int) {
	if open >= len(data) || data[open] != '[' {
		return nil
	}
	for at := skipBlank(data, open+1); at < len(data) && data[at] != ']'; at = skipBlank(data, at) {
		if data[at] == ',' {
			at++
			continue
		}
		end := valueEnd(data, at)
		if end <= at {
			return list
		}
		list, at = append(list, [2]int{at, end}), end
	}
	return list
}

// skipBlank is the next offset that is neither blank nor in a comment.
func skipBlank(data []byte, at int) int {
	for at < len(data) {
		switch data[at] {
		case ' ', '\t', '\r', '\n':
			at++
		case '#':
			if line := bytes.IndexByte(data[at:], '\n'); line >= 0 {
				at += line
			} else {
				at = len(data)
			}
		default:
			return at
		}
	}
	return at
}

// valueEnd is where the value ends that begins at an offset.
func valueEnd(data []byte, at int) int {
	if at >= len(data) {
		return at
	}
	switch data[at] {
	case '[', '{':
		return closing(data, at)
	case '"', '\'':
		return stringEnd(data, at)
	}
	end := at
	for end < len(data) && !strings.ContainsRune(",]}#\r\n", rune(data[end])) {
		end++
	}
	return at + len(bytes.TrimRight(data[at:end], " \t"))
}
