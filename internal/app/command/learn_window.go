package command

import (
	"context"

	"chalkfield/internal/app/lesson"
	"chalkfield/render/window"
	"chalkfield/render/window/viewmodel"
)

// open shows the lessons in the window: the one that is chosen, else the list.
func (c learnCommand) open(ctx context.Context, s streams, school *viewmodel.School, chosen *lesson.Lesson) error {
	o := window.Options{Load: openCommand{}.loadFor, Lessons: school, Out: s.out, Err: s.err, Dump: c.StateFile,
		Units: s.units}
	if chosen != nil {
		o.Lesson = chosen.Name
	}
	return window.Open(ctx, o)
}
