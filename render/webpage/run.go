package webpage

import (
	"fmt"
	"html/template"
	"io"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// WriteRun writes what a rehearsal tells, with its picture. pair is a log beside it, nil for none; mounts are where
// each robot's mechanisms are, from scene.MountOf.
func WriteRun(w io.Writer, units units.System, r *record.Record, pair *alongside.Pair, field *fields.Field,
	mounts []scene.Mount) error {
	told, err := report.Rehearsal(units, r, numbers(r))
	if err != nil {
		return err
	}
	told.Sections = append(told.Sections[1:], told.Sections[0]) // the timeline is long
	in := scene.Input{Field: field, Record: r, Mounts: mounts, Units: units}
	if pair != nil {
		told.AddLog(pair)
		in.Log, in.LogDeparts = pair.Trace, pair.DepartsAt()
	}
	return page{Document: told, Figures: []*figure{runFigure(in)}}.write(w)
}

// What the picture of a run shows; a phone's has no room for the numbers of events and the seconds.
const (
	narrowShow = bareShow | scene.Plan | scene.Trail | scene.Robots | scene.Belief
	wideShow   = narrowShow | scene.Ticks | scene.Contacts | scene.Events
)

// runFigure is the scene of the whole run in the two sizes, with the legend of the wide one.
func runFigure(in scene.Input) *figure {
	build := func(show scene.Overlay) *scene.Scene {
		in.Options = scene.Options{Show: show, Whole: true}
		return scene.Build(in)
	}
	drawn := inBothSizes(func(width float64) picture.Drawing {
		show := wideShow
		if width == narrowPicture {
			show = narrowShow
		}
		s := build(show)
		view, height := fitted(s, width)
		return picture.Drawing{Title: "The run on the field", Width: width, Height: height, Ground: s.Ground,
			Draw: func(to paint.Painter) { new(paint.Drawer).Draw(to, s, view) }}
	})
	f := &figure{Pictures: []panel{{SVG: drawn}},
		Caption: "The whole run; events have the numbers of the timeline on a wide page."}
	narrow := build(narrowShow | scene.Legend).Furniture.Legend
	for _, row := range build(wideShow | scene.Legend).Furniture.Legend {
		wide := !slices.ContainsFunc(narrow, func(n scene.LegendRow) bool { return n.Words == row.Words })
		f.Key = append(f.Key, keyRow{Swatch: legendSwatch(row, paint.Slate), Words: row.Words, Wide: wide})
	}
	return f
}

// legendSwatch is a row of the scene's legend, in the picture's own colours, on paper too.
func legendSwatch(row scene.LegendRow, theme paint.Theme) template.HTML {
	out := &picture.SVG{}
	width, class := 40.0, ""
	if len(row.Ramp) > 0 {
		width, class = 84, ` class="ramp"`
	}
	fmt.Fprintf(out, `<svg%s viewBox="0 0 %s 14" aria-hidden="true" stroke-linecap="round">`, class, picture.Short(width))
	var drawer paint.Drawer
	drawer.Swatch(theme.On(out), row, paint.Box{Left: 4, Top: 1, Right: width - 4, Bottom: 13})
	out.WriteString(`</svg>`)
	return template.HTML(out.String())
}

// numbers gives the events of the record, by index, the numbers that the picture calls them by.
func numbers(r *record.Record) map[int]int {
	s := scene.Build(scene.Input{Record: r, Options: scene.Options{Show: wideShow, Whole: true}})
	out := map[int]int{}
	for _, row := range s.Furniture.AllEvents {
		out[row.Event] = row.Number
	}
	return out
}
