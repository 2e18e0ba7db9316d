package record

import (
	"os"
	"reflect"
	"strings"
	"testing"
)

// The guide's page has every kind of event, every reason, and every member that the lines other than samples have.
func TestTheGuideHasTheFormat(t *testing.T) {
	data, err := os.ReadFile("../../../assets/guide/record.md")
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	var words []string
	for _, k := range Kinds() {
		words = append(words, string(k.Kind))
	}
	for _, reason := range []Reason{Arrived, TimedOut, GotStuck, Cancelled, Held, Finished, Failed, Over, NoAir, NoRoom,
		Beside, Nothing} {
		words = append(words, string(reason))
	}
	for _, of := range []any{line{}, Header{}, File{}, Source{}, Event{}, Sheet{}, Row{}, Number{}} {
		for i := range reflect.TypeOf(of).NumField() {
			name, _, _ := strings.Cut(reflect.TypeOf(of).Field(i).Tag.Get("json"), ",")
			words = append(words, name)
		}
	}
	for _, word := range words {
		if !strings.Contains(page, "`"+word+"`") {
			t.Errorf("assets/guide/record.md does not tell of `%s`", word)
		}
	}
}
