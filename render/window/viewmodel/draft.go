package viewmodel

import (
	"fmt"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// draft is what a routine is written from that repeats a drive.
type draft struct {
	side    string    // whose coordinates these are
	start   geom.Pose // where the robot is to stand
	moves   []move
	presses []record.Event // of the driver's buttons
	seconds float64        // of the field's longest autonomous phase; 0: not known
}

// Draft is the text of a routine that repeats what was driven; "": there is nothing that one could repeat.
func (r *Run) Draft() string {
	rec := r.Record
	d := draft{moves: movesOf(rec.Samples, 0), side: r.Setup.Field.Sides[rec.Header.Robots[0].Side].Name}
	if len(d.moves) == 0 {
		return ""
	}
	// where it was to stand: at first it believes just that, whatever the spread drew
	d.start = rec.Samples[0].Robots[0].Belief.Geom()
	for _, phase := range r.Setup.Field.Phases {
		if phase.Control == fields.Autonomous {
			d.seconds = max(d.seconds, phase.Seconds)
		}
	}
	for _, e := range rec.Events {
		if e.Kind == record.PressedKey && e.Robot == 0 {
			d.presses = append(d.presses, e)
		}
	}
	return d.text()
}

// text is the routine as Lua. Buttons become comments at their place: which mechanism they meant is for the person to
// say.
func (d *draft) text() string {
	out := &strings.Builder{}
	fmt.Fprintf(out, "-- A draft, fitted to a drive. Straights, turns and curves stand within %s mm of the path that "+
		"was driven;\n", millimetres(within))
	fmt.Fprintf(out, "-- what was narrower than %s mm is a turn on the spot.\n", millimetres(tightest))
	out.WriteString("-- Look over every line, rehearse it over many seeds, then try it slowly on the real " +
		"robot.\nreturn routine {\n")
	fmt.Fprintf(out, "  title = \"draft from a drive\",\n  side = %q,\n", d.side)
	fmt.Fprintf(out, "  start = {x = %s, y = %s, heading = %s},\n", millimetres(d.start.X), millimetres(d.start.Y),
		wholeDegrees(d.start.Heading))
	out.WriteString("  auto = function(bot)\n")
	presses, late := d.presses, false
	for _, m := range d.moves {
		if !late && d.seconds > 0 && m.from+m.seconds > d.seconds {
			late = true
			fmt.Fprintf(out, "    -- driven like this, the autonomous phase of %g s ends here: what follows comes too late\n",
				d.seconds)
		}
		writeMove(out, m)
		for len(presses) > 0 && presses[0].T < m.from+m.seconds {
			fmt.Fprintf(out, "    -- the driver pressed %q at %.1f s, during this\n", presses[0].What, presses[0].T)
			presses = presses[1:]
		}
	}
	for _, p := range presses {
		fmt.Fprintf(out, "    -- the driver pressed %q at %.1f s\n", p.What, p.T)
	}
	out.WriteString("  end,\n}\n")
	return out.String()
}

func writeMove(out *strings.Builder, m move) {
	options := ""
	if m.reverse {
		options = ", {reverse = true}"
	}
	switch m.kind {
	case resting:
		fmt.Fprintf(out, "    wait(%.1f)\n", m.seconds)
	case turning:
		fmt.Fprintf(out, "    bot.drive:face(%s)\n", wholeDegrees(m.heading))
	case straight:
		end := m.points[len(m.points)-1]
		fmt.Fprintf(out, "    bot.drive:visit(%s, %s%s) -- %s mm\n", millimetres(end.X), millimetres(end.Y), options,
			millimetres(m.length))
	case curved:
		points := make([]string, len(m.points))
		for i, p := range m.points {
			points[i] = LuaPoint(p)
		}
		fmt.Fprintf(out, "    bot.drive:trace({%s}%s)\n", strings.Join(points, ", "), options)
	}
}

// wholeDegrees is an angle within half a turn, to a tenth.
func wholeDegrees(rad float64) string { return tidy(WholeTurn(degrees(rad)), 1) }
