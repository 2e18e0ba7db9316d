package sandbox

import (
	"fmt"
	"regexp"
)

// bracketed is token and the round brackets.
var bracketed = regexp.MustCompile(token.String() + `|[()]`)

// missingBracket is the end of a message about a syntax error at the beginning of a statement: the innermost thing that
// is open before the error's line is a round bracket. "" when it is a block, or nothing.
func missingBracket(text string, errorLine int) string {
	var open []opener
	for word, at := range words(text, bracketed) {
		if at.line >= errorLine {
			break
		}
		open = nested(open, opener{word: word, line: at.line})
	}
	if n := len(open); n > 0 && open[n-1].word == "(" {
		return fmt.Sprintf(": perhaps a `)` is missing for the `(` of line %d", open[n-1].line)
	}
	return ""
}

// nested is the list of what is open after one more word. A while or for opens with its do.
func nested(open []opener, next opener) []opener {
	switch next.word {
	case "(", "function", "if", "do", "repeat":
		return append(open, next)
	case ")":
		if n := len(open); n > 0 && open[n-1].word == "(" {
			return open[:n-1]
		}
	case "end", "until":
		for n := len(open); n > 0; n-- { // with what its block left open
			if open[n-1].word != "(" {
				return open[:n-1]
			}
		}
		return nil
	}
	return open
}
