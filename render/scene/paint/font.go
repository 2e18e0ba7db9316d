package paint

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
)

// The fonts of every picture: Go and Go Bold, by Bigelow & Holmes.
var (
	regularFont = sync.OnceValue(func() *opentype.Font { return parsed(goregular.TTF) })
	boldFont    = sync.OnceValue(func() *opentype.Font { return parsed(gobold.TTF) })
)

// parsed reads a font that is part of the program: one that does not parse is our own fault.
func parsed(file []byte) *opentype.Font {
	f, err := opentype.Parse(file)
	if err != nil {
		panic("paint: embedded font: " + err.Error())
	}
	return f
}

// Face is a font at a size (em) in pixels, its letters neither moved nor bent to whole ones. What it lacks comes from
// Letters.
func Face(size float64, bold bool) WithLetters {
	from := regularFont()
	if bold {
		from = boldFont()
	}
	face, err := opentype.NewFace(from, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic("paint: embedded font: " + err.Error())
	}
	return WithLetters{face, from, Letters(size)}
}

// How far letters reach above and below the baseline, in em, measured over Latin letters with one accent.
const (
	ascent  = 0.96
	descent = 0.22
)

// lastMeasured is the end of the letters whose widths are tabled; it takes in Latin, Greek, Cyrillic, punctuation and
// arrows. Others are Letters, or have the width of the font's box for a letter that it lacks.
const lastMeasured = 0x2600

// face is a font's letter widths in em.
type face struct {
	widths  [lastMeasured]float32 // 0 of what the font lacks
	missing float32
}

var (
	regularFace = sync.OnceValue(func() *face { return measured(false) })
	boldFace    = sync.OnceValue(func() *face { return measured(true) })
)

// measured tables a font.
func measured(bold bool) *face {
	const em = 2048 // pixels: as many as the fonts have units, so that nothing is rounded
	from := Face(em, bold)
	width := func(letter rune) float32 {
		advance, _ := from.Face.GlyphAdvance(letter)
		return float32(advance) / 64 / em
	}
	f := &face{missing: width(utf8.MaxRune)}
	for letter := range f.widths {
		if !lacks(from.font, rune(letter)) {
			f.widths[letter] = width(rune(letter))
		}
	}
	return f
}

func (f *face) letter(r rune) float64 {
	if r >= 0 && r < lastMeasured && f.widths[r] > 0 {
		return float64(f.widths[r])
	}
	if advance, has := Letters(1024).GlyphAdvance(r); has {
		return float64(advance) / 64 / 1024
	}
	return float64(f.missing)
}

// Width is how wide words are at a size (em), in the size's unit. The letters stand one after the other by their own
// widths: there is no kerning in this font.
func Width(words string, size float64, bold bool) float64 {
	f := regularFace()
	if bold {
		f = boldFace()
	}
	var sum float64
	for _, r := range words {
		sum += f.letter(r)
	}
	return sum * size
}

// Clean makes a text one line of printable letters: in a text with control characters, runs of these and of white space
// become one space; bytes that are no letter become the mark for that.
func Clean(text string) string {
	plain := utf8.ValidString(text)
	for _, r := range text {
		if !unicode.IsPrint(r) {
			plain = false
			break
		}
	}
	if plain {
		return text
	}
	spaced := strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) {
			return r
		}
		return ' '
	}, strings.ToValidUTF8(text, "\uFFFD"))
	return strings.Join(strings.Fields(spaced), " ")
}

// Fit shortens words by an ellipsis so that they are at most so wide.
func Fit(words string, width, size float64, bold bool) string {
	if Width(words, size, bold) <= width {
		return words
	}
	runes := []rune(words)
	for n := len(runes) - 1; n > 0; n-- {
		if short := strings.TrimRight(string(runes[:n]), " ") + "…"; Width(short, size, bold) <= width {
			return short
		}
	}
	return ""
}

// Wrap breaks words into at most so many lines of a width; what does not fit is shortened by an ellipsis.
func Wrap(words string, width, size float64, bold bool, most int) []string {
	var lines []string
	rest := Clean(words)
	for rest != "" && len(lines) < most {
		if len(lines) == most-1 {
			return append(lines, Fit(rest, width, size, bold))
		}
		cut := lineEnd(rest, width, size, bold)
		lines = append(lines, strings.TrimRight(rest[:cut], " "))
		rest = strings.TrimLeft(rest[cut:], " ")
	}
	return lines
}

// lineEnd is where the first line of a text ends, in bytes: after the last word that fits, or inside a word that is
// wider than the line by itself.
func lineEnd(text string, width, size float64, bold bool) int {
	f := regularFace()
	if bold {
		f = boldFace()
	}
	var sum float64
	gap := 0
	for i, r := range text {
		if r == ' ' {
			gap = i
		}
		sum += f.letter(r) * size
		if sum > width && i > 0 && r != ' ' {
			if gap > 0 {
				return gap
			}
			return i
		}
	}
	return len(text)
}
