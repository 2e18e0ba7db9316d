// Package wholefile writes a file whole or not at all: into a temporary name beside it, then renamed.
package wholefile

import (
	"bufio"
	"io"
	"os"
	"path/filepath"
)

// Write calls fill with a buffered writer and puts what it wrote at path. On any error the file that stood at path
// before is untouched and no temporary file is left.
func Write(path string, fill func(io.Writer) error) error {
	temporary, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer os.Remove(temporary.Name()) // fails harmlessly after the rename
	if err := fillAndClose(temporary, fill); err != nil {
		return err
	}
	return os.Rename(temporary.Name(), path)
}

func fillAndClose(file *os.File, fill func(io.Writer) error) error {
	buffered := bufio.NewWriterSize(file, 1<<16)
	err := fill(buffered)
	if err == nil {
		err = buffered.Flush()
	}
	if err == nil {
		err = file.Chmod(0o644)
	}
	if err == nil {
		err = file.Sync()
	}
	if closing := file.Close(); err == nil {
		err = closing
	}
	return err
}
