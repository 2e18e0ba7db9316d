package sandbox

import (
	"regexp"
	"strings"
)

// foreign are marks that other languages have and Lua has not, and what to write for them. They are looked for in this
// order in the line of a syntax error, without its texts and comments.
var foreign = []struct {
	mark   *regexp.Regexp
	advice string
}{
	{regexp.MustCompile(`\bfor\s*\(|\bfor\b[^;]*;`), "write for i = 1, 10 do ... end"},
	{regexp.MustCompile(`!=`), "write ~= for \"is not equal\""},
	{regexp.MustCompile(`&&`), "write and for &&"},
	{regexp.MustCompile(`\|\|`), "write or for ||"},
	{regexp.MustCompile(`!`), "write not for !"},
	{regexp.MustCompile(`([A-Za-z_][\w.]*)\s*\+\+`), "there is no ++: write $1 = $1 + 1"},
	{regexp.MustCompile(`\+\+\s*([A-Za-z_][\w.]*)`), "there is no ++: write $1 = $1 + 1"},
	{regexp.MustCompile(`([A-Za-z_][\w.]*)\s*(\+|-|\*|/|%|\.\.)=(?:[^=]|$)`), "there is no $2=: write $1 = $1 $2 ..."},
	{regexp.MustCompile(`^\s*//|/\*|\*/`), "a comment begins with --"},
	{regexp.MustCompile(`//`), "a comment begins with --; a division without a remainder is math.floor(a / b)"},
	{regexp.MustCompile(`^\s*(?:const|var|let|int|float|double|bool|auto|string)\s+([A-Za-z_]\w*)`),
		"a variable begins with local: write local $1 = ..."},
	{regexp.MustCompile(`^\s*(?:def|fn|func|void)\s+([A-Za-z_]\w*)`), "write local function $1(...) and end at its end"},
	{regexp.MustCompile(`\belse\s+if\b`), "write elseif, in one word, and one end for all"},
	{regexp.MustCompile(`\belif\b|\belsif\b`), "write elseif"},
	{regexp.MustCompile(`\)\s*\{|\belse\s*\{`), "a block stands between then, do or function(...) and end, without { }"},
	{regexp.MustCompile(`=>`), "write function(...) ... end"},
	{regexp.MustCompile(`\?`), "write a and b or c for a ? b : c"},
	{regexp.MustCompile(`\b(if|elseif|while)\b.*:\s*$`), "write then, or do for a while, in place of :"},
}

// condition is where a comparison may stand.
var condition = regexp.MustCompile(`\b(?:if|elseif|while|until)\b`)

// foreignMark is the end of a message about a syntax error, near a word of a line that has a mark of another language,
// "" if it has none.
func foreignMark(text string, line int, near string) string {
	plain := strings.Split(withoutTexts(text), "\n")
	if line < 1 || line > len(plain) {
		return ""
	}
	if near == "=" && condition.MatchString(plain[line-1]) {
		return ": write == to compare"
	}
	for _, f := range foreign {
		if found := f.mark.FindStringSubmatchIndex(plain[line-1]); found != nil {
			return ": " + string(f.mark.ExpandString(nil, f.advice, plain[line-1], found))
		}
	}
	return ""
}

// withoutTexts makes blanks of what stands in texts and comments, and leaves the lines.
func withoutTexts(text string) string {
	out := []byte(text)
	for word, at := range words(text, token) {
		if !strings.HasPrefix(word, "--") && !strings.ContainsAny(word[:1], `"'[`) {
			continue
		}
		for i := range word {
			if word[i] != '\n' {
				out[at.offset+i] = ' '
			}
		}
	}
	return string(out)
}
