package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/wording"
)

// Text writes the account for a person: timeline, where each second went, score sheet, end pose and belief error.
func Text(w io.Writer, r *record.Record) error {
	s, err := Summarise(r)
	if err != nil {
		return err
	}
	out := &strings.Builder{}
	writeTitle(out, s)
	writeTimeline(out, r, s)
	for _, robot := range s.Robots {
		writeSpent(out, robot, s.Seconds, len(s.Robots) > 1)
	}
	writeSheet(out, s.Sheet)
	writeLeft(out, s)
	writeEnergy(out, s)
	writeEnds(out, s.Robots)
	fmt.Fprintf(out, "\nfingerprint %s\n", s.Fingerprint)
	_, err = io.WriteString(w, out.String())
	return err
}

func writeTitle(out *strings.Builder, s Summary) {
	drawn := fmt.Sprintf("seed %d", s.Seed)
	if s.Nominal {
		drawn = "nominal: nothing drawn"
	}
	fmt.Fprintf(out, "%s, %s, %.0f s, %s\n", s.Field, s.Session, s.Seconds, drawn)
	for _, robot := range s.Robots {
		fmt.Fprintf(out, "%s: %s %s\n", robot.Side, robot.Robot, withRoutine(robot.Routine))
	}
}

func withRoutine(title string) string {
	if title == "" {
		return "without a routine"
	}
	return fmt.Sprintf("with %q", title)
}

func writeTimeline(out *strings.Builder, r *record.Record, s Summary) {
	out.WriteString("\nTimeline\n")
	table := wording.NewTable(out, 2)
	for _, e := range s.Events {
		who := ""
		if len(s.Robots) > 1 && e.Robot >= 0 {
			who = s.Robots[e.Robot].Robot + ": "
		}
		lines := strings.Split(e.Sentence(), "\n")
		fmt.Fprintf(table, "  %6.2f s\t%s%s\t%s\n", e.T, who, lines[0], e.Place())
		for _, line := range lines[1:] {
			fmt.Fprintf(table, "\t  %s\t\n", line)
		}
	}
	table.Flush()
}

const barWidth = 30

func writeSpent(out *strings.Builder, robot RobotEnd, total float64, named bool) {
	out.WriteString("\nWhere the time went")
	if named {
		fmt.Fprintf(out, " (%s)", robot.Robot)
	}
	out.WriteString("\n")
	for _, share := range robot.Spent {
		if share.Seconds == 0 {
			continue
		}
		bar := strings.Repeat("#", int(math.Ceil(barWidth*share.Seconds/total)))
		fmt.Fprintf(out, "  %-10s %6.2f s  %s\n", share.Doing, share.Seconds, bar)
	}
}

func writeSheet(out *strings.Builder, sheet record.Sheet) {
	out.WriteString("\nScore sheet\n")
	table := wording.NewTable(out, 3)
	fmt.Fprintf(table, "  rule\t%s\n", strings.Join(sheet.Sides, "\t"))
	for _, row := range sheet.Rows {
		fmt.Fprintf(table, "  %s\t%s\n", row.Rule, strings.Join(row.Cells(len(sheet.Sides)), "\t"))
	}
	fmt.Fprint(table, "  total")
	for side := range sheet.Sides {
		fmt.Fprintf(table, "\t%.6g", sheet.Total[side])
	}
	fmt.Fprintln(table)
	table.Flush()
	fmt.Fprintf(out, "  %s\n", sheet.Ahead())
}

// writeLeft is the sheet's footer: what each robot has left.
func writeLeft(out *strings.Builder, s Summary) {
	for i, left := range s.Sheet.Left {
		fmt.Fprintf(out, "  %s has left: %s\n", s.Robots[i].Robot, left)
	}
}

func writeEnds(out *strings.Builder, robots []RobotEnd) {
	out.WriteString("\nEnd pose\n")
	for _, robot := range robots {
		fmt.Fprintf(out, "  %s: true %s, belief %s, off by %.0f mm and %.1f deg\n",
			robot.Robot, robot.End, robot.Belief, robot.BeliefError*1000, tenths(degrees(robot.HeadingError)))
	}
}

// tenths rounds to one decimal, without a minus before zero.
func tenths(v float64) float64 { return math.Round(10*v)/10 + 0 }

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
