package sandbox

import (
	"fmt"
	"iter"
	"regexp"
	"strings"
)

// opener is a word that begins a block, with its place.
type opener struct {
	word         string
	line, indent int // indent: of the line that it stands in, in blanks
	elseIf       int // an if's: the line of an `else if` in it, 0 for none
}

// token is a word of Lua with what may hide words: comments and strings. A long bracket's end depends on its level, so
// only its beginning is matched here.
var token = regexp.MustCompile(`--\[=*\[|--[^\n]*|\[=*\[` +
	`|"(?:\\(?s:.)|[^"\\\n])*"?|'(?:\\(?s:.)|[^'\\\n])*'?|[A-Za-z_][A-Za-z0-9_]*`)

// unclosed is the block whose end is most likely the one that is missing, given a syntax error in a line: the innermost
// of those that the text leaves open, or the first that was still open when an `end` further left than it was met.
func unclosed(text string, errorLine int) (opener, bool) {
	b := blocks{}
	for word, at := range words(text, token) {
		indent := at.indent(text)
		b.word(word, opener{line: at.line, indent: indent}, at.lineStart+indent == at.offset)
	}
	if len(b.open) == 0 {
		return opener{}, false
	}
	likely := b.open[len(b.open)-1]
	if b.suspect != nil {
		likely = *b.suspect
	}
	return likely, likely.line <= errorLine
}

// words gives what a pattern such as token finds in a text, with its place.
func words(text string, pattern *regexp.Regexp) iter.Seq2[string, position] {
	return func(yield func(string, position) bool) {
		at := position{line: 1}
		for {
			found := pattern.FindStringIndex(text[at.offset:])
			if found == nil {
				return
			}
			begin := at.offset + found[0]
			end := longEnd(text, begin, at.offset+found[1])
			at.move(text, begin)
			if !yield(text[begin:end], at) {
				return
			}
			at.move(text, end)
		}
	}
}

// blocks follows which blocks are open.
type blocks struct {
	open    []opener
	before  opener  // the word before, in its line
	loop    *opener // a while or for whose do is still to come
	suspect *opener // open when an end further left was met
}

func (b *blocks) word(word string, at opener, firstInLine bool) {
	at.word = word
	afterElse := b.before.word == "else" && b.before.line == at.line
	b.before = at
	switch word {
	case "while", "for":
		b.loop = &at
	case "do":
		if b.loop != nil {
			at, b.loop = *b.loop, nil
		}
		b.open = append(b.open, at)
	case "function", "if", "repeat":
		if last := len(b.open) - 1; word == "if" && afterElse && last >= 0 {
			at.elseIf, b.open[last].elseIf = at.line, at.line
		}
		b.open = append(b.open, at)
	case "end", "until":
		if len(b.open) == 0 {
			return
		}
		last := b.open[len(b.open)-1]
		if b.suspect == nil && firstInLine && at.indent < last.indent {
			b.suspect = &last
		}
		b.open = b.open[:len(b.open)-1]
	}
}

// longEnd is where a token ends, which is later than what was matched if it is a long comment or a long string.
func longEnd(text string, begin, end int) int {
	bracket := strings.TrimPrefix(text[begin:end], "--")
	if !strings.HasPrefix(bracket, "[") {
		return end
	}
	closing := "]" + bracket[1:len(bracket)-1] + "]"
	if i := strings.Index(text[end:], closing); i >= 0 {
		return end + i + len(closing)
	}
	return len(text)
}

// position is a place in a text that only moves forward.
type position struct{ offset, line, lineStart int }

func (p *position) move(text string, to int) {
	passed := text[p.offset:to]
	p.line += strings.Count(passed, "\n")
	if last := strings.LastIndexByte(passed, '\n'); last >= 0 {
		p.lineStart = p.offset + last + 1
	}
	p.offset = to
}

// indent counts the blanks that the line begins with; a tab counts as one.
func (p *position) indent(text string) int {
	rest := text[p.lineStart:]
	for i := range rest {
		if rest[i] != ' ' && rest[i] != '\t' {
			return i
		}
	}
	return len(rest)
}

// missingEnd is the end of a message about a syntax error, "" if no block is left open.
func missingEnd(text string, errorLine int) string {
	block, is := unclosed(text, errorLine)
	if !is {
		return ""
	}
	closing := "end"
	if block.word == "repeat" {
		closing = "until"
	}
	message := fmt.Sprintf(": perhaps an `%s` is missing for the `%s` of line %d", closing, block.word, block.line)
	if block.elseIf > 0 {
		message += fmt.Sprintf("; the `else if` of line %d is written `elseif`, or has an `end` of its own", block.elseIf)
	}
	return message
}
