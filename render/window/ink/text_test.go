package ink

import "testing"

// A letter that the fonts lack is a question mark, not their empty box; all others stay.
func TestLettersThatTheFontsLackAreQuestionMarks(t *testing.T) {
	f, err := loadFaces()
	if err != nil {
		t.Fatal(err)
	}
	for words, want := range map[string]string{
		"plain words, 100 %": "plain words, 100 %", "Größe ►…−°é Ж Ω": "Größe ►…−°é Ж Ω", "漢字 ✓": "?? ?", "a🙂b": "a?b", "": "",
	} {
		if got := f.shown(words); got != want {
			t.Errorf("%q is shown as %q, want %q", words, got, want)
		}
	}
}
