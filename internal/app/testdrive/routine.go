package testdrive

import (
	"fmt"
	"math"
	"strings"
)

// Routine is the drive for the simulated robot, a Lua file.
func (d *Drive) Routine() string {
	var out strings.Builder
	fmt.Fprintf(&out, "-- Test drive %s: a row of volts (%s) every %s.\n", d.Name, strings.Join(d.Table.Columns, ", "),
		periodWords)
	out.WriteString("local rows = {\n")
	for _, row := range d.Table.Rows {
		fmt.Fprintf(&out, "  {%s},\n", listed(row, ""))
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
`, d.Title, d.Start.X*1000, d.Start.Y*1000, number(d.Start.Heading*180/math.Pi), rest)
	for i, column := range d.Table.Columns[2:] {
		fmt.Fprintf(&out, "      bot[%q]:volts(row[%d])\n", strings.TrimSuffix(column, " V"), i+3)
	}
	fmt.Fprintf(&out, "      wait(%s)\n    end\n    bot.drive:stop()\n  end,\n}\n", number(Period))
	return out.String()
}
