package command

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/internal/base/wording"

	"golang.org/x/term"
)

type guideCommand struct {
	Page string `arg:"" optional:"" help:"The page to print, or a word of its headings. Without it: the list of pages."`
}

// Help is shown under the flags.
func (guideCommand) Help() string {
	return `Examples:
  chalkfield guide                   which pages there are
  chalkfield guide routine           all that a routine can do, with an example each
  chalkfield guide tune              what has tune in its heading, from any page
  chalkfield guide routine | less    one screen after the other`
}

// Run prints a page for reading in a terminal, or the list of pages.
func (c guideCommand) Run(_ context.Context, s streams) error {
	if c.Page == "" {
		for _, name := range assets.GuidePages {
			fmt.Fprintf(s.out, "chalkfield guide %-12s %s\n", name, assets.GuideTitle(name))
		}
		return nil
	}
	page, err := c.text()
	if err != nil {
		return err
	}
	_, err = io.WriteString(s.out, plainText(page, columns(s.out)))
	return err
}

// text is a page, or the sections that a word names.
func (c guideCommand) text() (string, error) {
	if slices.Contains(assets.GuidePages, c.Page) {
		return assets.GuidePage(c.Page)
	}
	sections := assets.GuideSections(c.Page)
	if len(sections) == 0 {
		return "", fmt.Errorf("the guide has no page %q, and no heading with that word: %s", c.Page,
			wording.Instead(c.Page, assets.GuidePages))
	}
	var text strings.Builder
	for _, one := range sections {
		fmt.Fprintf(&text, "%s\n\n(From the page %s.)\n\n", strings.TrimSpace(one.Text), one.Page)
	}
	return text.String(), nil
}

// columns is how wide text is set: as wide as the terminal, within what reads well.
func columns(out io.Writer) int {
	const least, usual, most = 60, 100, 110
	if file := terminal(out); file != nil {
		if width, _, err := term.GetSize(int(file.Fd())); err == nil {
			return min(max(width, least), most)
		}
	}
	return usual
}
