package testdrive

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// oneLine is a title of what can be seen alone, which Lua reads as Go quotes it.
func oneLine(title string) string {
	return strings.Map(func(r rune) rune {
		if !strconv.IsPrint(r) {
			return -1
		}
		return r
	}, strings.Join(strings.Fields(title), " "))
}

// Routine is the drive for the simulated robot, a Lua file.
func (d *Drive) Routine() string {
	var out strings.Builder
	fmt.Fprintf(&out, "-- Test drive %s: a row of volts (%s) every %s.\n", d.Name, strings.Join(d.Table.Columns, ", "),
		periodWords)
	out.WriteString("local rows = {\n")
	for _, row := range d.Table.Rows {
		fmt.Fprintf(&out, "  {%s},\n", listed(row))
	}
	title := d.Title
	if d.Robot != nil {
		title += ", for " + oneLine(d.Robot.Title)
	}
	rest := "brake"
	if d.Coasts {
		rest = "coast"
	}
	fmt.Fprintf(&out, `}

return routine {
  title = %q,
  start = {x = %.0f, y = %.0f, heading = %s},

  auto = function(bot)
    bot.drive:rest(%q)
    for _, row in ipairs(rows) do
      bot.drive:volts(row[1], row[2])
`, title, d.Start.X*1000, d.Start.Y*1000, number(d.Start.Heading*180/math.Pi), rest)
	for i, column := range d.Table.Columns[2:] {
		fmt.Fprintf(&out, "      bot[%q]:volts(row[%d])\n", strings.TrimSuffix(column, " V"), i+3)
	}
	fmt.Fprintf(&out, "      wait(%s)\n    end\n    bot.drive:stop()\n  end,\n}\n", number(Period))
	return out.String()
}
