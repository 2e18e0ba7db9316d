package lesson

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/app/check"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/scripting"
)

// Desk is the folder where a learner's answers lie, a folder a lesson. What is needed to rehearse them stands beside.
type Desk struct{ Folder string }

// UsualDesk is below the current folder.
const UsualDesk = "my_lessons"

// Home is the folder of a lesson.
func (d Desk) Home(l *Lesson) string { return filepath.Join(d.Folder, l.Name) }

// Answer is where the answer to a lesson lies.
func (d Desk) Answer(l *Lesson) string { return filepath.Join(d.Home(l), l.answers()) }

// Routine is the routine that is shown: of most lessons it is the answer.
func (d Desk) Routine(l *Lesson) string {
	if l.Kind == Check {
		return filepath.Join(d.Home(l), l.Judged.Holds)
	}
	return filepath.Join(d.Home(l), "routine.lua")
}

// answers is the name of an answer's file.
func (l *Lesson) answers() string {
	switch l.Kind {
	case Drive:
		return "drive.csv"
	case Check:
		return "answer" + check.Suffix
	}
	return "routine.lua"
}

// Begin writes what is missing of a lesson's files, and gives the paths that it wrote. What is there it leaves.
func (d Desk) Begin(l *Lesson) (wrote []string, err error) {
	files := l.handout()
	if err := os.MkdirAll(d.Home(l), 0o755); err != nil {
		return nil, fmt.Errorf("%s: cannot be made: %w; name another folder with --folder", d.Home(l), atomicfile.Cause(err))
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		path := filepath.Join(d.Home(l), name)
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err := atomicfile.Write(path, func(w io.Writer) error {
			_, err := io.WriteString(w, files[name])
			return err
		}); err != nil {
			return wrote, err
		}
		wrote = append(wrote, path)
	}
	return wrote, nil
}

// handout is what a learner is given, by name: the start as the answer, the field, the robot, other robots' routines;
// neither solution nor wrong answers.
func (l *Lesson) handout() map[string]string {
	first := l.setup.Entrants[0]
	files := map[string]string{"field.toml": l.setup.Field.Text, "robot.toml": first.Robot.Text}
	kept := []string{l.Start(), l.Solution()}
	for _, h := range l.Hints {
		kept = append(kept, h.Wrong)
	}
	for name, data := range l.files.files {
		if ext := path.Ext(name); (ext == ".lua" || ext == ".csv") && !slices.Contains(kept, name) {
			files[name] = data
		}
	}
	if l.Kind == Check {
		files[l.answers()] = l.files.files[l.Start()]
	} else {
		files["routine.lua"] = l.files.files[l.Start()]
	}
	return files
}

// Changed are those of the files beside the answer that are not the lesson's any more: what is judged is the lesson's.
func (d Desk) Changed(l *Lesson) (list []string) {
	files := l.handout()
	delete(files, l.answers())
	for _, name := range slices.Sorted(maps.Keys(files)) {
		path := filepath.Join(d.Home(l), name)
		data, err := atomicfile.Read(path, kinds[filepath.Ext(name)])
		if err == nil && !bytes.Equal(data, []byte(files[name])) {
			list = append(list, path)
		}
	}
	return list
}

// Reset puts what the learner begins with in the answer's place. The answer is kept beside: kept is where, "" if there
// was none.
func (d Desk) Reset(l *Lesson) (kept string, err error) {
	answer := d.Answer(l)
	data, err := os.ReadFile(answer)
	if err == nil && (l.Kind == Drive || string(data) != l.files.files[l.Start()]) {
		stem, ending := answer, ""
		for _, end := range []string{check.Suffix, filepath.Ext(answer)} {
			if cut, is := strings.CutSuffix(answer, end); is {
				stem, ending = cut, end
				break
			}
		}
		kept = free(stem, ".before", ending)
		if err := os.Rename(answer, kept); err != nil {
			return "", fmt.Errorf("%s: cannot be kept: %w", answer, atomicfile.Cause(err))
		}
	}
	_, err = d.Begin(l)
	return kept, err
}

// Read reads the answer to a lesson.
func (d Desk) Read(l *Lesson) (a Answer, err error) {
	a.Name = d.Answer(l)
	switch l.Kind {
	case Drive:
		file, err := atomicfile.Open(a.Name, atomicfile.Pad)
		if errors.Is(err, fs.ErrNotExist) {
			return a, fmt.Errorf("%s: there is no drive yet: drive in the window, `chalkfield learn %s`, or write what a "+
				"pad does "+
				"there, see `chalkfield run --help` about --pad", a.Name, l.Name)
		}
		if err != nil {
			return a, unread(a.Name, err)
		}
		defer file.Close()
		if a.Pad, err = readPad(a.Name, file); err != nil {
			return a, err
		}
	case Check:
		data, err := atomicfile.Read(a.Name, atomicfile.TOML)
		if err != nil {
			return a, unread(a.Name, err)
		}
		a.Check = string(data)
		a.Routine, err = l.files.routine(l.Judged.Holds)
		return a, err
	}
	a.Routine, err = scripting.Load(d.Routine(l))
	if errors.Is(err, fs.ErrNotExist) {
		err = unread(d.Routine(l), err)
	}
	return a, err
}

func unread(path string, err error) error {
	return fmt.Errorf("%s: cannot be read: %w", path, atomicfile.Cause(err))
}

// print tells answers apart; "" where each is a new one.
func (a Answer) print() string {
	switch {
	case a.Check != "":
		return hashOf(a.Check)
	case a.Pad != nil || a.Routine == nil:
		return ""
	}
	var texts []string
	for _, name := range slices.Sorted(maps.Keys(a.Routine.Texts)) {
		if name != a.Routine.Name {
			texts = append(texts, name, a.Routine.Texts[name])
		}
	}
	return hashOf(append([]string{a.Routine.Texts[a.Routine.Name]}, texts...)...)
}

// begins is the print of what the learner begins with.
func (l *Lesson) begins() string {
	if l.Kind == Check {
		return hashOf(l.files.files[l.Start()])
	}
	routine, err := l.files.routine(l.Start())
	if err != nil { // then nothing that runs is what it begins with
		return ""
	}
	return Answer{Routine: routine}.print()
}

func hashOf(texts ...string) string {
	sum := sha256.Sum256([]byte(strings.Join(texts, "\x00")))
	return hex.EncodeToString(sum[:8])
}
