package webpage

import (
	"html/template"
	"io"
	"strings"

	"chalkfield/internal/app/rehearse"
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
	p := &page{Title: plan.Title(), Subtitle: "In a room of " + plan.Room.String(),
		Figure: &figure{Pictures: []panel{{SVG: template.HTML(out.String())}}, // its words are escaped where they are written
			Caption: "Every drive in the room, with its place to start."},
		Made: table{Head: heads("input", "file", "SHA-256"), Rows: [][]cell{
			fileRow("robot", record.File{Name: plan.Robot.Name, Title: plan.Robot.Title, SHA256: plan.Robot.SHA256}),
			{{Words: "Chalkfield"}, {Words: rehearse.Program}, {}}}},
	}
	for _, s := range plan.Page() {
		p.Sections = append(p.Sections, driveSection(s))
	}
	return p.write(w)
}

// plainly are words without Markdown's marks.
var plainly = strings.NewReplacer("`", "", "*", "")

func driveSection(s testdrive.Section) section {
	out := section{Title: s.Title}
	for _, line := range s.Lines {
		out.Lines = append(out.Lines, plainly.Replace(line))
	}
	for _, point := range s.List {
		out.Lines = append(out.Lines, "• "+plainly.Replace(point))
	}
	if s.Head == nil {
		return out
	}
	out.Table = &table{Stack: true, Head: heads(s.Head...)}
	for _, row := range s.Rows {
		cells := make([]cell, len(row))
		for i, words := range row {
			cells[i].Words = plainly.Replace(words)
		}
		out.Table.Rows = append(out.Table.Rows, cells)
	}
	return out
}
