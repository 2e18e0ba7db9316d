package testdrive

import (
	"fmt"
	"regexp"
	"strings"
)

// notInName is what a C name cannot have.
var notInName = regexp.MustCompile(`[^a-z0-9_]`)

// Header is the drive's table for a robot program in C or C++.
func (d *Drive) Header() string {
	name := "drive_" + notInName.ReplaceAllString(strings.ToLower(d.Name), "_")
	upper := strings.ToUpper(name)
	coasts, what := 0, "brake (shorted)"
	if d.Coasts {
		coasts, what = 1, "coast (open)"
	}
	var out strings.Builder
	fmt.Fprintf(&out, `/* Test drive %[1]s: %[2]s.
   A row every %[3]s: %[4]s. Hold each row's volts until the next. At 0 V the drive motors %[5]s.
   Keep your own stop button in the loop. */
#ifndef %[6]s_H
#define %[6]s_H

#define %[6]s_ROWS %[7]d
#define %[6]s_COLUMNS %[8]d
#define %[6]s_PERIOD_MS %[9]d
#define %[6]s_COASTS %[10]d

static const float %[11]s[%[6]s_ROWS][%[6]s_COLUMNS] = {
`, d.Name, d.Title, periodWords, strings.Join(d.Table.Columns, ", "), what, upper, len(d.Table.Rows),
		len(d.Table.Columns), periodMS, coasts, name)
	for _, row := range d.Table.Rows {
		fmt.Fprintf(&out, "    {%s},\n", listed(row, "f"))
	}
	fmt.Fprintf(&out, "};\n\n#endif\n")
	return out.String()
}

const (
	periodMS    = 20
	periodWords = "20 ms"
)
