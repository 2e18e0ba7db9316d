package wording_test

import (
	"bytes"
	"encoding/json"
	"testing"
	"unicode/utf8"

	"chalkfield/internal/base/property"
	"chalkfield/internal/base/wording"

	"pgregory.net/rapid"
)

func TestVisible(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"plain, tab\tand line\n", "plain, tab\tand line\n"},
		{"é 日本 🙂 \ufffd", "é 日本 🙂 \ufffd"},
		{"\x1b[2Jgone", `\x1b[2Jgone`},
		{"back\bspace\rreturn\x00", `back\x08space\x0dreturn\x00`},
		{"del\x7f csi\u009b", `del\u007f csi\u009b`},
		{"raw \x9b byte \xff", `raw \x9b byte \xff`},
		{"a\u202eb\u2066c\u200fd\u061c\u2028", `a\u202eb\u2066c\u200fd\u061c\u2028`},
	} {
		if got := wording.Visible(c.text); got != c.want {
			t.Errorf("Visible(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}

// However the bytes are cut into writes, what comes out is the same text, and nothing in it but line feed and tab is a
// control character. Written twice it is as written once: what is spelt out is plain.
func TestWriter(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		text := rapid.SliceOf(rapid.OneOf(rapid.Byte(), rapid.SampledFrom([]byte("\x1b\n\xe2\x80\xae\xc2\x9b")))).Draw(t,
			"text")
		out := &bytes.Buffer{}
		w := wording.NewVisibleWriter(out)
		for left := text; len(left) > 0; {
			n := rapid.IntRange(1, len(left)).Draw(t, "n")
			if wrote, err := w.Write(left[:n]); wrote != n || err != nil {
				t.Fatalf("Write gave %d, %v", wrote, err)
			}
			left = left[n:]
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		if want := wording.Visible(string(text)); out.String() != want {
			t.Fatalf("%q in pieces gives %q, at once %q", text, out, want)
		}
		if !utf8.Valid(out.Bytes()) || bytes.ContainsAny(out.Bytes(), "\x1b\x7f\r\b\u009b\u202e") {
			t.Fatalf("%q becomes %q", text, out)
		}
		if twice := wording.Visible(out.String()); twice != out.String() {
			t.Fatalf("%q becomes %q when printed again", out, twice)
		}
	})
}

// JSON that goes through a VisibleWriter means the same.
func TestJSONStaysJSON(t *testing.T) {
	text := "\x1b[2J \u202e \u009b \x7f \u2028 é"
	data, err := json.Marshal(text)
	if err != nil {
		t.Fatal(err)
	}
	var back string
	if err := json.Unmarshal([]byte(wording.Visible(string(data))), &back); err != nil || back != text {
		t.Errorf("%s: %q, %v", data, back, err)
	}
}
