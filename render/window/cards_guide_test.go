package window

import (
	"strings"
	"testing"

	"chalkfield/assets"
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
