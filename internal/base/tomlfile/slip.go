package tomlfile

import (
	"cmp"
	"fmt"
	"reflect"
	"regexp"
	"strings"
	"unicode/utf8"

	"chalkfield/internal/base/wording"
)

// The grammar knows what it expected, a person what was meant. What follows turns the one into the other for the slips
// that are made most: it looks at the line and the place in it where the grammar broke.

// broken is where the grammar broke.
type broken struct {
	message string // of the TOML library
	line    string
	at      int          // byte in the line
	key     []string     // that is given twice
	file    reflect.Type // what the document is of
}

// slips are tried in order; the first that has something to say is taken.
var slips = []func(b broken) string{
	broken.comment, broken.curlyQuote, broken.twice, broken.openText, broken.openList, broken.header, broken.equals,
	broken.noValue,
	broken.truth, broken.unquoted, broken.number, broken.escape, broken.trailing, broken.noKey,
}

// plainly says what is wrong and what to write instead.
func (b broken) plainly() string {
	for _, slip := range slips {
		if text := slip(b); text != "" {
			return text
		}
	}
	return codePoint.ReplaceAllString(b.message, "$1")
}

// codePoint is how the library names a character: U+0022 '"'.
var codePoint = regexp.MustCompile(`U\+[0-9A-F]{4,6} ('.+')`)

func (b broken) rest() string            { return b.line[min(b.at, len(b.line)):] }
func (b broken) before() string          { return b.line[:min(b.at, len(b.line))] }
func (b broken) says(text string) bool   { return strings.Contains(b.message, text) }
func (b broken) begins(text string) bool { return strings.HasPrefix(b.rest(), text) }

func (b broken) comment() string {
	for _, mark := range []string{"//", "--", ";"} {
		if b.begins(mark) && (b.says("expected newline") || b.says("start of key")) {
			if mark == ";" && strings.TrimSpace(b.rest()) == ";" {
				return "no ; stands behind a value: leave it out"
			}
			return fmt.Sprintf("a comment begins with #: write # in place of %s", mark)
		}
	}
	if strings.HasPrefix(strings.TrimSpace(b.line), "--") && b.says("'='") {
		return "a comment begins with #: write # in place of --"
	}
	return ""
}

func (b broken) curlyQuote() string {
	if r, _ := utf8.DecodeRuneInString(b.rest()); strings.ContainsRune("“”„‟«»‘’‚´`", r) {
		return fmt.Sprintf("%c is no quote of TOML: write straight quotes, \"...\"", r)
	}
	return ""
}

var (
	givenKey   = regexp.MustCompile(`^key (.*) is already defined$`)
	givenTable = regexp.MustCompile(`^table (.*) already exists$`)
)

func (b broken) twice() string {
	if m := givenKey.FindStringSubmatch(b.message); m != nil {
		return fmt.Sprintf("the key %q is given twice in one table: leave one out", m[1])
	}
	several, exactly := severalTables(b.file, b.key)
	if m := givenTable.FindStringSubmatch(b.message); m != nil {
		switch header := strings.Join(b.key, "."); {
		case exactly:
			return severalOf(header)
		case several != "":
			return fmt.Sprintf("the table [%s] begins twice: for another of the %s write [[%s]] above this, else put all "+
				"its keys under one header",
				header, several, several)
		default:
			return fmt.Sprintf("the table [%s] begins twice: put all its keys under one header", header)
		}
	}
	if exactly && (b.says("already exists as") || b.says("should be a")) {
		return severalOf(several)
	}
	if b.says("already exists as") || b.says("should be a") {
		return "the same name stands for different things: one table has a header in [ ], each of several tables " +
			"one in [[ ]], a value a ="
	}
	return ""
}

func (b broken) openText() string {
	switch {
	case b.says("strings cannot have new lines"), b.says("unterminated basic string"),
		b.says("unterminated literal string"):
		quote := `"`
		if b.says("literal") {
			quote = "'"
		}
		return fmt.Sprintf("the text has no end: write %s where it ends, in the same line", quote)
	case b.says("strings cannot have control characters"):
		return "a control character stands in the text: leave it out"
	case b.says("not terminated by"):
		return "the long text has no end: write " + b.message[strings.LastIndex(b.message, " ")+1:]
	}
	return ""
}

func (b broken) openList() string {
	open, what := "]", "list"
	switch {
	case b.says("'}'") || b.says("inline table is incomplete"):
		open, what = "}", "inline table"
	case !b.says("after array value") && !b.says("array is incomplete"):
		return ""
	}
	if strings.TrimSpace(b.before()) == "" {
		return fmt.Sprintf("the %s before this has no end: write %s there, or a comma where it goes on", what, open)
	}
	if quantity := b.quantity(); quantity != "" {
		return quantity
	}
	return fmt.Sprintf("a comma is missing before this, or a %s: in a %s a comma stands between two values", open, what)
}

// name is what stands in the brackets of a header.
var name = regexp.MustCompile(`^\s*\[+\s*([A-Za-z0-9_.-]*)`)

func (b broken) header() string {
	m := name.FindStringSubmatch(b.line)
	if m == nil {
		return ""
	}
	said := cmp.Or(m[1], "chassis")
	switch {
	case b.says("to close array table name"):
		return fmt.Sprintf("the brackets are not closed: write [[%s]]", said)
	case b.says("to close table name"):
		return fmt.Sprintf("the bracket is not closed, or the name has a blank: write [%s]", said)
	case b.says("expected newline") && b.begins("]"):
		return fmt.Sprintf("the brackets are not alike: write [%s] for one table, [[%s]] for each of several", said, said)
	case b.says("start of key") && b.begins("]"):
		return "the name in the brackets is missing or ends in a point: write, for example, [" +
			strings.TrimSuffix(said, ".") + "]"
	}
	return ""
}

var (
	bareKey   = regexp.MustCompile(`^\s*([A-Za-z0-9_-]+)\s*$`)
	spacedKey = regexp.MustCompile(`^\s*([A-Za-z0-9_-]+(?:[ \t]+[A-Za-z0-9_-]+)+)\s*=`)
)

// equals looks at a key without its =.
func (b broken) equals() string {
	if b.begins("=") && strings.HasSuffix(strings.TrimSpace(b.before()), "=") {
		return "one = is enough"
	}
	if !b.says("expected '=' after key") {
		return ""
	}
	if m := spacedKey.FindStringSubmatch(b.line); m != nil {
		return fmt.Sprintf("a key has no blanks: write %s", strings.Join(strings.Fields(m[1]), "_"))
	}
	if m := bareKey.FindStringSubmatch(b.line); m != nil {
		return fmt.Sprintf("%s stands alone: write %s = and its value", m[1], m[1])
	}
	m := bareKey.FindStringSubmatch(b.before())
	switch rest := strings.TrimSpace(b.rest()); {
	case m == nil || rest == "":
		return ""
	case rest[0] == ':':
		return fmt.Sprintf("write = in place of : as in %s =%s", m[1], b.rest()[1:])
	default:
		return fmt.Sprintf("the = is missing: write %s = %s", m[1], rest)
	}
}

func (b broken) noValue() string {
	rest := strings.TrimSpace(b.rest())
	if strings.HasSuffix(strings.TrimSpace(b.before()), "=") && (rest == "" || rest[0] == '#') {
		return "the value is missing: write it behind the ="
	}
	return ""
}

func (b broken) truth() string {
	for _, word := range []string{"true", "false", "yes", "no", "on", "off"} {
		if end := len(word); len(b.rest()) >= end && strings.EqualFold(b.rest()[:end], word) &&
			strings.TrimSpace(b.rest()[end:]) == "" {
			return "write true or false, in small letters"
		}
	}
	return ""
}

var (
	bareQuantity = regexp.MustCompile(`[-+]?\d[\d._]*\s*[A-Za-z][A-Za-z0-9/^()]*`)
	bareWord     = regexp.MustCompile(`^[A-Za-z](?:[A-Za-z0-9_ -]*[A-Za-z0-9_-])?`)
	bareInf      = regexp.MustCompile(`(?i)^(?:inf|nan)`)
)

// unquoted looks at a quantity and a name without quotes.
func (b broken) unquoted() string {
	if bareInf.MatchString(b.rest()) {
		return "a number is finite: write its digits, and a value with a unit in quotes"
	}
	if quantity := b.quantity(); quantity != "" {
		return quantity
	}
	word := bareWord.FindString(b.rest())
	if word == "" || b.at == 0 || !strings.ContainsRune(" \t=[,", rune(b.line[b.at-1])) ||
		!b.says("start of value") && !b.says("quoted") {
		return ""
	}
	return fmt.Sprintf("a text stands in quotes: write %q", word)
}

func (b broken) quantity() string {
	for _, span := range bareQuantity.FindAllStringIndex(b.line, -1) {
		if span[0] <= b.at && b.at < span[1] && strings.Count(b.line[:span[0]], `"`)%2 == 0 {
			return fmt.Sprintf("a value with a unit stands in quotes: write %q", b.line[span[0]:span[1]])
		}
	}
	return ""
}

func (b broken) number() string {
	switch {
	case b.says("decimal point must be"), b.says("start of value") && b.begins("."):
		return "a digit stands before and behind a decimal point: write 0.5 or 5.0"
	case b.says("leading zeroes"):
		return "a number does not begin with 0: leave the 0 out"
	case b.says("expected newline") && b.begins(",") && b.at > 0 && b.line[b.at-1] >= '0' && b.line[b.at-1] <= '9':
		return "write a decimal point in place of the comma"
	}
	return ""
}

func (b broken) escape() string {
	if b.says("invalid escape character") || b.says("unicode escape") {
		return `in a text in "..." a backslash has a meaning of its own: write \\, or the text in '...'`
	}
	return ""
}

// trailing looks at what stands behind a value.
func (b broken) trailing() string {
	if !b.says("expected newline") {
		return ""
	}
	if strings.HasSuffix(b.before(), `"`) && !b.begins(" ") && !b.begins("]") {
		return `the text ends before this: a " inside a text is written \"`
	}
	if b.begins("]") || b.begins("}") {
		return fmt.Sprintf("there is one %c too many: leave it out", b.rest()[0])
	}
	return "the value ends before this: each key begins a line of its own"
}

func (b broken) noKey() string {
	if !b.says("start of key") {
		return ""
	}
	if b.begins("=") {
		return "the key is missing before the ="
	}
	return "a line begins with a key, a [table] or a # comment: a key is made of letters, digits, _ and -"
}

// excerpt shows a line with a caret under a column (in characters, from 1).
func excerpt(number int, line string, column int) string {
	const left, right = 60, 40 // characters shown around the column
	chars := []rune(strings.ReplaceAll(line, "\t", " "))
	at := min(max(column-1, 0), len(chars))
	before, after := string(chars[max(0, at-left):at]), string(chars[at:min(len(chars), at+right)])
	if at > left {
		before = "..." + before
	}
	if at+right < len(chars) {
		after += "..."
	}
	margin := fmt.Sprintf("  %d | ", number)
	return fmt.Sprintf("%s%s%s\n%s| %s^", margin, before, after, strings.Repeat(" ", len(margin)-2),
		strings.Repeat(" ", wording.Cells(before)))
}
