package atomicfile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// Kind is a kind of file that users hand in, and the most that one may hold.
type Kind struct {
	Name string // with its article
	Most int64  // bytes
}

// The kinds. Each limit is far above what is written by hand, or by this program for a session of an hour; what it
// keeps away is a wrong file of a gigabyte.
var (
	TOML    = Kind{"a field, robot or check file", 1 << 20}
	Routine = Kind{"a routine", 512 << 10}
	Pad     = Kind{"an input script", 8 << 20}
	Record  = Kind{"a record", 128 << 20} // one robot writes 110 MB an hour
	Golden  = Kind{"a golden record", 16 << 20}
	// some 20,000 rehearsals; they take some four times as much memory to read and judge
	Study  = Kind{"a study file", 64 << 20}
	Log    = Kind{"a log", 256 << 20} // a million rows of 8 columns have some 80 MB
	Window = Kind{"what the window remembers", 1 << 20}
)

// Open opens a regular file of a kind for reading. What is none (a pipe may keep a reader waiting for ever, a device
// never ends) and what is too large is refused, in an *fs.PathError. Reading past the limit, should the file grow,
// fails too.
func Open(path string, kind Kind) (io.ReadCloser, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if err := kind.takes(info); err != nil {
		return nil, &fs.PathError{Op: "read", Path: path, Err: err}
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	return &limited{file, kind, kind.Most}, nil
}

// Read reads a regular file of a kind whole; see Open.
func Read(path string, kind Kind) ([]byte, error) {
	file, err := Open(path, kind)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	data, err := io.ReadAll(file)
	if err != nil {
		return nil, &fs.PathError{Op: "read", Path: path, Err: Cause(err)}
	}
	return data, nil
}

// ReadLine appends a line with its end to what is given, and refuses one of more bytes than most. Of a last line
// without an end it gives io.EOF too.
func ReadLine(in *bufio.Reader, raw []byte, most int) ([]byte, error) {
	for {
		piece, err := in.ReadSlice('\n')
		raw = append(raw, piece...)
		if len(raw) > most {
			return nil, fmt.Errorf("a line of more than %d MB, which no such file has", most>>20)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return raw, err
		}
	}
}

// Cause is a file error without the path, for a message that gives it already.
func Cause(err error) error {
	for at := (*fs.PathError)(nil); errors.As(err, &at); {
		err = at.Err
	}
	return err
}

// takes says why a thing that a path leads to is no file of this kind.
func (k Kind) takes(info fs.FileInfo) error {
	if err := NoFile(info.Mode()); err != nil {
		return err
	}
	if info.Size() > k.Most {
		return k.tooLarge(info.Size())
	}
	return nil
}

func (k Kind) tooLarge(size int64) error {
	return fmt.Errorf("it has %s, and %s may have at most %s", megabytes(size), k.Name, megabytes(k.Most))
}

// NoFile says what a mode stands for that is no regular file's; nil for one.
func NoFile(mode fs.FileMode) error {
	switch {
	case mode.IsRegular():
		return nil
	case mode.IsDir():
		return errors.New("it is a folder: name a file in it")
	case mode&fs.ModeNamedPipe != 0:
		return errors.New("it is a pipe, not a file: write what comes out of it into a file, and name that")
	case mode&fs.ModeSocket != 0:
		return errors.New("it is a socket, not a file")
	}
	return errors.New("it is a device, not a file")
}

func megabytes(size int64) string {
	if size < 1<<20 {
		return fmt.Sprintf("%.4g kB", float64(size)/(1<<10))
	}
	return fmt.Sprintf("%.4g MB", float64(size)/(1<<20))
}

// limited reads a file that may grow meanwhile.
type limited struct {
	*os.File
	kind Kind
	left int64
}

func (l *limited) Read(p []byte) (int, error) {
	n, err := l.File.Read(p)
	if l.left -= int64(n); l.left < 0 {
		return 0, l.kind.tooLarge(l.kind.Most - l.left)
	}
	return n, err
}
