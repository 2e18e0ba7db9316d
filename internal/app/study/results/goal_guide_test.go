package results

import (
	"os"
	"strings"
	"testing"
)

// The guide's table of what a goal reads has every measure, in the words of the one table.
func TestTheGuideListsEveryMeasure(t *testing.T) {
	guide, err := os.ReadFile("../../../../assets/guide/studies.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range Measures {
		row := "` | " + m.Says + " |"
		if !strings.Contains(string(guide), "| `"+m.Name) || !strings.Contains(string(guide), row) {
			t.Errorf("the guide's page studies lacks the row of %s: %s", m.Name, m.Says)
		}
	}
}
