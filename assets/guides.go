package assets

import (
	"embed"
	"io/fs"
	"slices"
	"strings"
	"unicode"
)

//go:embed guide/*.md
var guide embed.FS

// GuidePages are the pages of the guide in the order in which a newcomer would read them.
var GuidePages = []string{"routine", "window", "studies", "your-field", "field", "measure", "logs", "robot",
	"programs", "real-robot", "lessons", "commands", "units", "words", "record"}

// GuidePage is a page as it is written, in Markdown. Its first line is its title.
func GuidePage(name string) (string, error) {
	text, err := fs.ReadFile(guide, "guide/"+name+".md")
	return string(text), err
}

// GuideTitle is what a page is about, in one line.
func GuideTitle(name string) string {
	text, err := GuidePage(name)
	if err != nil {
		panic(err) // a page of the list is embedded: a test compares the two
	}
	title, _, _ := strings.Cut(text, "\n")
	return strings.TrimPrefix(title, "# ")
}

// GuideSection is a part of a page, from a heading to the next that is no lower.
type GuideSection struct {
	Page, Title string
	Text        string // with its heading
}

// GuideSections are those that have a word in their heading, however it is capitalised; of one within another the outer
// alone.
func GuideSections(word string) (list []GuideSection) {
	for _, name := range GuidePages {
		page, err := GuidePage(name)
		if err != nil {
			panic(err)
		}
		var one *GuideSection
		within, fenced := 0, false
		for line := range strings.Lines(page) {
			level := len(line) - len(strings.TrimLeft(line, "#"))
			if strings.HasPrefix(line, "```") {
				fenced = !fenced
			}
			if !fenced && level > 0 {
				if one != nil && level <= within {
					one = nil
				}
				title := strings.TrimSpace(line[level:])
				if one == nil && level > 1 && hasWord(title, word) {
					list = append(list, GuideSection{Page: name, Title: title})
					one, within = &list[len(list)-1], level
				}
			}
			if one != nil {
				one.Text += line
			}
		}
	}
	return list
}

func hasWord(text, word string) bool {
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && r != '-' && r != '_' })
	return slices.ContainsFunc(words, func(w string) bool { return strings.EqualFold(w, word) })
}
