package viewmodel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// draft is what a routine is written from that repeats a drive.
type draft struct {
	before  string    // what its macros need of the routine that was driven, as Lua
	side    string    // whose coordinates these are
	start   geom.Pose // where the robot is to stand
	moves   []move
	macros  []macroRun     // that run beside them
	presses []record.Event // of the driver's buttons that ran no macro
	seconds float64        // of the field's longest autonomous phase; 0: not known
}

// Draft is the text of a routine that repeats what was driven; "": there is nothing that one could repeat. What buttons
// ran becomes calls where that can be, else comments.
func (r *Run) Draft() string {
	text := r.draft(borrow(r.Source.Text))
	if text == "" || len(r.Setup.Entrants) == 0 || r.Setup.Entrants[0].Routine == nil ||
		loads(text, r.Setup.Entrants[0].Routine.Texts) {
		return text
	}
	return r.draft(loan{})
}

func (r *Run) draft(l loan) string {
	rec := r.Record
	if len(rec.Samples) == 0 {
		return ""
	}
	runs := macroRuns(rec, rec.Samples[len(rec.Samples)-1].T)
	l.callable(runs)
	d := draft{moves: parted(rec.Samples, runs), side: r.Setup.Field.Sides[rec.Header.Robots[0].Side].Name}
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
	d.before = l.needed(runs)
	for _, run := range runs {
		if !run.blocks() {
			d.macros = append(d.macros, run)
		}
	}
	ran := func(e record.Event) bool {
		return slices.ContainsFunc(runs, func(m macroRun) bool {
			return m.button == e.What && math.Abs(m.from-e.T) < instant
		})
	}
	for _, e := range rec.Events {
		if e.Kind == record.PressedKey && e.Robot == 0 && !ran(e) {
			d.presses = append(d.presses, e)
		}
	}
	return d.text()
}

// text is the routine as Lua. Buttons that ran nothing become comments at their place: what they meant is for the
// person to say.
func (d *draft) text() string {
	out := &strings.Builder{}
	fmt.Fprintf(out, "-- A draft, fitted to a drive. Straights, turns and curves stand within %s mm of the path that "+
		"was driven;\n", millimetres(within))
	fmt.Fprintf(out, "-- what was narrower than %s mm is a turn on the spot.\n", millimetres(tightest))
	out.WriteString("-- Look over every line, rehearse it over many seeds, then try it slowly on the real robot.\n")
	if d.before != "" {
		fmt.Fprintf(out, "\n%s\n\n", d.before)
	}
	out.WriteString("return routine {\n")
	fmt.Fprintf(out, "  title = \"draft from a drive\",\n  side = %q,\n", d.side)
	fmt.Fprintf(out, "  start = {x = %s, y = %s, heading = %s},\n", millimetres(d.start.X), millimetres(d.start.Y),
		wholeDegrees(d.start.Heading))
	out.WriteString("  auto = function(bot)\n")
	d.writeMoves(out)
	out.WriteString("  end,\n}\n")
	return out.String()
}

func (d *draft) writeMoves(out *strings.Builder) {
	presses, macros, late := d.presses, d.macros, false
	for _, m := range d.moves {
		ends := m.from + m.seconds
		if !late && d.seconds > 0 && ends > d.seconds {
			late = true
			fmt.Fprintf(out, "    -- driven like this, the autonomous phase of %g s ends here: what follows comes too late\n",
				d.seconds)
		}
		n := 0
		for n < len(macros) && macros[n].from < ends {
			n++
		}
		writeBeside(out, macros[:n], m.from)
		macros = macros[n:]
		writeMove(out, m)
		for len(presses) > 0 && presses[0].T < ends {
			fmt.Fprintf(out, "    -- the driver pressed %q at %.1f s, during this\n", presses[0].What, presses[0].T)
			presses = presses[1:]
		}
	}
	writeBeside(out, macros, math.Inf(1))
	for _, p := range presses {
		fmt.Fprintf(out, "    -- the driver pressed %q at %.1f s\n", p.What, p.T)
	}
}

func writeMove(out *strings.Builder, m move) {
	options := ""
	if m.reverse {
		options = ", {reverse = true}"
	}
	switch m.kind {
	case calling:
		fmt.Fprintf(out, "    %s -- button %s, %.1f s\n", m.call, m.button, m.seconds)
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
func wholeDegrees(rad float64) string { return tidy(WholeTurn(geom.Degrees(rad)), 1) }
