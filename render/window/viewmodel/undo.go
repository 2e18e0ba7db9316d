package viewmodel

import "fmt"

// step is a way back, or on again: the arrangement of the other end, and the change of the routine's file that was made
// with it, if any.
type step struct {
	arranged Arrangement
	written  *Edit
}

// Undo takes the last move, value or written start back; Redo makes it again. They report whether the files were read
// again, because one was written.
func (d *Model) Undo() bool {
	return d.travel(&d.undo, &d.redo, Edit.TakeBack, "undo", "Undone.")
}

func (d *Model) Redo() bool {
	return d.travel(&d.redo, &d.undo, Edit.Write, "redo", "Done again.")
}

// travel goes one step along a way and puts the way back on the other. A step whose file has become another meanwhile
// is dropped, and says so: the steps before it may still be gone.
func (d *Model) travel(along, back *[]step, write func(Edit) error, name, done string) (read bool) {
	if len(*along) == 0 {
		d.Say("Nothing to " + name + ".")
		return false
	}
	last := (*along)[len(*along)-1]
	*along = (*along)[:len(*along)-1]
	if last.written != nil {
		if err := write(*last.written); err != nil {
			d.Warn(fmt.Sprintf("%s in %s stays: %v.", last.written.standing(name == "undo"), last.written.Name, err))
			return false
		}
	}
	*back = append(*back, step{d.arranged, last.written})
	moved := d.arranged.Start == nil && last.arranged.Start != nil
	d.arranged = last.arranged
	if last.written == nil {
		d.wrote = ""
		d.Rehearse()
		d.Say(done)
		return false
	}
	d.wrote = done + " " + last.written.Name + " has " + last.written.standing(name == "redo") + " again."
	if last.written.What == "" {
		d.wrote = done + " " + last.written.Name + " is as it was."
	}
	if moved {
		d.wrote += " The start is still moved: Ctrl+Z again or B puts it back."
	}
	d.Reload()
	return true
}

// StartWritten makes the file's start count again, because it is now the moved one. Undo brings the file's old text and
// the moved start back.
func (d *Model) StartWritten(c Edit) {
	d.undo, d.redo = append(d.undo, step{d.arranged, &c}), nil
	d.arranged.Start = nil
	d.wrote = fmt.Sprintf("Wrote start = %s into %s; it was %s. Undo with Ctrl+Z.", c.New, c.Name, c.Old)
}

// UndoSteps is how many steps can be undone.
func (d *Model) UndoSteps() int { return len(d.undo) }

// RedoSteps is how many can be done again.
func (d *Model) RedoSteps() int { return len(d.redo) }

// MergeUndo makes one step of all that came after so many: a drag is undone as a whole.
func (d *Model) MergeUndo(after int) {
	if len(d.undo) > after+1 {
		d.undo = d.undo[:after+1]
	}
}
