package command

import (
	"fmt"
	"os"
	"path/filepath"
)

// refuseOverwriting makes sure that no output is one of the files that the command reads, or another output.
func (in inputs) refuseOverwriting(outputs ...string) error {
	read := append([]string{in.Routine, in.Robot, in.Field, in.Partner, in.Pad}, in.Opponent...)
	if in.Routine != "" {
		folder := filepath.Dir(in.Routine)
		read = append(read, filepath.Join(folder, "robot.toml"), filepath.Join(folder, "field.toml"))
	}
	for i, output := range outputs {
		if output == "" {
			continue
		}
		for _, input := range read {
			if input != "" && sameFile(output, input) {
				return fmt.Errorf("%s: would be overwritten: it is one of the files read; name another", output)
			}
		}
		for _, other := range outputs[:i] {
			if other != "" && sameFile(output, other) && isFile(output) {
				return fmt.Errorf("%s: two outputs with one name: name another", output)
			}
		}
	}
	return nil
}

// sameFile reports whether two paths lead to one file, which need not be there yet.
func sameFile(a, b string) bool {
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	if errA == nil && errB == nil {
		return os.SameFile(infoA, infoB)
	}
	return filepath.Clean(a) == filepath.Clean(b)
}

// isFile reports whether a path is a file, or may become one: a device takes several outputs.
func isFile(path string) bool {
	info, err := os.Stat(path)
	return err != nil || info.Mode().IsRegular()
}
