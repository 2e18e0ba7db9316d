package literal

import "math"

// Call is a call as a text has it.
type Call struct {
	Of, Name   string // drive and visit of bot.drive:visit(...); Of is "" where nothing stands before
	Line, Last int    // from its name to its closing bracket
	Args       []Value
}

// Value is an argument of a call, or a member of a table.
type Value struct {
	Key      string // of a table's member that has a name
	From, To int    // bytes
	Line     int
	Number   *Number // it is a number and nothing else
	List     []Value // it is a table
}

// Calls are those of a text, in the order of their names.
func Calls(text string) []Call {
	p := newParser(text)
	var calls []Call
	for i, t := range p.tokens {
		if t.Kind != Name || p.word(i+1) != "(" || keyword(p.word(i)) || p.defines(i) {
			continue
		}
		args, last := p.values(i + 2)
		if last >= len(p.tokens) {
			continue
		}
		call := Call{Name: p.word(i), Line: t.Line, Last: p.tokens[last].Line, Args: args}
		if i > 1 && (p.word(i-1) == ":" || p.word(i-1) == ".") {
			call.Of = p.word(i - 2)
		}
		calls = append(calls, call)
	}
	return calls
}

// Tables are those that stand after `key =`. One that does not close is left out.
func Tables(text, key string) []Value {
	p := newParser(text)
	var list []Value
	for i, t := range p.tokens {
		if t.Kind != Name || p.word(i) != key || p.word(i+1) != "=" || p.word(i+2) != "{" {
			continue
		}
		if _, last := p.values(i + 3); last < len(p.tokens) {
			list = append(list, p.value(i+2, last+1))
		}
	}
	return list
}

func keyword(word string) bool {
	switch word {
	case "and", "or", "not", "return", "in", "if", "elseif", "while", "until", "then", "do", "else", "repeat", "function":
		return true
	}
	return false
}

// parser goes through the tokens of a text.
type parser struct {
	text    string
	tokens  []Token
	numbers map[int]*Number // by their first byte
}

func newParser(text string) *parser {
	p := &parser{text: text, tokens: Code(text), numbers: map[int]*Number{}}
	list := Numbers(text)
	for i := range list {
		p.numbers[list[i].From] = &list[i]
	}
	return p
}

func (p *parser) word(i int) string {
	if i < 0 || i >= len(p.tokens) {
		return ""
	}
	return p.tokens[i].Of(p.text)
}

// defines reports whether a name with brackets after it is that of a function's definition.
func (p *parser) defines(i int) bool {
	for i > 1 && (p.word(i-1) == "." || p.word(i-1) == ":") {
		i -= 2
	}
	return p.word(i-1) == "function"
}

// values are what stands between a bracket and its end, parted by commas. last is the token of the end.
func (p *parser) values(i int) (list []Value, last int) {
	from, depth := i, 0
	add := func(to int) {
		if to > from {
			list = append(list, p.value(from, to))
		}
		from = to + 1
	}
	for ; i < len(p.tokens); i++ {
		switch p.word(i) {
		case "(", "{", "[", "function", "if", "do", "repeat":
			depth++
		case ")", "}", "]":
			if depth == 0 {
				add(i)
				return list, i
			}
			depth--
		case "end", "until":
			depth--
		case ",", ";":
			if depth == 0 {
				add(i)
			}
		}
	}
	return list, i
}

// value reads the tokens of one.
func (p *parser) value(from, to int) Value {
	v := Value{}
	if p.word(from+1) == "=" && to > from+2 {
		v.Key = p.word(from)
		from += 2
	}
	v.From, v.To, v.Line = p.tokens[from].From, p.tokens[to-1].To, p.tokens[from].Line
	if n := p.numbers[v.From]; n != nil && n.To == v.To {
		v.Number = n
	}
	if p.word(from) == "{" {
		if list, last := p.values(from + 1); last == to-1 {
			v.List = list
		}
	}
	return v
}

// Near is the number nearest to a value that its digits can write, within its limits.
func (n Number) Near(value float64) Number {
	f, ok := n.form()
	unit := n.unit()
	if !ok || unit == 0 {
		return n
	}
	return n.Step(int(math.Round(value/unit)) - int(f.units))
}
