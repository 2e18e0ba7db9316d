package wording

import (
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Visible makes text safe to print: what a terminal would obey instead of show (escape sequences, changes of the
// writing direction, bytes that are no text) is spelt out, so that a note of a routine or a file's name can neither
// hide nor feign a line. Line feeds and tabs, which lay text out, stay.
func Visible(s string) string {
	if !strings.ContainsFunc(s, spelt) {
		return s
	}
	return string(appendText(nil, []byte(s)))
}

// spelt reports whether a character is spelt out. Characters that cannot be decoded come as utf8.RuneError.
func spelt(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case r < 0x20, r >= 0x7f && r <= 0x9f: // C0, delete and C1 of ISO/IEC 6429
		return true
	case r == 0x061c || r == 0x200e || r == 0x200f, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
		return true // Bidi_Control of the Unicode Character Database
	case r == 0x2028 || r == 0x2029: // line and paragraph separator
		return true
	}
	return r == utf8.RuneError
}

// appendText appends a text to dst, spelt as in Go and JSON: \x1b, \u202e. Those below 0x20 never stand raw in JSON,
// the others may, and \u202e means the same there.
func appendText(dst, text []byte) []byte {
	for len(text) > 0 {
		r, size := utf8.DecodeRune(text)
		switch {
		case r == utf8.RuneError && size == 1:
			dst = append(dst, `\x`...)
			dst = appendHex(dst, rune(text[0]), 2)
		case r == utf8.RuneError || !spelt(r):
			dst = append(dst, text[:size]...)
		case r < 0x20:
			dst = append(dst, `\x`...)
			dst = appendHex(dst, r, 2)
		default:
			dst = append(dst, `\u`...)
			dst = appendHex(dst, r, 4)
		}
		text = text[size:]
	}
	return dst
}

func appendHex(dst []byte, r rune, digits int) []byte {
	hex := strconv.FormatInt(int64(r), 16)
	return append(append(dst, strings.Repeat("0", max(0, digits-len(hex)))...), hex...)
}

// VisibleWriter passes text on with its control characters spelt out.
type VisibleWriter struct {
	to   io.Writer
	rest []byte // the beginning of a character that the last Write ended in
}

// NewVisibleWriter makes a VisibleWriter in front of another.
func NewVisibleWriter(to io.Writer) *VisibleWriter { return &VisibleWriter{to: to} }

// Under is what it writes to, for bytes that are no text for a person.
func (w *VisibleWriter) Under() io.Writer { return w.to }

// Write passes on all whole characters.
func (w *VisibleWriter) Write(text []byte) (int, error) {
	all := append(w.rest, text...)
	whole := len(all) - cut(all)
	w.rest = append([]byte(nil), all[whole:]...)
	if _, err := w.to.Write(appendText(nil, all[:whole])); err != nil {
		return 0, err
	}
	return len(text), nil
}

// Close passes on what no further bytes will complete.
func (w *VisibleWriter) Close() error {
	rest := w.rest
	w.rest = nil
	if len(rest) == 0 {
		return nil
	}
	_, err := w.to.Write(appendText(nil, rest))
	return err
}

// cut is how many bytes at the end are the beginning of a character.
func cut(text []byte) int {
	for n := 1; n < utf8.UTFMax && n <= len(text); n++ {
		if tail := text[len(text)-n:]; utf8.RuneStart(tail[0]) {
			if utf8.FullRune(tail) {
				return 0
			}
			return n
		}
	}
	return 0
}
