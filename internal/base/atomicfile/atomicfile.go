// Package atomicfile reads and writes users' files: regular ones of a sensible size are read, and a file is written
// whole or not at all, into a temporary name beside it, then renamed.
package atomicfile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// Write calls fill with a buffered writer and puts what it wrote at path. On any error the file that stood at path
// before is untouched and no temporary file is left. A link is followed; a device, or a pipe that is being read (the
// standard output among them), is written to directly, since it cannot be replaced. Errors name path.
func Write(path string, fill func(io.Writer) error) error {
	target, err := filepath.EvalSymlinks(path)
	if errors.Is(err, fs.ErrNotExist) {
		target = path
	} else if err != nil {
		return failed(path, err)
	}
	info, err := os.Stat(target)
	switch {
	case err == nil && info.IsDir():
		return failed(path, errors.New("it is a folder"))
	case err == nil && info.Mode()&fs.ModeSocket != 0:
		return failed(path, NoFile(info.Mode()))
	case err == nil && !info.Mode().IsRegular():
		return failed(path, writeThrough(path, info.Mode(), fill))
	}
	return failed(path, replace(target, fill))
}

// failed names the path instead of the temporary file that the user never asked for.
func failed(path string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: cannot be written: %w", path, Cause(err))
}

// writeThrough does not wait for a pipe that nobody reads: it would be for ever.
func writeThrough(path string, mode fs.FileMode, fill func(io.Writer) error) error {
	flags := os.O_WRONLY
	if mode&fs.ModeNamedPipe != 0 {
		flags |= syscall.O_NONBLOCK
	}
	file, err := os.OpenFile(path, flags, 0)
	if errors.Is(err, syscall.ENXIO) {
		return errors.New("it is a pipe that nothing reads: name a file")
	}
	if err != nil {
		return err
	}
	defer file.Close()
	return fillBuffered(file, fill)
}

func replace(path string, fill func(io.Writer) error) error {
	temporary, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer os.Remove(temporary.Name()) // fails harmlessly after the rename
	err = fillBuffered(temporary, fill)
	if err == nil {
		err = temporary.Chmod(0o644)
	}
	if err == nil {
		err = temporary.Sync()
	}
	if closing := temporary.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return err
	}
	return os.Rename(temporary.Name(), path)
}

func fillBuffered(file io.Writer, fill func(io.Writer) error) error {
	buffered := bufio.NewWriterSize(file, 1<<16)
	if err := fill(buffered); err != nil {
		return err
	}
	return buffered.Flush()
}
