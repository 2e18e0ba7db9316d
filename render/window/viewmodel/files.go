package viewmodel

import (
	"path/filepath"
	"strings"

	"chalkfield/internal/base/atomicfile"
)

// Source is the text that the notebook shows: as it is on disk, because that is what the person edits, with what is
// tried of it.
func (d *Model) Source() Source {
	if d.trial != nil {
		return d.trial.source
	}
	return d.file(d.module)
}

// main is that of the routine itself.
func (d *Model) main() Source {
	if d.trial != nil && d.trial.source.Module == "" {
		return d.trial.source
	}
	return d.file("")
}

// file is one of the routine's files, by its path from the routine's folder; the routine itself for any other.
func (d *Model) file(module string) Source {
	for _, m := range d.modules {
		if m.Module == module {
			return m
		}
	}
	if len(d.Text.Lines) > 0 || d.Now == nil {
		return d.Text
	}
	return d.Now.Source
}

// Modules are the paths of the files that the routine requires, from its folder.
func (d *Model) Modules() (list []string) {
	for _, m := range d.modules {
		list = append(list, m.Module)
	}
	return list
}

// ShowFile shows one of Modules in the routine's page; "": the routine itself.
func (d *Model) ShowFile(module string) { d.module = module }

// readModules reads what the routine required when it was loaded last. What cannot be read is left out: the loader has
// told of it.
func (d *Model) readModules() {
	d.modules = nil
	if !d.hasRoutine() || d.Text.Path == "" || d.Setup.Entrants[0].Routine.Foreign() {
		return
	}
	routine := d.Setup.Entrants[0].Routine
	if routine.Name != filepath.Base(d.Text.Path) { // another, which cannot be read, is open
		return
	}
	for _, module := range routine.Modules() {
		path := filepath.Join(filepath.Dir(d.Text.Path), filepath.FromSlash(module))
		if data, err := atomicfile.Read(path, atomicfile.Routine); err == nil {
			source := SourceOf(filepath.Base(path), path, string(data))
			source.Module = module
			d.modules = append(d.modules, source)
		}
	}
	d.readCheck()
}

// showFaulty shows the file that an error is in.
func (d *Model) showFaulty() {
	if d.Fault.In(d.Text.Name) {
		d.module = ""
		return
	}
	for _, m := range d.modules {
		if d.Fault.In(m.Path) {
			d.module = m.Module
		}
	}
}

// with is the source with another text.
func (s Source) with(text string) Source {
	next := SourceOf(s.Name, s.Path, text)
	next.Module = s.Module
	return next
}

// ran reports whether a text is what ran, or has its lines but for the place in hand.
func (d *Model) ran(run *Run, s Source) bool {
	alike := d.trial != nil && d.trial.source.Path == s.Path
	if s.Module == "" {
		return run.Source.Same(s) || alike && run.Source.Path == s.Path && len(run.Source.Lines) == len(s.Lines)
	}
	if len(run.Setup.Entrants) == 0 || run.Setup.Entrants[0].Routine == nil {
		return false
	}
	text, ok := run.Setup.Entrants[0].Routine.Texts[s.Module]
	return ok && (text == s.Text || alike && strings.Count(text, "\n") == strings.Count(s.Text, "\n"))
}
