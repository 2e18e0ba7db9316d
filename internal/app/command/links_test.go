package command

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	linkTarget = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	notInName  = regexp.MustCompile(`[^\p{L}\p{N} _-]`)
	codeBlock  = regexp.MustCompile("(?s)```.*?```")
)

// Every link of the README, the contributors' page and the guide leads to a file, and to a heading of it where it names
// one.
func TestLinksLeadSomewhere(t *testing.T) {
	const top = "../../.."
	paths := []string{"DEVELOPERS.md"}
	for _, d := range documents(t) {
		paths = append(paths, d.path)
	}
	released := releasedFiles(t, top)
	links := 0
	for _, path := range paths {
		for _, found := range linkTarget.FindAllStringSubmatch(proseOf(t, filepath.Join(top, path)), -1) {
			target, heading, named := strings.Cut(found[1], "#")
			if strings.Contains(target, "://") {
				continue
			}
			links++
			file := filepath.Join(top, path)
			if target != "" {
				file = filepath.Join(top, filepath.Dir(path), target)
			}
			within, err := filepath.Rel(top, file)
			if err != nil || path != "DEVELOPERS.md" && !slices.ContainsFunc(released, func(r string) bool {
				return within == r || strings.HasPrefix(within, r+string(filepath.Separator))
			}) {
				t.Errorf("%s: %s: not in the archives that .ci/release makes (%v)", path, found[1], err)
			}
			if _, err := os.Stat(file); err != nil {
				t.Errorf("%s: %s: no such file", path, found[1])
			} else if named && !headings(proseOf(t, file))[heading] {
				t.Errorf("%s: %s: no such heading", path, found[1])
			}
		}
	}
	if links < 10 {
		t.Errorf("only %d links", links)
	}
}

// releasedFiles are the files and folders that .ci/release puts into its archives beside the program.
func releasedFiles(t *testing.T, top string) []string {
	data, err := os.ReadFile(filepath.Join(top, ".ci", "release"))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(data), "cp -r --parents ")
	list, _, ended := strings.Cut(rest, ` "$work`)
	if !found || !ended {
		t.Fatal(".ci/release copies no list of files any more")
	}
	return strings.Fields(list)
}

// proseOf is a page without its code blocks.
func proseOf(t *testing.T, path string) string {
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return codeBlock.ReplaceAllString(string(data), "")
}

// headings are the names by which links reach a page's headings: small letters, hyphens for spaces, no other marks.
func headings(page string) map[string]bool {
	names := map[string]bool{}
	for _, line := range strings.Split(page, "\n") {
		if title := strings.TrimLeft(line, "#"); title != line {
			name := notInName.ReplaceAllString(strings.ToLower(strings.TrimSpace(title)), "")
			names[strings.ReplaceAll(name, " ", "-")] = true
		}
	}
	return names
}
