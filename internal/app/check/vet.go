package check

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"chalkfield/internal/base/atomicfile"
)

// vetGoldens makes a golden path at which --accept must not write a fault of its case: what stands there is somebody's
// work, or is read, or is the golden record of another rehearsal.
func vetGoldens(files []*File) {
	first := map[string]claim{}
	for _, f := range files {
		if f.Fault != nil {
			continue
		}
		for i := range f.Cases {
			c := &f.Cases[i]
			if c.Golden == "" || c.Fault != nil {
				continue
			}
			if err := f.vet(c, first); err != nil {
				f.positions.Errorf(fmt.Sprintf("cases[%d].golden", i), "%v", err)
			}
		}
		f.blame(f.positions.Apart("cases"))
	}
}

// claim is a case that has a golden record.
type claim struct {
	file *File
	of   *Case
}

// vet says why a case's golden path is no place to write to.
func (f *File) vet(c *Case, first map[string]claim) error {
	if err := standsInTheWay(c.Golden); err != nil {
		return err
	}
	for _, read := range f.Reads {
		if atomicfile.Same(c.Golden, read) {
			return fmt.Errorf("%s: is one of the files that this check reads: name another", c.Golden)
		}
	}
	path := resolved(c.Golden)
	other, taken := first[path]
	if !taken {
		first[path] = claim{f, c}
		return nil
	}
	if other.sameRehearsal(claim{f, c}) {
		return nil
	}
	of := fmt.Sprintf("%q and %q", other.of.Name, c.Name)
	if other.file != f {
		of = fmt.Sprintf("%q of %s and %q", other.of.Name, other.file.Path, c.Name)
	}
	return fmt.Errorf("%s: is the golden record of the cases %s, which are not the same rehearsal: give each its own",
		c.Golden, of)
}

func (a claim) sameRehearsal(b claim) bool {
	return a.of.Seed == b.of.Seed && a.of.Nominal == b.of.Nominal &&
		reflect.DeepEqual(a.file.Subject.beside(filepath.Dir(a.file.Path)), b.file.Subject.beside(filepath.Dir(b.file.Path)))
}

// standsInTheWay says why a golden record cannot be put at a path: only nothing, or a golden record, may stand there.
func standsInTheWay(path string) error {
	if strings.HasSuffix(path, Suffix) {
		return fmt.Errorf("%s: a check file's name: name another, such as plan.golden.jsonl", path)
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Stat(filepath.Dir(path)); errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s: there is no folder %s: make it, or name another", path, filepath.Dir(path))
		}
		return nil
	case err != nil:
		return fmt.Errorf("%s: %w", path, atomicfile.Cause(err))
	case !info.Mode().IsRegular():
		return fmt.Errorf("%s: is no file: name another, such as plan.golden.jsonl", path)
	}
	file, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("%s: %w", path, atomicfile.Cause(err))
	}
	defer file.Close()
	if !beginsGolden(file) {
		return fmt.Errorf("%s: is no golden record and would be overwritten: name another file, or take this one away", path)
	}
	return nil
}

// beginsGolden reports whether a text begins as golden files do, of this version or another.
func beginsGolden(r io.Reader) bool {
	const enough = 1 << 16 // bytes: the head is one short line
	head, err := bufio.NewReaderSize(io.LimitReader(r, enough), enough).ReadBytes('\n')
	if err != nil {
		return false
	}
	var line struct {
		Golden struct {
			Format string `json:"format"`
		} `json:"golden"`
	}
	return json.Unmarshal(head, &line) == nil && line.Golden.Format == goldenFormat
}
