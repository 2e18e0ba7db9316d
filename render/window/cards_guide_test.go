package window

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/render/window/viewmodel"
)

// The sheet of keys says how each page of the guide is read.
func TestTheSheetOfKeysNamesTheGuide(t *testing.T) {
	rows := guideRows()
	if len(rows) != len(assets.GuidePages)+1 || !rows[0].head {
		t.Fatalf("%d rows for %d pages", len(rows), len(assets.GuidePages))
	}
	for i, row := range rows[1:] {
		if row.note != "chalkfield guide "+assets.GuidePages[i] || !strings.Contains(row.label, " ") {
			t.Errorf("page %s: %q, %q", assets.GuidePages[i], row.label, row.note)
		}
	}
}

// The guide's page of the window has every key of every action in its table.
func TestTheGuideHasEveryKeyOfTheWindow(t *testing.T) {
	_, table, ok := strings.Cut(guidePage(t, "window"), "## Every key")
	if !ok {
		t.Fatal("the page has no table of keys")
	}
	words := strings.FieldsFunc(table, func(r rune) bool { return strings.ContainsRune(" |;\n", r) })
	for i := range words {
		words[i] = strings.Trim(strings.TrimSuffix(words[i], ","), "()")
	}
	model := viewmodel.New(viewmodel.Files{}, nil)
	model.Learn(&viewmodel.School{})
	for _, a := range bare(model).actions {
		for _, s := range a.keys {
			if s.String() != "" && !slices.Contains(words, s.String()) {
				t.Errorf("%s (%s) is not in the guide's table", s, a.does)
			}
		}
	}
}

func guidePage(t *testing.T, page string) string {
	t.Helper()
	text, err := assets.GuidePage(page)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
