package paint

import (
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
)

var samples = []string{"core 12 into sled 3", "AVAToWa fi ffl", "Käse über Öl", "Жук 3 м", "…–→", "日本", ""}

// The oracle is the font package's own measuring, kerning included.
func TestWidthIsWhatTheFontMeasures(t *testing.T) {
	for _, bold := range []bool{false, true} {
		const size = 2048
		face := Face(size, bold)
		for _, words := range samples {
			want := float64(font.MeasureString(face, words)) / 64
			if got := Width(words, size, bold); math.Abs(got-want) > 0.001*size*math.Max(1, float64(len(words)))/100 {
				t.Errorf("bold %v, %q: %.2f, want %.2f", bold, words, got, want)
			}
		}
	}
}

func TestLettersStayWithinTheBox(t *testing.T) {
	for _, bold := range []bool{false, true} {
		const em = 2048
		face := Face(em, bold)
		for r := ' '; r < 0x100; r++ {
			box, _, _ := face.GlyphBounds(r)
			up, down := -float64(box.Min.Y)/64/em, float64(box.Max.Y)/64/em
			if up > ascent || down > descent {
				t.Errorf("bold %v, %q reaches %.3f up and %.3f down, more than %.2f and %.2f", bold, r, up, down, ascent, descent)
			}
		}
	}
}

func TestWrappedLinesFitAndKeepTheirWords(t *testing.T) {
	letters := rapid.StringOfN(rapid.RuneFrom([]rune("abcdefg  WMil.\n\té語")), 0, 120, -1)
	property.Check(t, func(t *rapid.T) {
		text, width := letters.Draw(t, "text"), rapid.Float64Range(30, 300).Draw(t, "width")
		most := rapid.IntRange(1, 40).Draw(t, "most")
		lines := Wrap(text, width, 12, false, most)
		if len(lines) > most {
			t.Fatalf("%d lines, at most %d allowed", len(lines), most)
		}
		for _, line := range lines {
			if got := Width(line, 12, false); got > width+1e-9 {
				t.Fatalf("line %q is %.1f wide, want at most %.1f", line, got, width)
			}
		}
		squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		want, got := squeeze(Clean(text)), squeeze(strings.Join(lines, ""))
		if got != want && !strings.HasPrefix(want, strings.TrimSuffix(got, "…")) {
			t.Fatalf("%q became %q", want, got)
		}
		if got != want && len(lines) < most {
			t.Fatalf("%q was shortened to %q with %d of %d lines used", want, got, len(lines), most)
		}
	})
}

func TestCleanMakesOneLine(t *testing.T) {
	for text, want := range map[string]string{
		"plain text": "plain text", "a\nb\t\tc": "a b c", " \x00 ": "", "bad \xff byte": "bad � byte",
		"two  spaces": "two  spaces",
	} {
		if got := Clean(text); got != want {
			t.Errorf("Clean(%q) = %q, want %q", text, got, want)
		}
	}
}
