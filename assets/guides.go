package assets

import (
	"embed"
	"io/fs"
	"strings"
)

//go:embed guide/*.md
var guide embed.FS

// GuidePages are the pages of the guide in the order in which a newcomer would read them.
var GuidePages = []string{"routine", "window", "studies", "your-field", "field", "measure", "logs", "robot",
	"programs", "real-robot", "commands", "units", "record"}

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
