package webpage

import (
	"io"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/testdrive"
	"chalkfield/render/picture"
)

// WriteDrives writes the page of test drives, for paper.
func WriteDrives(w io.Writer, plan *testdrive.Plan, told *report.Document) error {
	drawn := inBothSizes(func(width float64) picture.Drawing { return picture.Drives(told.In, plan, width) })
	return page{Document: told, Figures: []*figure{{Pictures: []panel{{SVG: drawn}},
		Caption: "Every drive in the room, with its place to start."}}}.write(w)
}
