package wording

import (
	"fmt"
	"strings"
)

// maxWord bounds the work on a word that is no slip of the hand, in bytes.
const maxWord = 100

// Nearest is the candidate that word was most likely meant to be, or "" when none is near. Of equally near ones the
// first is taken. A candidate without a letter in common is never near: a single letter is taken for no other.
func Nearest(word string, candidates []string) string {
	if len(word) > maxWord {
		return ""
	}
	letters := len([]rune(word))
	best, least := "", min(max(1, letters/3)+1, letters)
	for _, c := range candidates {
		if d := editDistance(strings.ToLower(word), strings.ToLower(c)); d < least {
			best, least = c, d
		}
	}
	return best
}

// Instead says what to write for a word that is not known.
func Instead(word string, known []string) string { return Rather(Nearest(word, known), known) }

// Rather says what to write where it is known what was meant, "" if it is not.
func Rather(meant string, known []string) string {
	switch {
	case meant != "" && (len(known) == 0 || len(known) > maxKnown):
		return fmt.Sprintf("write %q", meant)
	case meant != "":
		return fmt.Sprintf("write %q (known: %s)", meant, strings.Join(known, ", "))
	case len(known) == 0:
		return "there are none"
	case len(known) > maxKnown:
		return fmt.Sprintf("write one of the %d known, such as %s", len(known), strings.Join(known[:maxKnown], ", "))
	}
	return "write one of " + strings.Join(known, ", ")
}

// maxKnown is how many known words a message lists.
const maxKnown = 15

// editDistance counts the insertions, deletions, replacements and swaps of neighbours that turn a into b (optimal
// string alignment; Damerau, CACM 7(3) 1964, and Wagner & Fischer, JACM 21(1) 1974; from memory).
func editDistance(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := range s {
		row[0] = i + 1
		for j := range t {
			cost := 1
			if s[i] == t[j] {
				cost = 0
			}
			row[j+1] = min(last[j]+cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && s[i] == t[j-1] && s[i-1] == t[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
