package window

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"time"
)

// editorCommand is what opens a file at a line: words of a command in which {file} and {line} stand for them; without
// these "+line file" is put after it, which most editors take.
func editorCommand(command, file string, line int) ([]string, error) {
	words := strings.Fields(command)
	if len(words) == 0 {
		return nil, errors.New(`no editor is known: set VISUAL or EDITOR, or "editor" in the settings, such as ` +
			`"my-editor {file}:{line}"`)
	}
	if !strings.Contains(command, "{file}") {
		return append(words, "+"+strconv.Itoa(line), file), nil
	}
	for i := range words {
		words[i] = strings.NewReplacer("{file}", file, "{line}", strconv.Itoa(line)).Replace(words[i])
	}
	return words, nil
}

// openEditor starts the person's own editor at a line of the routine's file. It is not waited for, but one that ends at
// once with an error is told of: it has no window of its own.
func (d *disk) openEditor(line int) {
	path := d.model.Source().Path
	if path == "" {
		d.model.Say("The routine is no file of yours: turn a number, and a copy is offered.")
		return
	}
	command := d.memory.Editor
	for _, name := range []string{"VISUAL", "EDITOR"} {
		if command == "" {
			command = os.Getenv(name)
		}
	}
	words, err := editorCommand(command, absolute(path), line)
	if err != nil {
		d.model.Warn(err.Error())
		return
	}
	program := exec.Command(words[0], words[1:]...)
	if err := program.Start(); err != nil {
		d.model.Warn(fmt.Sprintf("The editor does not start: %v.", err))
		return
	}
	ended := make(chan error, 1)
	go func() { ended <- program.Wait() }()
	select {
	case err := <-ended:
		if err != nil {
			d.model.Warn(fmt.Sprintf("%s ended at once (%v): name an editor that has a window of its own.", words[0], err))
		}
	case <-time.After(100 * time.Millisecond):
		d.model.Say(fmt.Sprintf("Opened line %d in %s.", line, words[0]))
	}
}
