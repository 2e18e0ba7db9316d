package command

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/scripting"
)

// refuseOverwriting makes sure that no output is one of the files that the command reads, or another output.
func (in inputs) refuseOverwriting(outputs ...string) error {
	read := in.reads()
	for i, output := range outputs {
		if output == "" {
			continue
		}
		if err := refuseRead(output, read); err != nil {
			return err
		}
		for _, other := range outputs[:i] {
			if other != "" && atomicfile.Same(output, other) && isFile(output) {
				return fmt.Errorf("%s: two outputs with one name: name another", output)
			}
		}
	}
	return nil
}

// refuseRead makes sure that an output is none of the files read.
func refuseRead(output string, read []string) error {
	for _, input := range read {
		if atomicfile.Same(output, input) {
			return fmt.Errorf("%s: would be overwritten: it is one of the files read; name another", output)
		}
	}
	return nil
}

// reads lists the files that the flags make a rehearsal read, or would if they were there.
func (in inputs) reads() []string {
	var files []string
	for _, named := range []string{in.Robot, in.Field, in.Pad} {
		if named != "" {
			files = append(files, named)
		}
	}
	for i, routine := range append([]string{in.own(), in.Partner}, in.Opponent...) {
		if routine == "" {
			continue
		}
		folder := filepath.Dir(routine)
		files = append(files, routine, filepath.Join(folder, "robot.toml"))
		if i == 0 {
			files = append(files, filepath.Join(folder, "field.toml"))
		}
		files = append(files, modules(routine)...)
	}
	return files
}

// modules lists the files that a routine file requires; none of one that cannot be read, for then nothing is written.
func modules(routine string) []string {
	if !strings.HasSuffix(routine, ".lua") {
		return nil
	}
	program, err := scripting.Load(routine)
	if err != nil {
		return nil
	}
	files := program.Modules()
	for i, name := range files {
		files[i] = filepath.Join(filepath.Dir(routine), filepath.FromSlash(name))
	}
	return files
}

// isFile reports whether a path is a file, or may become one: a device takes several outputs.
func isFile(path string) bool {
	info, err := os.Stat(path)
	return err != nil || info.Mode().IsRegular()
}
