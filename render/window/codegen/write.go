package codegen

import (
	"fmt"
	"io"
	"math"
	"strings"

	"chalkfield/internal/base/geom"
)

// Routine is what a draft is written from.
type Routine struct {
	Side    string    // whose coordinates these are; "": the field's first
	Start   geom.Pose // where the robot is to stand
	Moves   []Move
	Presses []Press
	Seconds float64 // of the field's longest autonomous phase; 0: not known
}

// Press is a button that the driver pressed.
type Press struct {
	T      float64 // s
	Button string
}

// Write writes the routine as Lua. Buttons become comments at their place: which mechanism they meant is for the person
// to say.
func Write(w io.Writer, r Routine) error {
	out := &strings.Builder{}
	fmt.Fprintf(out, "-- A draft, fitted to a drive. Straights, turns and curves stand within %s mm of the path that "+
		"was driven;\n", mm(within))
	fmt.Fprintf(out, "-- what was narrower than %s mm is a turn on the spot.\n", mm(tightest))
	out.WriteString("-- Look over every line, rehearse it over many seeds, then try it slowly on the real " +
		"robot.\nreturn routine {\n")
	out.WriteString("  title = \"draft from a drive\",\n")
	if r.Side != "" {
		fmt.Fprintf(out, "  side = %q,\n", r.Side)
	}
	fmt.Fprintf(out, "  start = {x = %s, y = %s, heading = %s},\n", mm(r.Start.X), mm(r.Start.Y), deg(r.Start.Heading))
	out.WriteString("  auto = function(bot)\n")
	presses, late := r.Presses, false
	for _, m := range r.Moves {
		if !late && r.Seconds > 0 && m.From+m.Seconds > r.Seconds {
			late = true
			fmt.Fprintf(out, "    -- driven like this, the autonomous phase of %g s ends here: what follows comes too late\n",
				r.Seconds)
		}
		writeMove(out, m)
		for len(presses) > 0 && presses[0].T < m.From+m.Seconds {
			fmt.Fprintf(out, "    -- the driver pressed %q at %.1f s, during this\n", presses[0].Button, presses[0].T)
			presses = presses[1:]
		}
	}
	for _, p := range presses {
		fmt.Fprintf(out, "    -- the driver pressed %q at %.1f s\n", p.Button, p.T)
	}
	out.WriteString("  end,\n}\n")
	_, err := io.WriteString(w, out.String())
	return err
}

func writeMove(out *strings.Builder, m Move) {
	options := ""
	if m.Reverse {
		options = ", {reverse = true}"
	}
	switch m.Kind {
	case Rest:
		fmt.Fprintf(out, "    wait(%.1f)\n", m.Seconds)
	case Turn:
		fmt.Fprintf(out, "    bot.drive:face(%s)\n", deg(m.Heading))
	case Straight:
		end := m.Points[len(m.Points)-1]
		fmt.Fprintf(out, "    bot.drive:visit(%s, %s%s) -- %s mm\n", mm(end.X), mm(end.Y), options, mm(m.Length))
	case Curve:
		points := make([]string, len(m.Points))
		for i, p := range m.Points {
			points[i] = fmt.Sprintf("{%s, %s}", mm(p.X), mm(p.Y))
		}
		fmt.Fprintf(out, "    bot.drive:trace({%s}%s)\n", strings.Join(points, ", "), options)
	}
}

func mm(metres float64) string { return fmt.Sprintf("%.0f", whole(1000*metres)) }

func deg(rad float64) string { return fmt.Sprintf("%g", whole(geom.WrapAngle(rad)*1800/math.Pi)/10) }

// whole rounds, without a negative zero.
func whole(x float64) float64 { return math.Round(x) + 0 }
