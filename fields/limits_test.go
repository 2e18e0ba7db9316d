package fields

import (
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"chalkfield/internal/base/tomlfile"
)

// A number without limits is how a rehearsal comes to divide by next to nothing.
func TestEveryNumberHasLimits(t *testing.T) {
	for _, problem := range tomlfile.Unlimited(reflect.TypeFor[Field]()) {
		t.Error(problem)
	}
}

func TestTheGuideHasEveryRuleAndWord(t *testing.T) {
	page, err := os.ReadFile("../assets/guide/field.md")
	if err != nil {
		t.Fatal(err)
	}
	var b builder
	b.field = &Field{}
	rows := []string{}
	for _, kind := range RuleKinds() {
		rows = append(rows, fmt.Sprintf("\n| `%s` |", kind))
	}
	for _, word := range b.words() {
		rows = append(rows, "`"+word.Name)
	}
	for _, form := range ruleForms {
		for _, key := range append(form.needs, form.may...) {
			rows = append(rows, "`"+key+"`")
		}
	}
	for _, row := range rows {
		if !strings.Contains(string(page), row) {
			t.Errorf("assets/guide/field.md lacks %q", row)
		}
	}
}

func TestTheGuideHasTheLongestName(t *testing.T) {
	page, err := os.ReadFile("../assets/guide/field.md")
	if want := fmt.Sprintf("names of at most %d characters", maxName); err != nil ||
		!strings.Contains(string(page), want) {
		t.Errorf("%v: assets/guide/field.md lacks %q", err, want)
	}
}
