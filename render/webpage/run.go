package webpage

import (
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// WriteRun writes the report of one rehearsal. mounts are where each robot's mechanisms are, from scene.MountOf.
func WriteRun(w io.Writer, r *record.Record, field *fields.Field, mounts []scene.Mount) error {
	s, err := report.Summarise(r)
	if err != nil {
		return err
	}
	own := s.Robots[0]
	p := &page{
		Title: own.Routine,
		Subtitle: fmt.Sprintf("One rehearsal on %s, %s, %.0f s, for %s, %s", s.Field, s.Session, s.Seconds, own.Side,
			drawnWords(s)),
		Big:      units.Counted(s.Sheet.Total[r.Header.Robots[0].Side], "point"),
		Lead:     []string{endWords(own)},
		Figure:   runFigure(r, field, mounts),
		Sections: []section{sheetSection(s), spentSection(s), timelineSection(r, s)},
		Made:     runMade(r, s),
	}
	if own.Failed != "" {
		p.BadNews = true
		p.warn("The routine failed: " + own.Failed)
	}
	return p.write(w)
}

func drawnWords(s report.Summary) string {
	if s.Nominal {
		return "nominal: nothing drawn from the spread"
	}
	return fmt.Sprintf("seed %d", s.Seed)
}

func endWords(r report.RobotEnd) string {
	return fmt.Sprintf("It ends at %s. Its odometry believes %s: %.0f mm and %.1f deg off.", r.End,
		r.Belief, 1000*r.BeliefError, r.HeadingError*180/math.Pi)
}

// What the picture of a run shows; a phone's has no room for the numbers of events and the seconds.
const (
	narrowShow = scene.Floor | scene.Zones | scene.Lines | scene.Walls | scene.Plan | scene.Trail | scene.Goals | scene.Pieces | scene.Robots | scene.Belief | scene.Labels
	wideShow   = narrowShow | scene.Ticks | scene.Contacts | scene.Events
)

// runFigure is the scene of the whole run in the two sizes, with the legend of the wide one.
func runFigure(r *record.Record, field *fields.Field, mounts []scene.Mount) *figure {
	out := &picture.SVG{}
	build := func(show scene.Overlay) *scene.Scene {
		return scene.Build(scene.Input{Field: field, Record: r, Mounts: mounts,
			Options: scene.Options{Show: show, Whole: true}})
	}
	for _, size := range []struct {
		class string
		width float64
		show  scene.Overlay
	}{{"field wide", widePicture, wideShow}, {"field narrow", narrowPicture, narrowShow}} {
		s := build(size.show)
		view, height := fitted(s, size.width)
		out.Begin(size.width, height, fmt.Sprintf(`class="%s"`, size.class), "The run on the field", s.Ground)
		var drawer paint.Drawer
		drawer.Draw(out, s, view)
		out.End()
	}
	f := &figure{Pictures: []panel{{SVG: template.HTML(out.String())}},
		Caption: "The whole run; events have the numbers of the timeline on a wide page."}
	narrow := build(narrowShow | scene.Legend).Furniture.Legend
	for _, row := range build(wideShow | scene.Legend).Furniture.Legend {
		wide := !slices.ContainsFunc(narrow, func(n scene.LegendRow) bool { return n.Words == row.Words })
		f.Key = append(f.Key, keyRow{Swatch: legendSwatch(row), Words: row.Words, Wide: wide})
	}
	return f
}

// legendSwatch is a row of the scene's legend, in the picture's own colours, on paper too.
func legendSwatch(row scene.LegendRow) template.HTML {
	out := &picture.SVG{}
	width, class := 40.0, ""
	if len(row.Ramp) > 0 {
		width, class = 84, ` class="ramp"`
	}
	fmt.Fprintf(out, `<svg%s viewBox="0 0 %s 14" aria-hidden="true" stroke-linecap="round">`, class, picture.Short(width))
	var drawer paint.Drawer
	drawer.Swatch(out, row, paint.Box{Left: 4, Top: 1, Right: width - 4, Bottom: 13})
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

func sheetSection(s report.Summary) section {
	names := []string{"rule"}
	for _, side := range s.Sheet.Sides {
		names = append(names, "#"+side)
	}
	tab := &table{Head: heads(names...)}
	for _, row := range s.Sheet.Rows {
		cells := []cell{{Words: row.Rule}}
		for _, words := range row.Cells(len(s.Sheet.Sides)) {
			cells = append(cells, cell{Words: words})
		}
		tab.Rows = append(tab.Rows, cells)
	}
	total := []cell{{Words: "total"}}
	for side := range s.Sheet.Sides {
		total = append(total, cell{Words: units.Counted(s.Sheet.Total[side], "point")})
	}
	tab.Rows = append(tab.Rows, total)
	return section{Title: "Score sheet", Table: tab}
}

func spentSection(s report.Summary) section {
	tab := &table{Head: heads("doing", "", "#seconds")}
	for _, share := range s.Robots[0].Spent {
		bar := track{Label: fmt.Sprintf("%.2f s", share.Seconds),
			Bars: []span{{Width: percent(100 * share.Seconds / math.Max(s.Seconds, 1e-9))}}}
		tab.Rows = append(tab.Rows, []cell{{Words: string(share.Doing)}, {Tracks: []track{bar}},
			{Words: fmt.Sprintf("%.2f", share.Seconds)}})
	}
	return section{Title: "Where the time went", Table: tab}
}

func timelineSection(r *record.Record, s report.Summary) section {
	tab := &table{Head: heads("", "#s", "what", "#line")}
	number := numbers(r)
	for i, e := range r.Events {
		if !e.Kind.Is(record.Timeline) {
			continue
		}
		place := ""
		if e.Line > 0 {
			place = fmt.Sprint(e.Line)
			if e.File != r.Header.Robots[0].Routine.Name {
				place = fmt.Sprintf("%s %d", e.File, e.Line)
			}
		}
		tab.Rows = append(tab.Rows, []cell{{Badge: badge(number[i])}, {Words: fmt.Sprintf("%.2f", e.T)},
			{Words: r.Header.Told(e)}, {Words: place}})
	}
	return section{Title: "Timeline", Table: tab, Note: "Numbers as on the picture; lines of " +
		r.Header.Robots[0].Routine.Name + "."}
}

func runMade(r *record.Record, s report.Summary) table {
	t := table{Head: heads("input", "file", "SHA-256")}
	t.Rows = append(t.Rows, fileRow("field", r.Header.Field))
	for i, robot := range r.Header.Robots {
		who := fmt.Sprintf("robot %d", i+1)
		t.Rows = append(t.Rows, fileRow(who, robot.File), fileRow("routine of "+who, robot.Routine))
	}
	t.Rows = append(t.Rows, []cell{{Words: "record"}, {Words: "its fingerprint"},
		{Command: fmt.Sprintf("%.12s", s.Fingerprint)}}, []cell{{Words: "Chalkfield"}, {Words: r.Header.Program}, {}})
	return t
}
