package assets

import (
	"io/fs"
	"slices"
	"strings"
	"testing"
)

// The list of pages is all of the folder, and each page says in its first line what it is about.
func TestGuidePagesAreAllOfTheFolder(t *testing.T) {
	files, err := fs.Glob(guide, "guide/*.md")
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(file, "guide/"), ".md")
		found = append(found, name)
		if text, _ := GuidePage(name); !strings.HasPrefix(text, "# ") || len(GuideTitle(name)) > 70 {
			t.Errorf("%s.md begins with %q: no title, or one that fills more than a line", name, GuideTitle(name))
		}
	}
	if listed := slices.Sorted(slices.Values(GuidePages)); !slices.Equal(found, listed) {
		t.Errorf("the folder has %v, the list %v", found, listed)
	}
}
