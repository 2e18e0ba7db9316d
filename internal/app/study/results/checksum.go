package results

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// seal makes and checks the sum with which each line ends, so that an unfinished file too shows what was changed in it:
//
//	{"result":{...},"sum":"0123456789abcdef"}
//
// The sum is the beginning of the SHA-256 of the header line's sum and the line without its own: a line belongs to its
// study. The header's own sum begins with nothing.
type seal struct {
	header string
}

// sumDigits are enough to notice any slip; whoever wants to deceive can make sums of his own.
const sumDigits = 16

// sumBegins is what follows a line's content, in place of its last brace.
const sumBegins = `,"sum":"`

// of is the sum of a line's content, which lacks its last brace.
func (s seal) of(open []byte) string {
	sum := sha256.New()
	io.WriteString(sum, s.header)
	sum.Write(open)
	io.WriteString(sum, "}")
	return hexOf(sum)[:sumDigits]
}

// sealOf is the seal of the lines below a header.
func sealOf(h *Header) (seal, error) {
	var s seal
	err := s.encode(io.Discard, line{Header: h})
	return s, err
}

// encode writes a line with its sum. After a header the seal is that of the lines below.
func (s *seal) encode(w io.Writer, one line) error {
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(one); err != nil {
		return err
	}
	open := bytes.TrimSuffix(text.Bytes(), []byte("}\n"))
	sum := s.of(open)
	if one.Header != nil {
		s.header = sum
	}
	_, err := fmt.Fprintf(w, "%s%s%s\"}\n", open, sumBegins, sum)
	return err
}

var errChanged = errors.New("its sum does not fit: the line was changed after it was written")

// check refuses a line that is not as it was written.
func (s *seal) check(raw []byte, one line) error {
	at := bytes.LastIndex(raw, []byte(sumBegins))
	if at < 0 || one.Sum != s.of(raw[:at]) {
		return errChanged
	}
	if one.Header != nil {
		s.header = one.Sum
	}
	return nil
}

// ofAnotherVersion refuses a first line that another version of the program wrote.
func ofAnotherVersion(raw []byte) error {
	var one struct {
		Header struct {
			Format  string `json:"format"`
			Version int    `json:"version"`
			Program string `json:"program"`
		} `json:"header"`
	}
	if json.Unmarshal(raw, &one) != nil || one.Header.Format != Format || one.Header.Version == Version {
		return nil
	}
	return fmt.Errorf("a study file of version %d, made by Chalkfield %s; this one reads version %d only",
		one.Header.Version, one.Header.Program, Version)
}
