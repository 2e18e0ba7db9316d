package setpoints

import (
	"fmt"
	"io"
	"path/filepath"
	"reflect"
	"strings"

	"chalkfield/internal/base/cheader"
	"chalkfield/scripting/motion"
)

// WriteHeader writes the table for C and C++, as a struct with the name of the file.
func (t *Table) WriteHeader(w io.Writer, file string) error {
	name := cheader.Name(strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)))
	comment, err := t.comment()
	if err != nil {
		return err
	}
	var out strings.Builder
	out.WriteString(structs())
	t.writeArrays(&out, name)
	fmt.Fprintf(&out, `
static const struct setpoint_table %[1]s = {
  %[1]s_rows, %[1]s_commands, %[1]s_steps, %[2]d, %[3]d, %[4]d, %[5]s, %[6]s, {%[7]s}
};
`, name, len(t.Rows), t.commands(), len(t.Steps), cheader.Float(t.Period), cheader.Text(t.Side),
		cheader.Floats(t.Start[:]))
	_, err = io.WriteString(w, cheader.Guarded("setpoints_"+name, comment, out.String()))
	return err
}

// comment says what the table is and what it came from.
func (t *Table) comment() (string, error) {
	var out strings.Builder
	fmt.Fprintf(&out, "%s, version %d\n", Format, Version)
	members, err := headMembers(&Head{Made: t.Made, Side: t.Side, Start: t.Start, Period: t.Period})
	if err != nil {
		return "", err
	}
	for _, m := range members[:4] {
		fmt.Fprintf(&out, "   %s: %s\n", m.name, m.text)
	}
	if t.Made.Program {
		out.WriteString("   not in it: what the program decides by what it senses\n")
	}
	for _, d := range t.Open {
		text, err := plainJSON(d)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(&out, "   not in it: %s\n", text)
	}
	out.WriteString("   First runs: low speed, on blocks or with the field clear, a person at the disable switch.")
	return out.String(), nil
}

// structs declares what tables and followers share.
func structs() string {
	var out strings.Builder
	out.WriteString("#ifndef CHALKFIELD_SETPOINTS\n#define CHALKFIELD_SETPOINTS\n\nstruct setpoint_row {\n")
	for i := range columns {
		c := &columns[i]
		kind := "float"
		if c.whole != nil {
			kind = "short"
		}
		declare(&out, kind, c.c, c.unit, c.says)
	}
	out.WriteString("};\n\n/* What a mechanism is told in a row: \"intake.run\" with 11. */\nstruct setpoint_command {\n")
	declare(&out, "int", "row", "", "from 0")
	declare(&out, "const char *", "what", "", "")
	declare(&out, "int", "numbers", "", "how many of these there are")
	declare(&out, "float", "number[3]", "", "")
	declare(&out, "const char *", "word", "", "or a word; \"\": none")
	out.WriteString("};\n\n/* A motion of the routine, and the law by which it is followed. SI units. */\n")
	out.WriteString("struct setpoint_step {\n")
	declare(&out, "const char *", "motion", "", "")
	declare(&out, "float", "within", "m", "so near its end the next begins; 0: when its time has come")
	declare(&out, "float", "within_angle", "rad", "")
	for _, l := range lawMembers {
		declare(&out, "float", l.name, l.unit, l.says)
	}
	out.WriteString("};\n\nstruct setpoint_table {\n")
	for _, m := range []string{"const struct setpoint_row *rows", "const struct setpoint_command *commands",
		"const struct setpoint_step *steps", "int row_count, command_count, step_count"} {
		out.WriteString("  " + m + ";\n")
	}
	declare(&out, "float", "period", "s", "")
	declare(&out, "const char *", "side", "", "")
	declare(&out, "float", "start[3]", "mm, mm, deg", "")
	return out.String() + "};\n\n#endif\n"
}

func declare(out *strings.Builder, kind, name, unit, says string) {
	space := " "
	if strings.HasSuffix(kind, "*") {
		space = ""
	}
	line := "  " + kind + space + name + ";"
	switch {
	case unit != "" && says != "":
		line += " /* " + unit + ": " + says + " */"
	case unit+says != "":
		line += " /* " + unit + says + " */"
	}
	out.WriteString(line + "\n")
}

// lawMembers are the law's numbers, in their order.
var lawMembers = []struct{ name, unit, says string }{
	{"track", "m", "between the wheels, as it turns"},
	{"pivot", "m", "the point that is led, ahead of the robot's own"},
	{"volts", "V", "the most"},
	{"friction_volts", "V", "overcomes friction"}, {"speed_volts", "V s/m", "for each m/s"},
	{"acceleration_volts", "V s2/m", "for each m/s2"},
	{"turn_friction_volts", "V", "scrub in turns"}, {"turn_speed_volts", "V s", "for each rad/s"},
	{"turn_acceleration_volts", "V s2", "for each rad/s2"},
	{"delay", "s", "from a command until the motors have it"},
	{"band", "V", "the motor controller gives nothing for less"},
	{"lag", "s", "time constant of the loop of the speeds"},
	{"along_p", "1/s", "gains of the tracking law"}, {"heading_p", "1/s", ""}, {"heading_d", "", "plain"},
	{"slow", "m/s", "the sideways gain rises no more below it"},
	{"catch_up", "m/s", "the most that is added to close a gap"},
	{"top_turn", "rad/s", "the most that is asked for"},
	{"push", "m/s2", "the most that is asked along; 0: no limit"}, {"brake", "m/s2", "the same of slowing down"},
}

// lawValues are a law's numbers in the order of lawMembers.
func lawValues(l *motion.Law) []float64 {
	var list []float64
	value := reflect.ValueOf(*l)
	for i := range lawMembers {
		list = append(list, value.Field(i).Float())
	}
	return list
}

func (t *Table) commands() int {
	n := 0
	for i := range t.Rows {
		n += len(t.Rows[i].Do)
	}
	return n
}

func (t *Table) writeArrays(out *strings.Builder, name string) {
	fmt.Fprintf(out, "\nstatic const struct setpoint_row %s_rows[] = {\n", name)
	for i := range t.Rows {
		values := make([]string, len(columns))
		for k := range columns {
			values[k] = columns[k].text(&t.Rows[i])
			if columns[k].whole == nil {
				values[k] = cheader.Float(*columns[k].at(&t.Rows[i]))
			}
		}
		fmt.Fprintf(out, "  {%s},\n", strings.Join(values, ", "))
	}
	fmt.Fprintf(out, "};\n\nstatic const struct setpoint_command %s_commands[] = {\n", name)
	for i := range t.Rows {
		for _, c := range t.Rows[i].Do {
			out.WriteString(c.inC(i))
		}
	}
	fmt.Fprintf(out, "  {-1, \"\", 0, {0, 0, 0}, \"\"}\n};\n\nstatic const struct setpoint_step %s_steps[] = {\n", name)
	for _, s := range t.Steps {
		words := strings.TrimSpace(s.Motion + " " + s.Words)
		fmt.Fprintf(out, "  {%s, %s, %s, %s}, /* %s */\n", cheader.Text(words), cheader.Float(s.Within),
			cheader.Float(s.WithinAngle), cheader.Floats(lawValues(&s.Law)), strings.ReplaceAll(s.At, "*/", "* /"))
	}
	out.WriteString("};\n")
}

// inC is a command as an entry of the array.
func (c *Command) inC(row int) string {
	numbers, word, n := [3]float64{}, "", 0
	for _, v := range c.With {
		switch v := v.(type) {
		case float64:
			if n < len(numbers) {
				numbers[n] = v
				n++
			}
		case string:
			word = v
		}
	}
	return fmt.Sprintf("  {%d, %s, %d, {%s}, %s},\n", row, cheader.Text(c.Do), n, cheader.Floats(numbers[:]),
		cheader.Text(word))
}
