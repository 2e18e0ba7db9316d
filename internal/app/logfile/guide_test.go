package logfile

import (
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"
)

// The guide's page has each kind of column with its units, in the order of the table here, and each key of log.toml.
func TestTheGuideHasTheTable(t *testing.T) {
	page, err := os.ReadFile("../../../assets/guide/logs.md")
	if err != nil {
		t.Fatal(err)
	}
	text := string(page)
	var want []string
	for _, k := range kinds {
		names := k.names
		if names == nil {
			names = []string{"PART"}
		}
		want = append(want, "| `"+strings.Join(names, "`, `")+"` | `"+strings.Join(k.units(), "`, `")+"` |")
	}
	rows := regexp.MustCompile("(?m)^\\| `[^|]*` \\| `[^|]*` \\|").FindAllString(text, -1)
	if !reflect.DeepEqual(rows, want) {
		t.Errorf("the page has\n%s\nwant\n%s", strings.Join(rows, "\n"), strings.Join(want, "\n"))
	}
	for _, format := range []reflect.Type{reflect.TypeFor[Wheel](), reflect.TypeFor[Settings](),
		reflect.TypeFor[ColumnSetting]()} {
		for i := range format.NumField() {
			if key := format.Field(i).Tag.Get("toml"); key != "" && !strings.Contains(text, key) {
				t.Errorf("the page does not tell of %s", key)
			}
		}
	}
}
