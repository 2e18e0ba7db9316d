package sandbox

import (
	lua "github.com/yuin/gopher-lua"
)

// Lua patterns as the Lua 5.1 manual, section 5.4.1, defines them. gopher-lua's own matcher runs to its end uncounted,
// and a pattern of ten characters can keep it busy for years; this one charges every comparison.

const (
	maxCaptures   = 32
	maxNesting    = 200 // items that wait for what follows them
	triesPerStep  = 4
	openCapture   = -1
	placeCapture  = -2
	patternEscape = '%'
)

type capture struct{ start, length int } // length may be openCapture or placeCapture

type matcher struct {
	box      *Box
	state    *lua.LState
	text     string
	pattern  string
	captures []capture
	tries    int
	nesting  int
}

// from tries to match at one place of the text and returns the end of the match, or -1.
func (m *matcher) from(start, pattern int) int {
	m.captures, m.nesting = m.captures[:0], 0
	return m.match(start, pattern)
}

func (m *matcher) fail(message string) {
	m.state.RaiseError("%s in the pattern %.40q", message, m.pattern)
}

func (m *matcher) tick() {
	if m.tries++; m.tries%triesPerStep == 0 {
		m.box.charge(m.state, 1)
	}
}

// match matches the pattern from p on against the text from s on.
func (m *matcher) match(s, p int) int {
	if m.nesting++; m.nesting > maxNesting {
		m.fail("too many nested items")
	}
	end := m.items(s, p)
	m.nesting--
	return end
}

func (m *matcher) items(s, p int) int {
	for p < len(m.pattern) {
		m.tick()
		switch c := m.pattern[p]; {
		case c == '(':
			return m.openAt(s, p+1)
		case c == ')':
			return m.closeAt(s, p+1)
		case c == '$' && p+1 == len(m.pattern):
			if s == len(m.text) {
				return s
			}
			return -1
		case c == patternEscape && p+1 < len(m.pattern) && m.special(m.pattern[p+1]):
			if s, p = m.matchSpecial(s, p+1); s < 0 {
				return -1
			}
			continue
		}
		end := m.itemEnd(p)
		repeat := byte(0)
		if end < len(m.pattern) {
			repeat = m.pattern[end]
		}
		switch repeat {
		case '*', '+':
			return m.most(s, p, end, repeat == '+')
		case '-':
			return m.least(s, p, end)
		case '?':
			if m.one(s, p, end) {
				if e := m.match(s+1, end+1); e >= 0 {
					return e
				}
			}
			p = end + 1
			continue
		}
		if !m.one(s, p, end) {
			return -1
		}
		s, p = s+1, end
	}
	return s
}

// most matches an item as often as it can, then less often until the rest matches.
func (m *matcher) most(s, p, end int, atLeastOne bool) int {
	n := 0
	for m.one(s+n, p, end) {
		n++
	}
	least := 0
	if atLeastOne {
		least = 1
	}
	for ; n >= least; n-- {
		if e := m.match(s+n, end+1); e >= 0 {
			return e
		}
	}
	return -1
}

// least matches an item as seldom as it can.
func (m *matcher) least(s, p, end int) int {
	for {
		if e := m.match(s, end+1); e >= 0 {
			return e
		}
		if !m.one(s, p, end) {
			return -1
		}
		s++
	}
}

func (m *matcher) openAt(s, p int) int {
	if len(m.captures) >= maxCaptures {
		m.fail("too many captures")
	}
	length := openCapture
	if p < len(m.pattern) && m.pattern[p] == ')' {
		length, p = placeCapture, p+1
	}
	m.captures = append(m.captures, capture{s, length})
	level := len(m.captures)
	e := m.match(s, p)
	if e < 0 {
		m.captures = m.captures[:level-1]
	}
	return e
}

func (m *matcher) closeAt(s, p int) int {
	for i := len(m.captures) - 1; i >= 0; i-- {
		if m.captures[i].length != openCapture {
			continue
		}
		m.captures[i].length = s - m.captures[i].start
		e := m.match(s, p)
		if e < 0 {
			m.captures[i].length = openCapture
		}
		return e
	}
	m.fail("a ) without (")
	return -1
}

// special reports whether a character after % stands for more than a class.
func (m *matcher) special(c byte) bool { return c == 'b' || c == 'f' || '0' <= c && c <= '9' }

// matchSpecial matches %b, %f or a back reference whose letter is at p. It returns the places after it; -1 if it fails.
func (m *matcher) matchSpecial(s, p int) (int, int) {
	switch c := m.pattern[p]; c {
	case 'b':
		return m.balanced(s, p+1), p + 3
	case 'f':
		return m.frontier(s, p+1)
	default:
		return m.again(s, int(c-'1')), p + 1
	}
}

func (m *matcher) balanced(s, p int) int {
	if p+1 >= len(m.pattern) {
		m.fail("%b needs two characters")
	}
	if s >= len(m.text) || m.text[s] != m.pattern[p] {
		return -1
	}
	for depth, i := 1, s+1; i < len(m.text); i++ {
		m.tick()
		switch m.text[i] {
		case m.pattern[p+1]:
			if depth--; depth == 0 {
				return i + 1
			}
		case m.pattern[p]:
			depth++
		}
	}
	return -1
}

func (m *matcher) frontier(s, p int) (int, int) {
	if p >= len(m.pattern) || m.pattern[p] != '[' {
		m.fail("%f needs a [set]")
	}
	end := m.itemEnd(p)
	before, after := byte(0), byte(0)
	if s > 0 {
		before = m.text[s-1]
	}
	if s < len(m.text) {
		after = m.text[s]
	}
	if m.inSet(before, p, end-1) || !m.inSet(after, p, end-1) {
		return -1, end
	}
	return s, end
}

// again matches what a finished capture has matched.
func (m *matcher) again(s, index int) int {
	if index < 0 || index >= len(m.captures) || m.captures[index].length < 0 {
		m.fail("a reference to a capture that is not finished")
	}
	c := m.captures[index]
	m.box.charge(m.state, c.length/bytesPerStep)
	word := m.text[c.start : c.start+c.length]
	if len(m.text)-s < len(word) || m.text[s:s+len(word)] != word {
		return -1
	}
	return s + len(word)
}

// itemEnd is the place after the single item that begins at p.
func (m *matcher) itemEnd(p int) int {
	c := m.pattern[p]
	p++
	switch c {
	case patternEscape:
		if p >= len(m.pattern) {
			m.fail("a % at the end")
		}
		return p + 1
	case '[':
		if p < len(m.pattern) && m.pattern[p] == '^' {
			p++
		}
		for first := true; first || p < len(m.pattern) && m.pattern[p] != ']'; first = false {
			if p >= len(m.pattern) {
				m.fail("a [ without ]")
			}
			if m.pattern[p] == patternEscape {
				p++
			}
			p++
		}
		if p >= len(m.pattern) {
			m.fail("a [ without ]")
		}
		return p + 1
	}
	return p
}

// one reports whether the text's character at s matches the single item from p to end.
func (m *matcher) one(s, p, end int) bool {
	m.tick()
	if s >= len(m.text) {
		return false
	}
	switch c := m.text[s]; m.pattern[p] {
	case '.':
		return true
	case patternEscape:
		return inClass(c, m.pattern[p+1])
	case '[':
		return m.inSet(c, p, end-1)
	default:
		return c == m.pattern[p]
	}
}

// inSet reports whether a character is in the set from [ at p to ] at end.
func (m *matcher) inSet(c byte, p, end int) bool {
	within := true
	p++
	if m.pattern[p] == '^' {
		within = false
		p++
	}
	for p < end {
		m.tick()
		switch {
		case m.pattern[p] == patternEscape:
			if inClass(c, m.pattern[p+1]) {
				return within
			}
			p += 2
		case p+2 < end && m.pattern[p+1] == '-':
			if m.pattern[p] <= c && c <= m.pattern[p+2] {
				return within
			}
			p += 3
		default:
			if c == m.pattern[p] {
				return within
			}
			p++
		}
	}
	return !within
}
