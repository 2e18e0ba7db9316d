// Package literal finds the numbers that a routine's text has as literals, and says how one is stepped and within which
// limits, so that a tool can change a number and nothing else of a file.
package literal

import "strings"

// Kind is what a token is.
type Kind int

const (
	Name Kind = iota // or a keyword
	Digits
	Quoted // a string
	Remark // a comment
	Sign   // an operator or a bracket, of up to three letters
)

// Token is a piece of Lua with its place. What stands between tokens is blank.
type Token struct {
	Kind     Kind
	From, To int // bytes
	Line     int // of its beginning, from 1
}

// Of is the token's text.
func (t Token) Of(text string) string { return text[t.From:t.To] }

// Tokens are those of a text, whether it is a right program or not.
func Tokens(text string) []Token {
	var list []Token
	line := 1
	for i := 0; i < len(text); {
		c := text[i]
		if c == '\n' {
			line++
		}
		if c <= ' ' {
			i++
			continue
		}
		kind, end := next(text, i)
		list = append(list, Token{kind, i, end, line})
		line += strings.Count(text[i:end], "\n")
		i = end
	}
	return list
}

// next is the token that begins at i.
func next(text string, i int) (Kind, int) {
	rest := text[i:]
	switch c := rest[0]; {
	case strings.HasPrefix(rest, "--"):
		return Remark, remarkEnd(text, i)
	case c == '"' || c == '\'':
		return Quoted, quotedEnd(text, i)
	case c == '[' && bracketEnd(text, i) > i:
		return Quoted, bracketEnd(text, i)
	case isDigit(c), c == '.' && len(rest) > 1 && isDigit(rest[1]):
		return Digits, digitsEnd(text, i)
	case isName(c):
		end := i + 1
		for end < len(text) && isName(text[end]) {
			end++
		}
		return Name, end
	}
	for _, sign := range []string{"...", "..", "==", "~=", "<=", ">="} {
		if strings.HasPrefix(rest, sign) {
			return Sign, i + len(sign)
		}
	}
	return Sign, i + 1
}

func remarkEnd(text string, i int) int {
	if end := bracketEnd(text, i+2); end > i+2 {
		return end
	}
	if newline := strings.IndexByte(text[i:], '\n'); newline >= 0 {
		return i + newline
	}
	return len(text)
}

func quotedEnd(text string, i int) int {
	for j := i + 1; j < len(text); j++ {
		switch text[j] {
		case '\\':
			j++
		case text[i]:
			return j + 1
		case '\n':
			return j
		}
	}
	return len(text)
}

// bracketEnd is the end of a long bracket [[...]] or [=[...]=] that begins at i, or i.
func bracketEnd(text string, i int) int {
	if i >= len(text) || text[i] != '[' {
		return i
	}
	level := 0
	for i+1+level < len(text) && text[i+1+level] == '=' {
		level++
	}
	if i+1+level >= len(text) || text[i+1+level] != '[' {
		return i
	}
	ending := "]" + strings.Repeat("=", level) + "]"
	if at := strings.Index(text[i:], ending); at >= 0 {
		return i + at + len(ending)
	}
	return len(text)
}

// digitsEnd is the end of a number as Lua 5.1 has them: 0x1F, or digits with a point and an exponent.
func digitsEnd(text string, i int) int {
	if isHex(text[i:]) {
		i += 2
		for i < len(text) && (isDigit(text[i]) || strings.IndexByte("abcdefABCDEF", text[i]) >= 0) {
			i++
		}
		return i
	}
	digits := func() {
		for i < len(text) && isDigit(text[i]) {
			i++
		}
	}
	digits()
	if i < len(text) && text[i] == '.' {
		i++
		digits()
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		i++
		if i < len(text) && (text[i] == '-' || text[i] == '+') {
			i++
		}
		digits()
	}
	return i
}

func isHex(text string) bool {
	return len(text) > 2 && text[0] == '0' && (text[1] == 'x' || text[1] == 'X')
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isName(c byte) bool {
	return c == '_' || isDigit(c) || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= 0x80
}
