package vary

import (
	"bytes"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// places knows where each value and each table of a TOML document stands, by path: "chassis.mass", "wheels[0].radius".
type places struct {
	data   []byte
	values map[string]span
	tables map[string]opening
	names  map[string]string // "parts" + "." + a name -> "parts[2]", for tables in lists that have a name
	counts map[string]int    // tables so far in a list of [[tables]]
}

// span is a value's place; text is the value without quotes.
type span struct {
	from, to int
	text     string
}

// opening is where a key can be added to a table.
type opening struct {
	at     int
	inline bool // in braces
	empty  bool
}

// locate reads a document that is known to be good TOML.
func locate(data []byte) (*places, error) {
	p := &places{data: data, values: map[string]span{}, tables: map[string]opening{}, names: map[string]string{}, counts: map[string]int{}}
	p.tables[""] = opening{at: 0}
	var parser unstable.Parser
	parser.Reset(data)
	here := ""
	for parser.NextExpression() {
		switch e := parser.Expression(); e.Kind {
		case unstable.Table, unstable.ArrayTable:
			here = p.header(e)
		case unstable.KeyValue:
			p.pair(here, e)
		}
	}
	for path, v := range p.values {
		if element, isName := strings.CutSuffix(path, ".name"); isName && strings.HasSuffix(element, "]") {
			p.names[element[:strings.LastIndexByte(element, '[')]+"."+v.text] = element
		}
	}
	return p, parser.Error()
}

// header is the path of the table that a header opens.
func (p *places) header(e *unstable.Node) string {
	path, end := "", 0
	for key := e.Key(); key.Next(); {
		path = join(path, string(key.Node().Data))
		end = int(key.Node().Raw.Offset + key.Node().Raw.Length)
		if n := p.counts[path]; n > 0 && !(key.IsLast() && e.Kind == unstable.ArrayTable) {
			path += index(n - 1)
		}
	}
	if e.Kind == unstable.ArrayTable {
		p.counts[path]++
		path += index(p.counts[path] - 1)
	}
	line := bytes.IndexByte(p.data[end:], '\n')
	if line < 0 {
		p.tables[path] = opening{at: len(p.data)}
	} else {
		p.tables[path] = opening{at: end + line + 1}
	}
	return path
}

func (p *places) pair(here string, e *unstable.Node) {
	for key := e.Key(); key.Next(); {
		here = join(here, string(key.Node().Data))
	}
	p.value(here, e.Value())
}

func (p *places) value(path string, v *unstable.Node) {
	switch v.Kind {
	case unstable.InlineTable:
		children := v.Children()
		o := opening{at: int(v.Raw.Offset) + 1, inline: true, empty: true}
		for children.Next() {
			o.empty = false
			p.pair(path, children.Node())
		}
		p.tables[path] = o
	case unstable.Array:
		children := v.Children()
		for i := 0; children.Next(); i++ {
			p.value(path+index(i), children.Node())
		}
	default:
		from := int(v.Raw.Offset)
		p.values[path] = span{from, from + int(v.Raw.Length), string(v.Data)}
	}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func index(i int) string { return "[" + strconv.Itoa(i) + "]" }
