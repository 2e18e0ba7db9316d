package results

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"reflect"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/units"
)

// File is a study file's content. Results has an entry for every job of the whole study; nil where the file has none.
type File struct {
	Header   Header
	Results  []*Result
	Finished bool  // it has its last line: every job of the part is there
	kept     int64 // bytes of the lines that were taken
	rows     int64 // bytes of those of them that are results
	seal     seal
	memory   memory
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
	Result
}

// ErrNotOurs is the error of a file that is no study file.
var ErrNotOurs = errors.New("not a study file of Chalkfield")

// mostLine is far above the line of a session of an hour, or the header of the largest grid.
const mostLine = 16 << 20 // bytes

// Read reads a study file, finished or not. A last line that was cut by a kill is left out. Errors name the line.
func Read(path string) (*File, error) {
	file, err := atomicfile.Open(path, atomicfile.Study)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w: %w", path, ErrNotOurs, atomicfile.Cause(err))
	}
	defer file.Close()
	f, err := parse(file)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return f, nil
}

func parse(from io.Reader) (*File, error) {
	f, in, above := &File{}, bufio.NewReaderSize(from, 1<<16), sha256.New()
	var raw []byte
	for number := 1; !f.Finished; number++ {
		var err error
		raw, err = atomicfile.ReadLine(in, raw[:0], mostLine)
		if errors.Is(err, io.EOF) {
			break // the end, or cut by a kill
		}
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", number, atomicfile.Cause(err))
		}
		if number == 1 {
			if err := ofAnotherVersion(raw); err != nil {
				return nil, err
			}
		}
		torn, err := f.takeLine(raw, number, above)
		if _, end := in.Peek(1); torn && number > 1 && end != nil {
			break
		}
		if number == 1 && err != nil && !errors.Is(err, errChanged) {
			return nil, fmt.Errorf("%w: %v", ErrNotOurs, instead(raw, err))
		}
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", number, err)
		}
		above.Write(raw)
		f.kept += int64(len(raw))
	}
	if f.Results == nil {
		return nil, fmt.Errorf("%w: it has no header", ErrNotOurs)
	}
	if _, end := in.Peek(1); f.Finished && end == nil {
		return nil, errors.New("there are lines after its last one: the file was changed after it was written")
	}
	return f, nil
}

// takeLine adds a line to the file; torn is one that cannot be read, as a kill leaves it.
func (f *File) takeLine(raw []byte, number int, above hash.Hash) (torn bool, err error) {
	one, err := f.decode(raw)
	if err != nil {
		return true, err
	}
	if err := f.seal.check(raw, one); err != nil {
		return false, err
	}
	if one.Result != nil {
		f.rows += int64(len(raw))
	}
	return false, f.take(one, number, above)
}

// instead says what a first line is that begins no study.
func instead(raw []byte, err error) error {
	switch {
	case bytes.Contains(raw, []byte(`"format":"chalkfield record"`)):
		return errors.New("it is a record")
	case bytes.Contains(raw, []byte(`"format":"chalkfield golden"`)):
		return errors.New("it is a golden record")
	case !bytes.HasPrefix(bytes.TrimSpace(raw), []byte("{")):
		return errors.New("name what trials, compare or sweep wrote with --out")
	}
	return err
}

func (f *File) decode(raw []byte) (line, error) {
	var one line
	if bytes.HasPrefix(raw, []byte(`{"result":`)) {
		one.Result = f.memory.scratch()
	}
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

// take adds one line to the file; above is the hash of the bytes before it.
func (f *File) take(one line, number int, above hash.Hash) error {
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
	f.Header, f.Results = *h, make([]*Result, h.Jobs())
	return nil
}

func (f *File) takeResult(r *result) error {
	switch {
	case r.Job < 0 || r.Job >= len(f.Results) || !f.Header.Mine(r.Job):
		return fmt.Errorf("rehearsal %d does not belong to this part", r.Job)
	// two processes on one file make equal ones
	case f.Results[r.Job] != nil && !reflect.DeepEqual(*f.Results[r.Job], r.Result):
		return fmt.Errorf("rehearsal %d is there twice, with two results", r.Job)
	case f.Header.Search != nil && !f.Header.Search.fits(&r.Result):
		return fmt.Errorf("rehearsal %d has other values than the header's freedoms and readings", r.Job)
	case f.Header.Search == nil && len(r.Reads) != f.Header.reads():
		return fmt.Errorf("rehearsal %d has %d readings, the header names %d", r.Job, len(r.Reads), f.Header.reads())
	case f.Header.Search == nil && r.Seed != f.Header.SeedOf(r.Job):
		return fmt.Errorf("rehearsal %d has seed %d instead of %d", r.Job, r.Seed, f.Header.SeedOf(r.Job))
	case len(r.Drawn) != len(f.Header.Variant(r.Job).Drawn):
		return fmt.Errorf("rehearsal %d drew %d numbers, the header names %d", r.Job, len(r.Drawn),
			len(f.Header.Variant(r.Job).Drawn))
	}
	if err := f.Header.fits(&r.Result); err != nil {
		return err
	}
	f.Results[r.Job] = f.memory.keep(&r.Result)
	return nil
}

func (f *File) takeEnd(sum string, above hash.Hash) error {
	if hexOf(above) != sum {
		return errors.New("the file's hash does not fit its lines: it was changed after it was written")
	}
	if have, due := f.Have(), len(f.Header.MyJobs()); have != due && f.Header.Search == nil {
		return fmt.Errorf("the file ends with %d of its %s", have, units.Counted(due, "rehearsal"))
	}
	f.Finished = true
	return nil
}
