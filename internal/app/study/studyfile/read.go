package studyfile

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"reflect"

	"chalkfield/internal/app/account"
	"chalkfield/internal/app/study/trial"
	"chalkfield/internal/base/atomicfile"
)

// File is a study file's content. Results has an entry for every job of the whole study; nil where the file has none.
type File struct {
	Header   Header
	Results  []*trial.Result
	Finished bool // it has its last line: every job of the part is there
	kept     int64
	seal     seal
}

// Have counts the results.
func (f *File) Have() int {
	n := 0
	for _, r := range f.Results {
		if r != nil {
			n++
		}
	}
	return n
}

// line is one line of the file: exactly one member is set, and Sum.
type line struct {
	Header *Header `json:"header,omitempty"`
	Result *result `json:"result,omitempty"`
	End    string  `json:"end,omitempty"` // SHA-256 of all lines above
	Sum    string  `json:"sum,omitempty"` // see seal
}

type result struct {
	Job int `json:"job"`
	trial.Result
}

// ErrNotOurs is the error of a file that is no study file.
var ErrNotOurs = errors.New("not a study file of Chalkfield")

// Read reads a study file, finished or not. A last line that was cut by a kill is left out. Errors name the line.
func Read(path string) (*File, error) {
	data, err := atomicfile.Read(path, atomicfile.Study)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w: %w", path, ErrNotOurs, atomicfile.Cause(err))
	}
	f, err := parse(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return f, nil
}

func parse(data []byte) (*File, error) {
	f := &File{}
	for number, rest := 1, data; len(rest) > 0 && !f.Finished; number++ {
		end := bytes.IndexByte(rest, '\n')
		if end < 0 {
			break // cut by a kill
		}
		raw := rest[:end+1]
		rest = rest[end+1:]
		if number == 1 {
			if err := ofAnotherVersion(raw); err != nil {
				return nil, err
			}
		}
		one, err := decode(raw)
		if err != nil && number > 1 && len(rest) == 0 {
			break // a torn last line
		}
		if err == nil {
			err = f.seal.check(raw, one)
		}
		if err == nil {
			err = f.take(one, number, data[:f.kept])
		}
		if number == 1 && err != nil && !errors.Is(err, errChanged) {
			return nil, fmt.Errorf("%w: %v", ErrNotOurs, instead(raw, err))
		}
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", number, err)
		}
		f.kept += int64(len(raw))
	}
	if f.Results == nil {
		return nil, fmt.Errorf("%w: it has no header", ErrNotOurs)
	}
	if f.Finished && f.kept != int64(len(data)) {
		return nil, errors.New("there are lines after its last one: the file was changed after it was written")
	}
	return f, nil
}

// instead says what a first line is that begins no study.
func instead(raw []byte, err error) error {
	switch {
	case bytes.Contains(raw, []byte(`"format":"chalkfield record"`)):
		return errors.New("it is a record")
	case bytes.Contains(raw, []byte(`"format":"chalkfield golden"`)):
		return errors.New("it is a golden record")
	}
	return err
}

func decode(raw []byte) (line, error) {
	var one line
	in := json.NewDecoder(bytes.NewReader(raw))
	in.DisallowUnknownFields()
	if err := in.Decode(&one); err != nil {
		return one, err
	}
	if _, err := in.Token(); err != io.EOF {
		return one, errors.New("more than one value")
	}
	return one, nil
}

// take adds one line to the file; above are the bytes before it.
func (f *File) take(one line, number int, above []byte) error {
	if (number == 1) != (one.Header != nil) {
		return errors.New("the header must be the first line and only that")
	}
	switch {
	case one.Header != nil:
		return f.takeHeader(one.Header)
	case one.Result != nil:
		return f.takeResult(one.Result)
	case one.End != "":
		return f.takeEnd(one.End, above)
	}
	return errors.New("an empty line: write none")
}

func (f *File) takeHeader(h *Header) error {
	if err := h.possible(); err != nil {
		return err
	}
	f.Header, f.Results = *h, make([]*trial.Result, h.Jobs())
	return nil
}

func (f *File) takeResult(r *result) error {
	switch {
	case r.Job < 0 || r.Job >= len(f.Results) || !f.Header.Mine(r.Job):
		return fmt.Errorf("rehearsal %d does not belong to this part", r.Job)
	case f.Results[r.Job] != nil && !reflect.DeepEqual(*f.Results[r.Job], r.Result): // two processes on one file make equal ones
		return fmt.Errorf("rehearsal %d is there twice, with two results", r.Job)
	case r.Seed != f.Header.SeedOf(r.Job):
		return fmt.Errorf("rehearsal %d has seed %d instead of %d", r.Job, r.Seed, f.Header.SeedOf(r.Job))
	case len(r.Drawn) != len(f.Header.Variant(r.Job).Drawn):
		return fmt.Errorf("rehearsal %d drew %d numbers, the header names %d", r.Job, len(r.Drawn), len(f.Header.Variant(r.Job).Drawn))
	}
	if err := f.Header.fits(&r.Result); err != nil {
		return err
	}
	f.Results[r.Job] = &r.Result
	return nil
}

func (f *File) takeEnd(sum string, above []byte) error {
	if got := sha256.Sum256(above); hex.EncodeToString(got[:]) != sum {
		return errors.New("the file's hash does not fit its lines: it was changed after it was written")
	}
	if have, due := f.Have(), len(f.Header.MyJobs()); have != due {
		return fmt.Errorf("the file ends with %d of its %s", have, account.Counted(due, "rehearsal"))
	}
	f.Finished = true
	return nil
}
