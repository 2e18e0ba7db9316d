package setpoints

import (
	"os"
	"strings"
	"testing"
)

// The guide's page has each column.
func TestTheGuideHasTheColumns(t *testing.T) {
	page, err := os.ReadFile("../../../assets/guide/real-robot.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range headers() {
		if !strings.Contains(string(page), "`"+name+"`") {
			t.Errorf("the page does not tell of the column %s", name)
		}
	}
}
