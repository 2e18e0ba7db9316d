package webpage

import (
	"html/template"
	"io"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/testdrive"
	"chalkfield/render/picture"
)

// WriteDrives writes the page of test drives, for paper.
func WriteDrives(w io.Writer, plan *testdrive.Plan, told *report.Document) error {
	out := &picture.SVG{}
	for _, size := range []struct {
		class string
		width float64
	}{{"field wide", widePicture}, {"field narrow", narrowPicture}} {
		d := picture.Drives(plan, size.width)
		out.Begin(d.Width, d.Height, `class="`+size.class+`"`, d.Title, d.Ground)
		d.Draw(out)
		out.End()
	}
	return page{Document: told, Figures: []*figure{{Pictures: []panel{{SVG: template.HTML(out.String())}}, // its words are escaped
		Caption: "Every drive in the room, with its place to start."}}}.write(w)
}
