package results

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/units"
)

// Journal is a study file under way, or a study under way without a file.
type Journal struct {
	path string
	file *os.File
	done *File
	over bool // nothing is to follow, whatever is not there: see End
}

// Begin opens the file for a study. resume goes on with what the file has, also to a greater count; without it the file
// must hold nothing, or the same study finished, which is then made anew.
func Begin(path string, header Header, resume bool) (*Journal, error) {
	old, err := Read(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return create(path, header)
	case err != nil && resume && !errors.Is(err, ErrNotOurs):
		return nil, fmt.Errorf("%w; it cannot be resumed: remove it or name another file with --out", err)
	case err != nil:
		return nil, leftAlone(err)
	case !resume:
		if err := mayReplace(path, old, &header); err != nil {
			return nil, err
		}
		return create(path, header)
	}
	more := old.Header.Count < header.Count
	if more {
		old = old.grown(header.Count)
	}
	switch difference := sameFile(&header, &old.Header); {
	case difference != "":
		return nil, fmt.Errorf("%s holds another study (%s): it cannot be resumed; remove it or name another "+
			"file with --out", path, difference)
	case more:
		return rewrite(path, old)
	}
	return reopen(path, old)
}

func leftAlone(err error) error {
	return fmt.Errorf("%w; it is left alone: name another file with --out", err)
}

// sameFile is Same, of the shard's number too.
func sameFile(a, b *Header) string {
	difference := Same(a, b)
	if difference == "" && a.Shard != b.Shard {
		difference = fmt.Sprintf("part %d against %d", a.Shard.Number, b.Shard.Number)
	}
	return difference
}

// mayReplace refuses to write a study over what cannot be had again from it.
func mayReplace(path string, old *File, header *Header) error {
	difference := sameFile(header, &old.Header)
	have := units.Counted(old.Have(), "rehearsal")
	larger := *header
	larger.Count = old.Header.Count
	switch more := header.Count > old.Header.Count && sameFile(&larger, &old.Header) == ""; {
	case difference == "" && old.Finished:
		return nil
	case difference == "":
		return fmt.Errorf("%s holds %d of the %s of this study, unfinished: add --resume to go on with it, or remove it",
			path, old.Have(), units.Counted(len(old.Header.MyJobs()), "rehearsal"))
	case more:
		return fmt.Errorf("%s holds %s of this study with -n %d: add --resume to add to them, or name another "+
			"file with --out", path, have, old.Header.Count)
	case old.Finished:
		return fmt.Errorf("%s holds another, finished study (%s): remove it or name another file with --out", path,
			difference)
	}
	return fmt.Errorf("%s holds %s of another, unfinished study (%s): remove it or name another file with --out", path,
		have, difference)
}

// WriteMerged writes a merged study. It does not overwrite anything but the same study.
func WriteMerged(path string, whole *File) error {
	old, err := Read(path)
	if err == nil && sameFile(&whole.Header, &old.Header) != "" {
		err = mayReplace(path, old, &whole.Header)
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		err = leftAlone(err)
	} else {
		err = nil
	}
	if err != nil {
		return err
	}
	return Write(path, whole)
}

// Unfinished reads a file that holds the same study, not finished; nil for anything else.
func Unfinished(path string, header *Header) *File {
	old, err := Read(path)
	if err != nil || old.Finished || sameFile(header, &old.Header) != "" {
		return nil
	}
	return old
}

// InMemory begins a study that keeps no file; Save can make one of it later.
func InMemory(header Header) (*Journal, error) {
	if err := header.possible(); err != nil {
		return nil, err
	}
	return &Journal{done: &File{Header: header, Results: make([]*Result, header.Jobs())}}, nil
}

// Save writes what is done to a file that can be gone on with.
func (j *Journal) Save(path string) error {
	return atomicfile.Write(path, func(w io.Writer) error { return writeLines(w, j.done) })
}

// create writes the header, whole, in place of what stood there.
func create(path string, header Header) (*Journal, error) {
	memory, err := InMemory(header)
	if err != nil {
		return nil, err
	}
	return rewrite(path, memory.done)
}

// rewrite writes what is done, whole, in place of what stood there.
func rewrite(path string, done *File) (*Journal, error) {
	if err := done.Header.possible(); err != nil {
		return nil, err
	}
	if err := atomicfile.Write(path, func(w io.Writer) error { return writeLines(w, done) }); err != nil {
		return nil, err
	}
	return appending(path, done)
}

// grown is the file as the beginning of a study with a greater count: a job's number and seed do not depend on the
// count.
func (f *File) grown(count int) *File {
	larger := &File{Header: f.Header}
	larger.Header.Count = count
	if larger.Header.possible() == nil {
		larger.Results = make([]*Result, larger.Header.Jobs())
		copy(larger.Results, f.Results)
	}
	return larger
}

// reopen drops a cut last line.
func reopen(path string, old *File) (*Journal, error) {
	if old.Finished {
		return &Journal{path: path, done: old}, nil
	}
	if err := os.Truncate(path, old.kept); err != nil {
		return nil, err
	}
	return appending(path, old)
}

func appending(path string, done *File) (*Journal, error) {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return nil, err
	}
	return &Journal{path: path, file: file, done: done}, nil
}

// File is what the journal holds so far.
func (j *Journal) File() *File { return j.done }

// Todo lists the jobs of the part that are not done.
func (j *Journal) Todo() []int { return j.done.todo() }

func (f *File) todo() []int {
	var list []int
	for _, job := range f.Header.MyJobs() {
		if f.Results[job] == nil {
			list = append(list, job)
		}
	}
	return list
}

// Add puts results into the file, if there is one, and waits until the disk has them.
func (j *Journal) Add(batch []pool.Done[Result]) error {
	if j.file != nil {
		if err := j.write(batch); err != nil {
			return err
		}
	}
	for _, d := range batch {
		j.done.Results[d.Index] = &d.Result
	}
	return nil
}

func (j *Journal) write(batch []pool.Done[Result]) error {
	var lines bytes.Buffer
	seal, err := sealOf(&j.done.Header)
	if err != nil {
		return err
	}
	for _, d := range batch {
		if err := seal.encode(&lines, line{Result: &result{d.Index, d.Result}}); err != nil {
			return err
		}
	}
	info, err := j.file.Stat()
	if err != nil {
		return err
	}
	if _, err := within(j.file, info.Size()).Write(lines.Bytes()); err != nil {
		return err
	}
	return j.file.Sync()
}

// End says that a search is over: it needed no more of the rehearsals that it might have had.
func (j *Journal) End() { j.over = true }

// Close ends the journal. When every job is done the file, if there is one, is written anew, whole and in order.
func (j *Journal) Close() error {
	if j.file == nil {
		return nil
	}
	err := j.file.Close()
	j.file = nil
	if err != nil || len(j.Todo()) > 0 && !j.over {
		return err
	}
	return Write(j.path, j.done)
}

// Write writes a finished study file whole.
func Write(path string, f *File) error {
	return atomicfile.Write(path, func(w io.Writer) error {
		sum := sha256.New()
		if err := writeLines(io.MultiWriter(w, sum), f); err != nil {
			return err
		}
		seal, err := sealOf(&f.Header)
		if err != nil {
			return err
		}
		return seal.encode(w, line{End: hexOf(sum)})
	})
}

// within keeps a study file of so many bytes to what can be read back.
func within(to io.Writer, already int64) io.Writer {
	return atomicfile.Within(to, atomicfile.Study, already, "ask for fewer rehearsals (-n)")
}

func writeLines(to io.Writer, f *File) error {
	w := within(to, 0)
	var seal seal
	if err := seal.encode(w, line{Header: &f.Header}); err != nil {
		return err
	}
	for job, r := range f.Results {
		if r == nil {
			continue
		}
		if err := seal.encode(w, line{Result: &result{job, *r}}); err != nil {
			return err
		}
	}
	return nil
}

func hexOf(sum hash.Hash) string { return hex.EncodeToString(sum.Sum(nil)) }
