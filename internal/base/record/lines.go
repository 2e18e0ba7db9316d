package record

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"

	"chalkfield/internal/base/atomicfile"
)

// line is one line of a record file other than a sample: exactly one member is set.
type line struct {
	Header      *Header `json:"header,omitempty"`
	Source      *Source `json:"source,omitempty"`
	Event       *Event  `json:"event,omitempty"`
	Sheet       *Sheet  `json:"sheet,omitempty"`
	Fingerprint string  `json:"fingerprint,omitempty"`
}

// Write writes the record as JSON Lines: the header, the sources, samples and events in order of time (an event before
// the sample of the same time), the score sheet, and last the fingerprint, which is the SHA-256 of all bytes before
// that line. A record that Read would refuse as too large is an error.
func (r *Record) Write(w io.Writer) error { return r.write(w, atomicfile.Record, mostMemory) }

const instead = "take a shorter session or fewer robots"

func (r *Record) write(w io.Writer, kind atomicfile.Kind, most int) error {
	if r.memory() > most {
		return tooMuchMemory(most)
	}
	w = atomicfile.Within(w, kind, 0, instead)
	hash := sha256.New()
	if err := r.writeBody(io.MultiWriter(w, hash)); err != nil {
		return err
	}
	last := json.NewEncoder(w)
	return last.Encode(line{Fingerprint: hex.EncodeToString(hash.Sum(nil))})
}

func tooMuchMemory(most int) error {
	return fmt.Errorf("a record that fills more than %d MB of memory cannot be read back: %s", most>>20, instead)
}

// Fingerprint is the SHA-256 that Write would put on the last line, in hexadecimal.
func (r *Record) Fingerprint() (string, error) {
	hash := sha256.New()
	if err := r.writeBody(hash); err != nil {
		return "", err
	}
	return hex.EncodeToString(hash.Sum(nil)), nil
}

func (r *Record) writeBody(w io.Writer) error {
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	if err := out.Encode(line{Header: &r.Header}); err != nil {
		return err
	}
	for i := range r.Sources {
		if err := out.Encode(line{Source: &r.Sources[i]}); err != nil {
			return err
		}
	}
	next := 0
	var samples codec
	for i := range r.Samples {
		for ; next < len(r.Events) && r.Events[next].T <= r.Samples[i].T; next++ {
			if err := out.Encode(line{Event: &r.Events[next]}); err != nil {
				return err
			}
		}
		text, err := samples.writeSample(&r.Samples[i])
		if err != nil {
			return err
		}
		if _, err := w.Write(text); err != nil {
			return err
		}
	}
	for ; next < len(r.Events); next++ {
		if err := out.Encode(line{Event: &r.Events[next]}); err != nil {
			return err
		}
	}
	return out.Encode(line{Sheet: &r.Sheet})
}

// Read reads a record file and checks its fingerprint. name is used in errors, which give the line.
func Read(name string, in io.Reader) (*Record, error) { return read(name, in, mostMemory) }

func read(name string, in io.Reader, most int) (*Record, error) {
	reader := bufio.NewReaderSize(in, 1<<16)
	r := &reading{Record: &Record{}, hash: sha256.New(), most: most}
	var raw []byte
	for number := 1; ; number++ {
		var err error
		raw, err = atomicfile.ReadLine(reader, raw[:0], mostLine)
		switch {
		case len(raw) == 0 && errors.Is(err, io.EOF):
			err = errors.New("the record ends before its fingerprint: the file is cut; write it again with `chalkfield " +
				"run --record`")
		case err == nil || errors.Is(err, io.EOF):
			err = r.takeLine(raw)
		}
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", name, number, err)
		}
		if r.ended {
			return r.Record, nil
		}
	}
}

// reading is a record of which some lines are read.
type reading struct {
	*Record
	samples codec
	hash    hash.Hash
	most    int // bytes in memory
	memory  int // bytes in memory, about
	begun   bool
	ended   bool
}

func (r *reading) takeLine(raw []byte) error {
	if bytes.HasPrefix(raw, []byte(sampleBegins)) {
		s, err := r.samples.readSample(raw)
		if err != nil {
			return noLine(err)
		}
		if err := r.fits(&s); err != nil {
			return err
		}
		r.Samples = append(r.Samples, s)
		return r.took(raw, s.memory())
	}
	var one line
	if err := decodeStrict(raw, &one); err != nil {
		return noLine(err)
	}
	if one.Fingerprint != "" {
		if r.ended = hex.EncodeToString(r.hash.Sum(nil)) == one.Fingerprint; !r.ended {
			return errors.New("the fingerprint does not fit the lines above it: the file was changed after it was written")
		}
		return nil
	}
	if err := r.take(one); err != nil {
		return err
	}
	return r.took(raw, one.memory())
}

// took counts a line that was taken, and refuses it if it is too much.
func (r *reading) took(raw []byte, memory int) error {
	r.hash.Write(raw)
	r.begun = true
	if r.memory += memory; r.memory > r.most {
		return fmt.Errorf("the lines to here fill %d MB of memory, the most that a record may: it holds more than any "+
			"rehearsal leaves", r.most>>20)
	}
	return nil
}

func noLine(err error) error { return fmt.Errorf("not a line of a Chalkfield record: %v", err) }

// What a record may take, so that a wrong file cannot fill the memory: honest ones take about as much as their file is
// long.
const (
	mostLine   = 4 << 20   // bytes of one line: a routine of half a megabyte, each byte escaped
	mostMemory = 192 << 20 // bytes in memory
)

// memory is about how many bytes the record takes once it is read back.
func (r *Record) memory() int {
	n := 2 * (&line{}).memory() // header and sheet
	for i := range r.Sources {
		n += (&line{Source: &r.Sources[i]}).memory()
	}
	for i := range r.Events {
		n += (&line{Event: &r.Events[i]}).memory()
	}
	for i := range r.Samples {
		n += r.Samples[i].memory()
	}
	return n
}

// memory is about how many bytes a line takes once it is decoded.
func (l *line) memory() int {
	const each, event = 100, 360 // bytes
	n := each
	if s := l.Source; s != nil {
		n += len(s.Of) + len(s.Name) + len(s.Text)
	}
	if e := l.Event; e != nil {
		n += event + len(e.Text) + len(e.Instead) + len(e.Trace) + len(e.What) + len(e.File) + len(e.Part) + len(e.Piece) +
			len(e.Goal)
		n += 40 * len(e.Totals)
	}
	return n
}

func (s *Sample) memory() int {
	const sample, robot, part, body, news = 56, 272, 32, 40, 48 // bytes
	n := sample + body*len(s.Bodies)
	for i := range s.Robots {
		r := &s.Robots[i]
		n += robot + part*len(r.Parts) + 8*(len(r.Sensors)+len(r.Lines))
		if r.News != nil {
			n += news + 16*(len(r.News.Plan)+len(r.News.Said))
		}
	}
	return n
}

func decodeStrict(raw []byte, into *line) error {
	in := json.NewDecoder(bytes.NewReader(raw))
	in.DisallowUnknownFields()
	return in.Decode(into)
}

// take adds a line other than a sample to the record.
func (r *reading) take(one line) error {
	if r.begun == (one.Header != nil) {
		return errHeaderFirst
	}
	switch {
	case one.Header != nil:
		if one.Header.Format != Format || one.Header.Version != Version {
			return fmt.Errorf("a %s of version %d, made by Chalkfield %s; this one reads version %d: rehearse again with "+
				"`chalkfield run --record`",
				one.Header.Format, one.Header.Version, one.Header.Program, Version)
		}
		r.Header = *one.Header
	case one.Source != nil:
		r.Sources = append(r.Sources, *one.Source)
	case one.Event != nil:
		r.Events = append(r.Events, *one.Event)
	case one.Sheet != nil:
		r.Sheet = *one.Sheet
	default:
		return errors.New("an empty line: write none")
	}
	return nil
}

var errHeaderFirst = errors.New("the header must be the first line and only that")

// fits refuses a sample that later code could not index.
func (r *reading) fits(s *Sample) error {
	if !r.begun {
		return errHeaderFirst
	}
	if len(s.Robots) != len(r.Header.Robots) {
		return fmt.Errorf("a sample has %d robots, the header %d", len(s.Robots), len(r.Header.Robots))
	}
	for _, b := range s.Bodies {
		if b.ID < 0 || b.ID >= len(r.Header.Bodies) {
			return fmt.Errorf("body %d: the header has bodies 0 to %d", b.ID, len(r.Header.Bodies)-1)
		}
	}
	for i, robot := range s.Robots {
		if len(robot.Parts) != len(r.Header.Robots[i].Parts) || len(robot.Sensors) != len(r.Header.Robots[i].Sensors) {
			return fmt.Errorf("robot %d: a sample's parts and sensors must be as many as the header's", i)
		}
		for _, said := range robot.New().Said {
			if signals := len(r.Header.Robots[i].Signals); said.Signal < 0 || said.Signal >= signals {
				return fmt.Errorf("robot %d: signal %d: the header has %d", i, said.Signal, signals)
			}
		}
	}
	if n := len(r.Samples); n > 0 && s.T <= r.Samples[n-1].T {
		return fmt.Errorf("sample at %g s after one at %g s: times must rise", s.T, r.Samples[n-1].T)
	}
	return nil
}
