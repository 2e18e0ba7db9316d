package window

import (
	"chalkfield/internal/base/geom"
	"fmt"
	"math"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
	"chalkfield/sim/robot"
)

// paper is how the pages are set.
func (n *notebook) paper(page Rect) picture.Setting {
	set := picture.Setting{Width: page.W - 2*pageEdge, Size: normal, Line: pageRow, On: n.panel, Ink: scene.Chalk,
		Soft: scene.Dust, Rule: n.edge}
	if n.drawn != nil {
		set.Sides = n.drawn.Furniture.Sides
	}
	return set
}

const (
	pageRow  = 20.0
	pageEdge = 12.0
)

// drawSections writes a page from the top down, and gives its height. No line is cut in half.
func (n *notebook) drawSections(page Rect, s *scroll, told []report.Section) float64 {
	p := n.paper(page).Print(&report.Document{Sections: told})
	p.Draw(n.pen, &n.drawer, pointAt(page.X+pageEdge, page.Y+10-s.at), page.Y, page.Bottom())
	n.cut = append(n.cut, p.Cut...)
	return p.Height + 16
}

// listed is a section of names and values.
func listed(title string) (report.Section, func(name, value string)) {
	t := &report.Table{Look: report.Plain, Columns: make([]report.Column, 2)}
	return report.Section{Title: title, Table: t}, func(name, value string) { t.Add(name, value) }
}

// robotPage lists the robot's state at this moment.
func (n *notebook) robotPage() []report.Section {
	run := n.model.Now
	if run == nil || n.model.Robot >= len(run.Record.Header.Robots) {
		return nil
	}
	state, ok := run.Index.Robot(n.model.Robot, max(run.Index.At(n.model.Time), 0))
	if !ok {
		return nil
	}
	in := n.model.Units
	where, row := listed(n.model.RobotName(n.model.Robot))
	row("true pose", poseWords(in, state.True))
	row("belief", poseWords(in, state.Belief))
	off := math.Hypot(state.Belief[0]-state.True[0], state.Belief[1]-state.True[1])
	row("belief off by", in.Sprintf("%.0f mm, %s deg", off,
		viewmodel.Fixed(viewmodel.WholeTurn(geom.Degrees(state.Belief[2]-state.True[2])), 1)))
	row("doing", string(state.Doing))
	drive, row := listed("Drive")
	wanted := "nothing: no motion"
	if run.Moves(n.model.Robot, n.model.Time) {
		wanted = fmt.Sprintf("%s, %s deg/s", in.Text(state.Want[0], "mm/s", 0),
			viewmodel.Fixed(geom.Degrees(state.Want[1]), 0))
	}
	row("wanted", wanted)
	row("wheels", in.Figure(state.Wheels[0], "mm/s", 0)+", "+in.Text(state.Wheels[1], "mm/s", 0))
	row("volts", fmt.Sprintf("%s, %s V", viewmodel.Fixed(state.Volts[0], 1),
		viewmodel.Fixed(state.Volts[1], 1)))
	row("amps", fmt.Sprintf("%s, %s A", viewmodel.Fixed(state.Amps[0], 1),
		viewmodel.Fixed(state.Amps[1], 1)))
	row("battery", fmt.Sprintf("%.2f V", state.Battery))
	told := append([]report.Section{where, drive}, n.partSections(run.Record.Header.Robots[n.model.Robot], state)...)
	if ends := n.endsSection(run.Machine(n.model.Robot)); len(ends.Table.Rows) > 0 {
		told = append(told, ends)
	}
	return told
}

// endsSection tells what each mechanism does, and at which end of the robot.
func (n *notebook) endsSection(machine *robot.Robot) report.Section {
	ends, row := listed("At which end")
	if machine != nil {
		for _, part := range machine.Parts {
			if words := part.EndWords(machine); words != "" {
				row(part.Name, words)
			}
		}
	}
	return ends
}

// partSections tells of mechanisms and sensors, where there are any.
func (n *notebook) partSections(entered record.Robot, state *record.RobotSample) []report.Section {
	parts, row := listed("Mechanisms")
	for i, part := range entered.Parts {
		if i < len(state.Parts) {
			row(part.Name, n.partWords(robot.Kind(part.Kind), state.Parts[i],
				n.model.Now.PartQuantity(n.model.Robot, i)))
		}
	}
	if state.Air != 0 {
		row("air", n.model.Units.Sprintf("%.0f kPa", state.Air))
	}
	sensors, row := listed("Sensors")
	for i := range state.Sensors {
		if name, words := n.model.Now.SensorRow(n.model.Units, n.model.Robot, i, state.Sensors); name != "" {
			row(name, words)
		}
	}
	return slices.DeleteFunc([]report.Section{parts, sensors},
		func(s report.Section) bool { return len(s.Table.Rows) == 0 })
}

// partWords says a mechanism's state.
func (n *notebook) partWords(kind robot.Kind, part record.PartSample, q viewmodel.Quantity) string {
	held := ""
	if part.Body >= 0 {
		held = ", holds " + n.model.NameOf(viewmodel.Thing{Kind: viewmodel.PieceThing, Index: part.Body})
	}
	volts := ""
	if kind.HasMotor() {
		volts = viewmodel.Fixed(part.Volts, 1) + " V, "
	}
	return volts + scene.PartSays(kind, part, q.Words(n.model.Units, part.Value), held)
}

func poseWords(in units.System, p record.Pose) string {
	return fmt.Sprintf("%s, %s, %s deg", in.Figure(p[0], "mm", 0), in.Text(p[1], "mm", 0),
		viewmodel.Fixed(viewmodel.WholeTurn(geom.Degrees(p[2])), 1))
}

// whatScores are a field's rules in words; none, where only a record is at hand.
func whatScores(f *fields.Field) []report.Section {
	if f == nil || len(f.Rules) == 0 {
		return nil
	}
	rules, row := listed("What scores")
	for _, r := range f.Rules {
		row(r.Name, report.RuleSentence(f, r))
	}
	return []report.Section{rules}
}

// scorePage tells of the end as a report does, of this moment, and of the difference to the run before.
func (n *notebook) scorePage() []report.Section {
	run := n.model.Now
	if run == nil {
		return nil
	}
	rec := run.Record
	end := report.Section{Title: "Score sheet", Lines: []string{"comes with the end"}}
	if len(rec.Sheet.Sides) > 0 {
		end = report.ScoreSheet(n.model.Units, rec)
		end.Lead = "at the end"
	}
	now, row := listed(fmt.Sprintf("At %.2f s", n.model.Time))
	if f := run.Setup.Field; f != nil {
		for i, side := range f.Sides {
			row(side.Name, run.Total(i, n.model.Time))
		}
	}
	told := append([]report.Section{end, now}, whatScores(run.Setup.Field)...)
	against, words := n.model.Compares()
	if d, ok := viewmodel.Compare(run, against); ok && !run.Live {
		section := report.Section{Title: "Against " + words, Lines: []string{d.String()}}
		if run.Other != nil {
			section.Lines, section.Table = append(section.Lines, run.Other.PartsWords(n.model.Units)), run.Other.Table(run)
		}
		told = append(told, section)
		if run.Other != nil && len(run.Other.Steps.Rows) > 0 {
			told = append(told, report.Section{Title: "Steps, against " + words, Table: run.Other.Steps})
		}
	}
	if run.Real != nil {
		told = append(told, report.Section{Title: "Against the log", Lines: run.Real.Lines(n.model.Units)})
	}
	if lines := run.Setpoints.Lines(n.model.Units, run.Real); len(lines) > 0 {
		told = append(told, report.Section{Title: "Against the setpoints", Lines: lines})
	}
	if len(rec.Sheet.Sides) == 0 {
		return told
	}
	for i := range rec.Header.Robots {
		told = append(told, report.TimeSpent(rec, i))
	}
	for i := range rec.Sheet.Energy {
		told = append(told, report.EnergySpent(rec, i))
	}
	return told
}
