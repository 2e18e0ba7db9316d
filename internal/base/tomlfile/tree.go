package tomlfile

import (
	"bytes"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"
)

// node is a value of the document with its place. Tables spread over the file (headers, dotted keys) are one node.
type node struct {
	kind  unstable.Kind // Table also for inline tables, Array also for arrays of tables
	text  []byte        // scalars: the value as written, for strings without quotes and escapes
	at    int           // offset of the value, or of the table's header
	keyAt int           // offset of the key
	keys  []string      // Table: in file order
	table map[string]*node
	items []*node // Array
	end   int     // offset behind a scalar
	unit  int     // which of the kinds of quantity it was read as that its key takes
	opens int     // of a table: where its header's line ends, or behind its brace; -1 where it has neither
	brace bool    // a table in braces
	last  *pair   // the last key that the file gives in a table, in its own words
}

// tree builds the document's node from its expressions. The document has been decoded once before, so keys are known
// not to collide; a collision is resolved anyhow, never a panic.
func tree(data []byte) (*node, error) {
	root := newTable(0)
	root.opens = 0
	here := root
	var p unstable.Parser
	p.Reset(data)
	for p.NextExpression() {
		switch e := p.Expression(); e.Kind {
		case unstable.Table:
			here = root.descend(e.Key())
			here.opens = headerEnd(data, e)
		case unstable.ArrayTable:
			here = root.appendTable(e.Key())
			here.opens = headerEnd(data, e)
		case unstable.KeyValue:
			here.set(&p, e)
		}
	}
	return root, p.Error()
}

// headerEnd is where the line of a header ends.
func headerEnd(data []byte, header *unstable.Node) int {
	end := 0
	for key := header.Key(); key.Next(); {
		end = int(key.Node().Raw.Offset + key.Node().Raw.Length)
	}
	_, end = lineEnd(data, end)
	return end
}

func newTable(at int) *node {
	return &node{kind: unstable.Table, at: at, keyAt: at, opens: -1, table: map[string]*node{}}
}

// child is the value of a key, made by fresh if there is none.
func (n *node) child(key string, at int, fresh func() *node) *node {
	if c := n.table[key]; c != nil {
		return c
	}
	c := fresh()
	c.keyAt = at
	n.keys = append(n.keys, key)
	n.table[key] = c
	return c
}

// into is the table that a key leads into: of an array of tables, the last.
func (n *node) into(key *unstable.Node) *node {
	at := int(key.Raw.Offset)
	c := n.child(string(key.Data), at, func() *node { return newTable(at) })
	if c.kind == unstable.Array && len(c.items) > 0 {
		c = c.items[len(c.items)-1]
	}
	if c.table == nil {
		c.table = map[string]*node{}
	}
	return c
}

func (n *node) descend(key unstable.Iterator) *node {
	for key.Next() {
		n = n.into(key.Node())
	}
	return n
}

func (n *node) appendTable(key unstable.Iterator) *node {
	for key.Next() {
		if !key.IsLast() {
			n = n.into(key.Node())
			continue
		}
		at := int(key.Node().Raw.Offset)
		list := n.child(string(key.Node().Data), at, func() *node { return &node{kind: unstable.Array, at: at, opens: -1} })
		n = newTable(at)
		list.items = append(list.items, n)
	}
	return n
}

// set stores a key with its value, which may stand deeper by a dotted key.
func (n *node) set(p *unstable.Parser, expression *unstable.Node) {
	key, brace := expression.Key(), n.brace
	var levels []*pair // the same, as each table on the way sees it
	for key.Next() {
		k := key.Node()
		here := &pair{from: int(k.Raw.Offset), key: int(k.Raw.Offset), brace: brace, before: n.last}
		n.last, levels = here, append(levels, here)
		here.from = levels[0].from
		if !key.IsLast() {
			n = n.into(k)
			continue
		}
		end := int(k.Raw.Offset + k.Raw.Length)
		at := afterEquals(p.Data(), end)
		c := n.child(string(k.Data), here.key, func() *node { return value(p, expression.Value(), at) })
		behind := c.end
		if !c.isValue() {
			behind = closing(p.Data(), at)
		}
		for _, level := range levels {
			level.keyEnd, level.value, level.end = end, at, behind
		}
	}
}

// afterEquals is where the value of a key that ends at an offset begins.
func afterEquals(data []byte, end int) int {
	blank := func(i int) int {
		for i < len(data) && (data[i] == ' ' || data[i] == '\t') {
			i++
		}
		return i
	}
	at := blank(end)
	if at < len(data) && data[at] == '=' {
		at = blank(at + 1)
	}
	return at
}

// value copies a parsed value. The parser gives no place for arrays and inline tables inside arrays; theirs is that of
// their first content, or the place given.
func value(p *unstable.Parser, v *unstable.Node, at int) *node {
	if v.Raw.Length > 0 {
		at = int(v.Raw.Offset)
	}
	switch v.Kind {
	case unstable.Array:
		list := &node{kind: unstable.Array, at: at, opens: -1}
		for it := v.Children(); it.Next(); {
			list.items = append(list.items, value(p, it.Node(), firstPlace(it.Node(), at)))
		}
		return list
	case unstable.InlineTable:
		table := newTable(at)
		table.opens, table.brace = int(v.Raw.Offset)+1, true
		for it := v.Children(); it.Next(); {
			table.set(p, it.Node())
		}
		return table
	default:
		return &node{kind: v.Kind, text: bytes.Clone(v.Data), at: at, end: at + int(v.Raw.Length)}
	}
}

func firstPlace(v *unstable.Node, otherwise int) int {
	for ; v.Valid(); v = v.Child() {
		if v.Raw.Length > 0 {
			return int(v.Raw.Offset)
		}
	}
	return otherwise
}

// maxDepth is deeper than any format's types; what lies below is refused by its type and needs no place of its own.
const maxDepth = 32

// index visits every path below n.
func (n *node) index(path string, depth int, visit func(path string, n *node)) {
	visit(path, n)
	if depth == maxDepth {
		return
	}
	for _, key := range n.keys {
		n.table[key].index(join(path, key), depth+1, visit)
	}
	for i, item := range n.items {
		item.index(element(path, i), depth+1, visit)
	}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// lineColumn turns an offset into a line and a column in characters, both from 1.
func lineColumn(data []byte, offset int) (line, column int) {
	before := data[:min(max(offset, 0), len(data))]
	line = bytes.Count(before, []byte("\n")) + 1
	return line, utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
}
