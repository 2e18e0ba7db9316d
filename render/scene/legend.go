package scene

import (
	"strconv"

	"chalkfield/internal/base/record"
)

// legend explains what this record's pictures show; what does not occur is not explained.
func (b *Builder) legend(focus, robots int) []LegendRow {
	var rows []LegendRow
	show := func(o Overlay, row LegendRow) {
		if b.in.Show.Has(o) {
			rows = append(rows, row)
		}
	}
	for i := range robots {
		robot := &b.robots[i]
		name := firstOf(b.index.Record.Header.RobotName(i), "robot "+strconv.Itoa(i+1))
		show(Robots, LegendRow{Words: name + leading(", ", robot.side.name), Shape: shapeOr(robot.side.mark),
			Fill: robot.side.colour})
	}
	if focus < 0 {
		return rows
	}
	// first, for a row in which all do not fit has the first
	if b.in.Log != nil && focus == 0 {
		show(Trail, LegendRow{Words: "the real robot, by its log", Line: logPen})
	}
	if b.in.Setpoints != nil && focus == 0 {
		show(Trail, LegendRow{Words: "the table of setpoints", Line: setpointsPen})
	}
	own := b.robots[focus].side.colour
	if b.in.Whole {
		show(Robots, LegendRow{Words: "where it started", Line: Pen{Width: 1.6, Colour: own, Dash: Dotted}})
	}
	show(Belief, LegendRow{Words: "belief: where it thinks it is", Line: Pen{Width: 1.6, Colour: own, Dash: Dashed}})
	if len(b.paths[focus].at) > 1 {
		show(Trail, LegendRow{Words: b.in.Units.Sprintf("0 to %.1f m/s", b.paths[focus].top), Ramp: b.tint.Shades[:]})
		show(Ticks, LegendRow{Words: "every whole second", Shape: Bar, Fill: Chalk})
	}
	if other := b.otherRobot(focus); other >= 0 {
		show(Trail, LegendRow{Words: "way of the other robot", Line: otherWay(b.robots[other].side)})
	}
	if len(b.index.Plans(focus)) > 0 {
		show(Plan, LegendRow{Words: "planned curve", Line: planPen})
	}
	show(Slip, LegendRow{Words: b.in.Units.Sprintf("wheel slip over %.2f m/s", slipShown), Shape: Hourglass, Fill: Plate,
		Pen: Pen{Width: 1.5, Colour: Chalk}})
	if len(b.robots[focus].mount.Eyes) > 0 {
		show(Rays, LegendRow{Words: "mark seen", Shape: Diamond, Pen: Pen{Width: 1.5, Colour: Chalk}})
	}
	if len(b.robots[focus].mount.Rays) > 0 {
		show(Rays, LegendRow{Words: "distance sensor", Line: Pen{Width: 1, Colour: Chalk, Dash: Dotted}})
	}
	return append(rows, b.eventLegend()...)
}

// otherRobot is the first robot beside the one spoken of that has gone a way, or -1.
func (b *Builder) otherRobot(focus int) int {
	for i := range b.robots {
		if i != focus && len(b.paths[i].at) > 1 {
			return i
		}
	}
	return -1
}

func shapeOr(s Shape) Shape {
	if s == NoShape {
		return Diamond
	}
	return s
}

// eventLegend explains the marks that occur; kinds that share a mark share a row.
func (b *Builder) eventLegend() []LegendRow {
	occurs := map[record.Kind]bool{}
	for _, row := range b.scene.Furniture.AllEvents {
		if row.Placed {
			occurs[row.Kind] = true
		}
	}
	var rows []LegendRow
	rowOf := map[record.Mark]int{}
	for _, k := range record.Kinds() {
		if !occurs[k.Kind] {
			continue
		}
		if i, shared := rowOf[k.Mark]; shared {
			rows[i].Words += ", " + string(k.Kind)
			continue
		}
		rowOf[k.Mark] = len(rows)
		row := EventRow{Shape: ParseShape(k.Mark.Shape), Hollow: k.Mark.Hollow, Colour: b.tint.Accent}
		mark := row.Mark()
		rows = append(rows, LegendRow{Words: string(k.Kind), Shape: mark.Shape, Fill: mark.Fill, Pen: mark.Pen})
	}
	return rows
}
