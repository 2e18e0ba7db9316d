package webpage

import (
	"html/template"
	"io"
	"strings"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/testdrive"
	"chalkfield/internal/base/record"
	"chalkfield/render/picture"
)

// WriteDrives writes the page of test drives, for paper.
func WriteDrives(w io.Writer, plan *testdrive.Plan) error {
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
	told := &report.Document{Title: plan.Title(), Head: []string{"In a room of " + plan.Room.String()},
		Inputs: report.InputsOfRobot(record.File{Name: plan.Robot.Name, Title: plan.Robot.Title,
			SHA256: plan.Robot.SHA256}, rehearse.Program)}
	for _, s := range plan.Page() {
		told.Sections = append(told.Sections, driveSection(s))
	}
	return page{told, []*figure{{Pictures: []panel{{SVG: template.HTML(out.String())}}, // its words are escaped
		Caption: "Every drive in the room, with its place to start."}}}.write(w)
}

// plainly are words without Markdown's marks.
var plainly = strings.NewReplacer("`", "", "*", "")

func driveSection(s testdrive.Section) report.Section {
	out := report.Section{Title: s.Title}
	for _, line := range s.Lines {
		out.Lines = append(out.Lines, plainly.Replace(line))
	}
	for _, point := range s.List {
		out.Lines = append(out.Lines, "• "+plainly.Replace(point))
	}
	if s.Head == nil {
		return out
	}
	out.Table = &report.Table{Look: report.List}
	for _, name := range s.Head {
		out.Table.Columns = append(out.Table.Columns, report.Column{Name: name})
	}
	for _, row := range s.Rows {
		cells := make([]string, len(s.Head))
		for i, words := range row {
			cells[i] = plainly.Replace(words)
		}
		out.Table.Add(cells...)
	}
	return out
}
