// Package cheader writes C headers: constants and tables for a robot's program.
package cheader

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// notInName is what a C name cannot have.
var notInName = regexp.MustCompile(`[^a-z0-9_]`)

// Name is a C name made of any words.
func Name(words string) string {
	name := notInName.ReplaceAllString(strings.ToLower(words), "_")
	if name == "" || name[0] >= '0' && name[0] <= '9' {
		return "_" + name
	}
	return name
}

// Float is a number of C's type float.
func Float(x float64) string {
	text := strconv.FormatFloat(x, 'f', -1, 64)
	if !strings.Contains(text, ".") {
		text += ".0"
	}
	return text + "f"
}

// Floats are several, parted by commas.
func Floats(row []float64) string {
	words := make([]string, len(row))
	for i, x := range row {
		words[i] = Float(x)
	}
	return strings.Join(words, ", ")
}

// Text is a string literal. What is not ASCII stands in bytes.
func Text(s string) string {
	var out strings.Builder
	out.WriteByte('"')
	for _, b := range []byte(s) {
		switch {
		case b == '"' || b == '\\' || b == '?': // a ? may begin a trigraph
			out.WriteByte('\\')
			out.WriteByte(b)
		case b < ' ' || b > '~':
			fmt.Fprintf(&out, "\\%03o", b)
		default:
			out.WriteByte(b)
		}
	}
	return out.String() + `"`
}

// Guarded is a header that may be included twice. What the comment says cannot end it.
func Guarded(name, comment, body string) string {
	guard := strings.ToUpper(name) + "_H"
	return fmt.Sprintf("/* %s */\n#ifndef %s\n#define %s\n\n%s\n#endif\n", strings.ReplaceAll(comment, "*/", "* /"), guard,
		guard, body)
}
