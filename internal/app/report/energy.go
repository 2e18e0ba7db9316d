package report

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/base/record"
)

// writeEnergy says where each robot's energy went. A record of before this was booked has none.
func writeEnergy(out *strings.Builder, s Summary) {
	for i, e := range s.Sheet.Energy {
		fmt.Fprintf(out, "\nWhere the energy went: %.1f J from the battery", e.Taken)
		if len(s.Robots) > 1 {
			fmt.Fprintf(out, " (%s)", s.Robots[i].Robot)
		}
		out.WriteString("\n")
		for _, row := range energyRows(e) {
			const told = 0.05 // J: less than this is no line
			if math.Abs(row.joules) < told {
				continue
			}
			bar := strings.Repeat("#", max(0, int(math.Ceil(barWidth*row.joules/e.Taken))))
			line := fmt.Sprintf("  %-22s %7.1f J  %s", row.what, row.joules, bar)
			out.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
}

// energyRow is a line of the balance.
type energyRow struct {
	what   string
	joules float64
}

// energyRows are the parts of what was taken, in words.
func energyRows(e record.Energy) []energyRow {
	return []energyRow{
		{"battery's resistance", e.Battery},
		{"heat of the motors", e.Motors},
		{"gears and bearings", e.Gears},
		{"rolling resistance", e.Rolling},
		{"slip of the tyres", e.Slip},
		{"mechanisms", e.Mechanisms},
		{"against walls", e.Walls},
		{"moved: pushed, hauled", e.Pushed},
		{"still in motion", e.Kinetic},
	}
}
