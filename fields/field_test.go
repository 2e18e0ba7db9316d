package fields_test

import (
	"testing"

	"chalkfield/fields"
)

func TestEmbeddedFieldsAreValid(t *testing.T) {
	for _, name := range fields.Embedded() {
		f, err := fields.OpenEmbedded(name)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		t.Log(f.Title, len(f.Pieces), len(f.Goals))
	}
}
