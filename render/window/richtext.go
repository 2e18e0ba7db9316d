package window

import (
	"strings"
	"unicode/utf8"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/canvas"
)

// setLine is a line of a text that is set: pieces of words in their faces.
type setLine struct {
	pieces []setPiece
	high   float64
	code   bool // it has a ground of its own
}

// setPiece is words in one face.
type setPiece struct {
	words string
	left  float64
	kind  canvas.Type
}

// Measures of a text, points.
const (
	textRow    = 18.0
	textGap    = 7.0  // between paragraphs
	textIndent = 14.0 // of a list's lines
	codeInset  = 6.0
	codeIndent = "    " // what makes a line code, without fences
)

// textSetter sets the text of a lesson's file: paragraphs, lists, headings, code between fences or set in, `code` and
// **bold** in a line. Anything else stands as it is written.
type textSetter struct {
	width, density float64
	lines          []setLine
}

// setText sets a text in a width.
func setText(text string, width, density float64) []setLine {
	s := textSetter{width: width, density: density}
	code, paragraph := false, []string(nil)
	end := func() {
		s.paragraph(strings.Join(paragraph, " "))
		paragraph = nil
	}
	for _, line := range strings.Split(text, "\n") {
		trimmed := strings.TrimSpace(line)
		switch {
		case strings.HasPrefix(trimmed, "```"):
			end()
			if code = !code; code {
				s.gap()
			}
		case code:
			s.code(line)
		case paragraph == nil && trimmed != "" && strings.HasPrefix(line, codeIndent):
			if n := len(s.lines); n > 0 && !s.lines[n-1].code {
				s.gap()
			}
			s.code(strings.TrimPrefix(line, codeIndent))
		case trimmed == "":
			end()
		case strings.HasPrefix(trimmed, "#"):
			end()
			s.paragraph("**" + strings.TrimLeft(trimmed, "# ") + "**")
		case listMark(trimmed) > 0:
			end()
			paragraph = []string{trimmed}
		default:
			paragraph = append(paragraph, trimmed)
		}
	}
	end()
	return s.lines
}

// listMark is how many letters of a line mark it as one of a list, "- " or "2. "; 0: it is none.
func listMark(line string) int {
	if strings.HasPrefix(line, "- ") || strings.HasPrefix(line, "* ") {
		return 2
	}
	digits := len(line) - len(strings.TrimLeft(line, "0123456789"))
	if digits > 0 && digits < 3 && strings.HasPrefix(line[digits:], ". ") {
		return digits + 2
	}
	return 0
}

// gap parts what is set from what follows.
func (s *textSetter) gap() {
	if n := len(s.lines); n > 0 {
		s.lines[n-1].high += textGap
	}
}

// code sets a line of code, folded where it is too long.
func (s *textSetter) code(line string) {
	columns := max(int((s.width-2*codeInset)/canvas.MonoAdvance(codeSize, s.density)), 12)
	for _, part := range foldLine(strings.ReplaceAll(line, "\t", "  "), columns) {
		s.lines = append(s.lines, setLine{high: codeRow, code: true,
			pieces: []setPiece{{words: part, left: codeInset, kind: canvas.Mono}}})
	}
}

// paragraph sets words that go on from line to line.
func (s *textSetter) paragraph(words string) {
	if words == "" {
		return
	}
	indent := 0.0
	listed := listMark(words) > 0
	if n := len(s.lines); n > 0 && !(listed && s.lines[n-1].high == textRow) {
		s.gap()
	}
	line := setLine{high: textRow}
	if n := listMark(words); n > 0 {
		mark := strings.Replace(strings.TrimSpace(words[:n]), "-", "•", 1)
		line.pieces = []setPiece{{words: mark, kind: canvas.Plain}}
		words, indent = words[n:], textIndent
	}
	x := indent
	for _, word := range styledWords(words) {
		wide := 0.0
		for _, piece := range word {
			wide += s.wide(piece)
		}
		space := 0.0
		if x > indent {
			space = paint.Width(" ", normal, false)
		}
		if x+space+wide > s.width && x > indent {
			s.lines = append(s.lines, line)
			line, x, space = setLine{high: textRow}, indent, 0
		}
		x += space
		for _, piece := range word {
			piece.left = x
			line.pieces = append(line.pieces, piece)
			x += s.wide(piece)
		}
	}
	s.lines = append(s.lines, line)
}

func (s *textSetter) wide(p setPiece) float64 {
	if p.kind == canvas.Mono {
		return float64(utf8.RuneCountInString(p.words)) * canvas.MonoAdvance(codeSize, s.density)
	}
	return paint.Width(p.words, normal, p.kind == canvas.Bold)
}

// styledWords parts a paragraph at its blanks; a word may be of several faces, as in **volts**, which ends in a comma.
func styledWords(text string) (words [][]setPiece) {
	kind, fresh := canvas.Plain, true
	put := func(part string) {
		if part == "" {
			return
		}
		if fresh {
			words = append(words, nil)
		}
		last := len(words) - 1
		words[last] = append(words[last], setPiece{words: part, kind: kind})
		fresh = false
	}
	for text != "" {
		at := strings.IndexAny(text, " *`")
		if at < 0 {
			put(text)
			break
		}
		put(text[:at])
		mark, rest := text[at:at+1], text[at+1:]
		switch {
		case mark == " ":
			fresh = true
		case mark == "`" && kind != canvas.Bold && (kind == canvas.Mono || strings.Contains(rest, "`")):
			kind = otherFace(kind, canvas.Mono)
		case strings.HasPrefix(text[at:], "**") && kind != canvas.Mono:
			kind, rest = otherFace(kind, canvas.Bold), rest[1:]
		default:
			put(mark)
		}
		text = rest
	}
	return words
}

// otherFace begins a face, or ends it.
func otherFace(now, face canvas.Type) canvas.Type {
	if now == face {
		return canvas.Plain
	}
	return face
}

// drawSet writes a line that is set.
func (l *look) drawSet(line *setLine, r Rect) {
	row := Rect{X: r.X, Y: r.Y, W: r.W, H: textRow}
	if line.code {
		row.H = codeRow
		l.fill(row, scene.Slate)
	}
	for _, piece := range line.pieces {
		size := normal
		if piece.kind == canvas.Mono {
			size = codeSize
		}
		l.pen.Write(piece.words, row.X+piece.left, baseline(row, size), piece.kind, size, scene.Chalk)
	}
}
