package canvas

import "testing"

// A letter that the fonts lack is an empty box, which is no letter that a person writes; all others stay: Latin, Greek and
// Cyrillic among them.
func TestLettersThatTheFontsLackAreBoxes(t *testing.T) {
	f, err := loadFaces()
	if err != nil {
		t.Fatal(err)
	}
	if !f.has(unknown) {
		t.Error("the fonts have no sign for what they lack")
	}
	for words, want := range map[string]string{
		"plain words, 100 %": "plain words, 100 %", "Größe ►…−°é Ж Ω": "Größe ►…−°é Ж Ω", "漢字 ✓": "□□ □", "a🙂b": "a□b", "": "", "what?": "what?",
		"Ελληνικά": "Ελληνικά", "Съешь ещё этих булок": "Съешь ещё этих булок", "Łódź, İstanbul": "Łódź, İstanbul",
	} {
		if got := f.shown(words); got != want {
			t.Errorf("%q is shown as %q, want %q", words, got, want)
		}
	}
}
