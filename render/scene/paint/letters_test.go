package paint

import (
	"image"
	"math"
	"testing"
	"unicode"

	"golang.org/x/image/math/fixed"
)

// Each script that students write in has its letters: those below are the first, the last and a common one of each
// block.
func TestLettersOfManyScripts(t *testing.T) {
	f := Letters(12)
	for _, r := range "一龥车機あヶ가힣한。「★①" {
		if !f.Has(r) {
			t.Errorf("%c (%U) is lacking", r, r)
		}
	}
	for _, r := range "aé…жΩ" { // the Go fonts have these
		if f.Has(r) || lacks(regularFont(), r) {
			t.Errorf("%c (%U) does not come from the Go font", r, r)
		}
	}
	lacking := 0
	for r := rune(0x4e00); r <= 0x9fa5; r++ { // the ideographs of Unicode 1.1
		if unicode.Is(unicode.Han, r) && !f.Has(r) {
			lacking++
		}
	}
	if lacking > 2100 {
		t.Errorf("%d of 20902 ideographs are lacking, want at most 2100", lacking)
	}
}

func TestWidthsOfLetters(t *testing.T) {
	for words, want := range map[string]float64{"中文": 2, "한국": 2, "ｱ": 0.5} {
		if got := Width(words, 1, false); got < want-0.01 || got > want+0.01 {
			t.Errorf("%s is %g em wide, want %g", words, got, want)
		}
	}
}

// A bar of a letter covers as much of the picture at any size and place: 一 is one row of the grid.
func TestALetterCoversAsMuchAsItsGrid(t *testing.T) {
	area := func(size float64, at fixed.Point26_6) float64 {
		box, mask, from, _, ok := Letters(size).Glyph(at, '一')
		if !ok || from != box.Min {
			t.Fatal(box, from, ok)
		}
		sum := 0.0
		for _, pixel := range mask.(*image.Alpha).Pix {
			sum += float64(pixel) / 255
		}
		return sum / size / size * gridEm * gridEm
	}
	squares := area(12, fixed.P(0, 20))
	if squares = math.Round(squares); squares < 9 || squares > 12 {
		t.Fatalf("一 has %g squares", squares)
	}
	for _, size := range []float64{9, 13.7, 31} {
		if got := area(size, fixed.Point26_6{X: 19, Y: 1337}); got < squares-0.3 || got > squares+0.3 {
			t.Errorf("at %g pixels it covers %.2f squares, want %g", size, got, squares)
		}
	}
}
