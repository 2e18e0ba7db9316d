package testdrive

import (
	"fmt"
	"strings"

	"chalkfield/internal/base/cheader"
)

// Header is the drive's table for a robot program in C or C++.
func (d *Drive) Header() string {
	name := "drive_" + cheader.Name(d.Name)
	upper := strings.ToUpper(name)
	coasts, what := 0, "brake (shorted)"
	if d.Coasts {
		coasts, what = 1, "coast (open)"
	}
	comment := fmt.Sprintf(`Test drive %s: %s.
   A row every %s: %s. Hold each row's volts until the next. At 0 V the drive motors %s.
   Keep your own stop button in the loop.`, d.Name, d.Title, periodWords, strings.Join(d.Table.Columns, ", "), what)
	var out strings.Builder
	fmt.Fprintf(&out, `#define %[1]s_ROWS %[2]d
#define %[1]s_COLUMNS %[3]d
#define %[1]s_PERIOD_MS %[4]d
#define %[1]s_COASTS %[5]d

static const float %[6]s[%[1]s_ROWS][%[1]s_COLUMNS] = {
`, upper, len(d.Table.Rows), len(d.Table.Columns), periodMS, coasts, name)
	for _, row := range d.Table.Rows {
		fmt.Fprintf(&out, "    {%s},\n", cheader.Floats(row))
	}
	return cheader.Guarded(name, comment, out.String()+"};\n")
}

const (
	periodMS    = 20
	periodWords = "20 ms"
)
