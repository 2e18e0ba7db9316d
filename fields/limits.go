package fields

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
)

// What a field may hold at most. They keep a slip of the pen from a rehearsal of hours, not a game from being played.
const (
	maxBodies  = 1000 // pieces and goals
	maxCorners = 100  // of the floor or a zone
	maxListed  = 200  // zones, lines, kinds, phases, sessions, rules: each
	maxMarks   = 32   // two numbers of each stand in every sample of a robot that sees marks
	maxSides   = 4
	maxName    = 40     // characters
	maxTitle   = 100    // characters
	maxAbout   = 4000   // characters
	maxPhases  = 3600.0 // s
	minFloor   = 0.5    // m
	maxFloor   = 50.0   // m

	// slack is what two bodies may overlap or stick out, in m: less than any tape measures.
	slack = 1e-4
)

var colourForm = regexp.MustCompile(`^#[0-9a-f]{6}$`)

// name checks what things are called by. A symmetric copy's name comes from the same place of the file: one error is
// enough for both.
func (b *builder) name(path, name string) {
	problem := nameProblem(name)
	if problem == "" || path == b.misnamed {
		return
	}
	b.misnamed = path
	b.at.Errorf(path, "%s", problem)
}

func nameProblem(name string) string {
	length := len([]rune(name))
	switch {
	case length == 0 || strings.TrimSpace(name) != name:
		return fmt.Sprintf("%q is no name: write a word without blanks around it", name)
	case length > maxName:
		return fmt.Sprintf("a name of %d characters is too long: write at most %d", length, maxName)
	case strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }):
		return fmt.Sprintf("%q holds characters that cannot be printed: write letters, digits and blanks", name)
	}
	return ""
}

// text checks a longer text for people.
func (b *builder) text(path, text string, most int) {
	if n := len([]rune(text)); n > most {
		b.at.Errorf(path, "a text of %d characters is too long: write at most %d", n, most)
	}
}

func (b *builder) colour(path string, colour *string) {
	*colour = strings.ToLower(*colour)
	if !colourForm.MatchString(*colour) {
		b.at.Errorf(path, `%q is no colour: write # and six digits, such as "#d39a2f"`, *colour)
	}
}

// few notes an error where a list is absurdly long.
func (b *builder) few(path string, n, most int) {
	if n > most {
		b.at.Errorf(path, "%d are too many: write at most %d", n, most)
	}
}

// unique notes an error at each name that stood before. No name is none: what lacks one is noted elsewhere, or of a
// kind that is.
func (b *builder) unique(what string, n int, name func(i int) (path, name string)) {
	seen := map[string]bool{}
	for i := range n {
		path, name := name(i)
		if name != "" && seen[name] {
			b.at.Errorf(path, "there is another %s called %q: give each a name of its own", what, name)
		}
		seen[name] = true
	}
}
