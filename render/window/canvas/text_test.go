package canvas

import (
	"strings"
	"testing"
)

// A letter that no font has is an empty box, which is no letter that a person writes; all others stay: Latin, Greek,
// Cyrillic, Chinese, Japanese and Korean among them.
func TestLettersThatNoFontHasAreBoxes(t *testing.T) {
	f, err := loadFaces()
	if err != nil {
		t.Fatal(err)
	}
	if f.source(unknown) != inFonts {
		t.Error("the fonts have no sign for what they lack")
	}
	for words, want := range map[string]string{
		"plain words, 100 %": "plain words, 100 %", "Größe ►…−°é Ж Ω": "Größe ►…−°é Ж Ω", "漢字 ✓": "漢字 ✓",
		"机器人 ロボット 로봇": "机器人 ロボット 로봇", "नमस्ते": "□□□□□□", "a🙂b": "a□b", "": "", "what?": "what?",
		"Ελληνικά": "Ελληνικά", "Съешь ещё этих булок": "Съешь ещё этих булок", "Łódź, İstanbul": "Łódź, İstanbul",
	} {
		got, letters := f.shown(words)
		if got != want {
			t.Errorf("%q is shown as %q, want %q", words, got, want)
		}
		if want := strings.ContainsAny(words, "字人"); letters != want {
			t.Errorf("%q: letters %v, want %v", words, letters, want)
		}
	}
}
