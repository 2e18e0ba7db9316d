package viewmodel

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting/literal"
)

// trial is a change of the routine's text that is rehearsed from memory, and no file knows of.
type trial struct {
	edit    Edit
	source  Source // with the change
	value   string // the param() whose default it is; "": none
	added   string // the call that it adds; "": none
	line    int    // of that
	told    string // what is to be told beside it
	refused error  // why it cannot be rehearsed; nil: it can, or is not known yet
	turned  bool   // something was tried there
	typed   bool   // it is a line that is being written: what fails on the way is told beside it alone
	below   bool   // it is a new line
	fails   error  // with which the routine fails then
}

// Hold takes a place of the routine's text in hand: what is tried there is rehearsed, and nothing is written until
// Keep.
func (d *Model) Hold(from, to int) error {
	switch source := d.Source(); {
	case d.Driving():
		return errors.New("a drive is under way")
	case !d.hasRoutine() || d.Setup.Entrants[0].Routine.Foreign():
		return errors.New("there is no routine to rehearse")
	case from < 0 || from > to || to > len(source.Text):
		return fmt.Errorf("no place from byte %d to %d", from, to)
	default:
		line := 1 + strings.Count(source.Text[:from], "\n")
		held := source.Text[from:to]
		d.trial = &trial{source: source, edit: Edit{Name: source.called(), What: fmt.Sprintf("line %d: ", line), Old: held,
			New: held, path: source.Path, text: source.Text, from: from}}
		return nil
	}
}

// called is the file's name.
func (s Source) called() string {
	if s.Path != "" {
		return filepath.Base(s.Path)
	}
	return s.Name
}

// Held is the place in hand with what the file has there and what is tried; false: none is.
func (d *Model) Held() (Edit, bool) {
	if d.trial == nil {
		return Edit{}, false
	}
	return d.trial.edit, true
}

// Tries reports whether what the run shown came of is a number that was turned just now.
func (d *Model) Tries() bool {
	return d.trial != nil && d.trial.edit.New != d.trial.edit.Old || d.turns.kept && !d.Playing
}

// Refused says why what is tried cannot be rehearsed; nil: it can.
func (d *Model) Refused() error {
	if d.trial == nil {
		return nil
	}
	return d.trial.refused
}

// Fails is the error with which the routine fails with the line that is being written; nil: with none that is known.
func (d *Model) Fails() error {
	if d.trial == nil {
		return nil
	}
	return d.trial.fails
}

// Try rehearses with another content of the place in hand.
func (d *Model) Try(content string) {
	if d.trial == nil || content == d.trial.edit.New {
		return
	}
	d.exchange(content)
	now := d.turnsOf(fmt.Sprintf("%s %d", d.trial.edit.path, d.trial.edit.from))
	if d.trial.turned { // all steps of one hold are compared with what the file has
		now.from = d.turns.from
	}
	d.trial.turned = true
	d.turn(now)
}

// exchange puts another content into the place in hand.
func (d *Model) exchange(content string) {
	t := *d.trial
	t.edit.New, t.refused, t.fails = content, nil, nil
	t.source = t.source.with(t.edit.changed())
	d.trial = &t
}

// Drop puts the place in hand back to what the file has.
func (d *Model) Drop() {
	t := d.trial
	if d.trial = nil; t == nil || t.edit.New == t.edit.Old {
		return
	}
	d.turn(d.turns)
	if t.edit.Old == "" {
		d.Say("No line was added.")
		return
	}
	d.Say(t.edit.What + "put back to " + inShort(t.edit.Old) + ".")
}

// Keep writes what is tried into the file, and lets the place go. It reports whether files were read again. ErrNoFile:
// the routine is no file, and the place stays in hand.
func (d *Model) Keep() (read bool, err error) {
	t := d.trial
	if t == nil || t.edit.New == t.edit.Old {
		d.trial = nil
		return false, nil
	}
	if err = t.refused; err == nil {
		err = d.writable()
	}
	if errors.Is(err, ErrNoFile) {
		return false, err
	}
	if err == nil {
		err = t.edit.Write()
	}
	if err != nil {
		d.Drop()
		d.Warn("Not written: " + FaultOf(err).Short() + ".")
		return false, nil
	}
	if t.below {
		t.added, t.edit.What = inShort(t.edit.New), ""
	}
	d.written(t)
	return true, nil
}

// HoldLine takes a line of the text in hand, and gives it and what ends it; without both it is taken out.
func (d *Model) HoldLine(line int) (content, end string, err error) {
	text := d.Source().Text
	if line < 1 || line > 1+strings.Count(text, "\n") {
		return "", "", fmt.Errorf("there is no line %d", line)
	}
	from, to := lineOf(text, line)
	rest := text[to:]
	if next := strings.IndexByte(rest, '\n'); next >= 0 {
		rest = rest[:next+1]
	}
	if err := d.Hold(from, to+len(rest)); err != nil {
		return "", "", err
	}
	d.trial.typed = true
	return text[from:to], rest, nil
}

// HoldBelow takes the end of a line of the text in hand, with a new line tried there. It gives what the new line begins
// with: the end of the line before, and the blanks of its place.
func (d *Model) HoldBelow(line int) (lead string, err error) {
	text := d.Source().Text
	if line < 1 || line > 1+strings.Count(text, "\n") {
		return "", fmt.Errorf("there is no line %d", line)
	}
	from, to := lineOf(text, line)
	if err := d.Hold(to, to); err != nil {
		return "", err
	}
	d.trial.typed, d.trial.below, d.trial.line = true, true, line+1
	lead = newlineOf(text) + indentOf(text[from:to])
	if opens(text[from:to]) {
		lead += "  "
	}
	d.exchange(lead)
	return lead, nil
}

// opens reports whether a line begins a block or a table that goes on under it.
func opens(line string) bool {
	depth := 0
	for _, t := range literal.Code(line) {
		switch t.Of(line) {
		case "function", "then", "do", "repeat", "else", "{", "(":
			depth++
		case "end", "until", "}", ")":
			depth--
		case "elseif":
			depth--
		}
	}
	return depth > 0
}

// BotInHand is what the robot is called where something is in hand.
func (d *Model) BotInHand() string {
	if d.trial == nil {
		return "bot"
	}
	return botIn(d.trial.edit.text, d.trial.edit.from)
}

// Unreadable says why what is tried is no program; nil: it is.
func (d *Model) Unreadable() error {
	if d.trial == nil {
		return nil
	}
	_, err := d.trial.with(d.Setup)
	return err
}

// written makes an edit that was written count. The run that was tried with it is compared with what it was compared
// with before.
func (d *Model) written(t *trial) {
	e := t.edit
	d.undo, d.redo = append(d.undo, step{d.arranged, &e}), nil
	if t.value != "" { // the file has it now
		d.arranged.Params = without(d.arranged.Params, t.value)
	}
	d.trial = nil
	turns := d.turns
	turns.kept = true
	d.wrote = t.words()
	if t.added != "" {
		d.added = added{t.line, t.source.Text, -1}
	}
	d.Reload()
	d.turns = turns
}

// words tell of what was written.
func (t *trial) words() string {
	e := t.edit
	where := e.Name + ", " + strings.TrimSuffix(e.What, ": ")
	switch {
	case t.added != "":
		return fmt.Sprintf("Put %s into %s, line %d%s. Undo with Ctrl+Z.", t.added, e.Name, t.line, t.told)
	case e.New == "":
		return fmt.Sprintf("Took %s out of %s. Undo with Ctrl+Z.", inShort(e.Old), where)
	}
	return fmt.Sprintf("Wrote %s into %s; it was %s. Undo with Ctrl+Z.", inShort(e.New), where, inShort(e.Old))
}

// inShort is a stretch of a routine's text as far as a message has room for it, so that the window need not make any.
func inShort(text string) string {
	const most = 40
	letters := []rune(strings.TrimSpace(text))
	if len(letters) > most {
		return strings.TrimSpace(string(letters[:most-1])) + "…"
	}
	return string(letters)
}

// carry takes the place in hand over into a text that was read anew.
func (d *Model) carry() {
	t := d.trial
	if t == nil {
		return
	}
	now := d.file(t.source.Module)
	if t.edit.text == now.Text {
		return
	}
	at, ok := t.edit.find(now.Text, t.edit.Old)
	if !ok || t.edit.path != now.Path {
		d.trial = nil
		d.Say("The file was changed there meanwhile: the number is let go.")
		return
	}
	moved := *t
	moved.edit.text, moved.edit.from = now.Text, at
	moved.source = now.with(moved.edit.changed())
	d.trial = &moved
}

// with is the setup with what is tried. It compiles, which is not for the window's own goroutine.
func (t *trial) with(setup rehearse.Setup) (rehearse.Setup, error) {
	if t == nil || t.edit.New == t.edit.Old {
		return setup, nil
	}
	program, err := setup.Entrants[0].Routine.WithText(t.source.Module, t.source.Text)
	setup.Entrants = slices.Clone(setup.Entrants)
	setup.Entrants[0].Routine = program
	return setup, err
}
