package command

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"

	"chalkfield/assets"
	"chalkfield/internal/base/wording"
	"chalkfield/sim/robot"
)

// writeProgram writes a project whose robot is commanded by a program in another language.
func (c newCommand) writeProgram(s streams) error {
	const only = "hauler" // for which the first programs are written
	switch {
	case c.Robot != only:
		return fmt.Errorf("--program: its first steps are for the %s: leave --robot out, and exchange robot.toml afterwards",
			only)
	case c.CI:
		return errors.New("--ci is for a project with a routine: one with a program has its check file from the start")
	}
	i := slices.IndexFunc(assets.Languages, func(l assets.Language) bool { return l.Name == c.Program })
	language := assets.Languages[i]
	files, err := c.programFiles(language)
	if err != nil {
		return err
	}
	if err := writeNew(s, files); err != nil {
		return err
	}
	next := "chalkfield run --program " + wording.Quoted(language.Command)
	if language.Build != "" {
		next = language.Build + "; " + next
	}
	fmt.Fprintf(s.out, "Next: cd %s; %s\n", wording.Quoted(c.Folder), next)
	return nil
}

// programFiles are a README, the program, its client, a follower if there is one, its check file and the robot.
func (c newCommand) programFiles(l assets.Language) ([]file, error) {
	build := ""
	if l.Build != "" {
		build = "    " + l.Build + "\n"
	}
	follower := ""
	if len(l.Follower) > 0 {
		follower = fmt.Sprintf("\n`%s` follows the plan of a rehearsed routine, as a table; `%s` is a program that does.\n",
			l.Follower[0], l.Follower[1])
	}
	var files []file
	for _, name := range []string{"README.md", "robot.check.toml"} {
		text, err := fs.ReadFile(assets.Templates, "program/"+name)
		if err != nil {
			return nil, err
		}
		words := [][2]string{{"SOURCE", l.Source}, {"CLIENT", l.Client}, {"BUILD", build}, {"COMMAND", l.Command},
			{"FOLLOWER", follower}}
		for _, word := range words {
			text = bytes.ReplaceAll(text, []byte(word[0]), []byte(word[1]))
		}
		files = append(files, file{filepath.Join(c.Folder, name), text})
	}
	type part struct {
		from fs.FS
		path string
	}
	parts := []part{{assets.Templates, "program/" + l.Name + "/" + l.Source}, {assets.Programs, l.Name + "/" + l.Client}}
	for _, name := range l.Follower {
		parts = append(parts, part{assets.Programs, l.Name + "/" + name})
	}
	for _, part := range parts {
		text, err := fs.ReadFile(part.from, part.path)
		if err != nil {
			return nil, err
		}
		files = append(files, file{filepath.Join(c.Folder, filepath.Base(part.path)), text})
	}
	text, err := robot.EmbeddedSource(c.Robot)
	return append(files, file{filepath.Join(c.Folder, "robot.toml"), text}), err
}
