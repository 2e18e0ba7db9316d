package logfile

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
	"chalkfield/internal/base/tomlfile"

	"pgregory.net/rapid"
)

func read(t testing.TB, text string, settings Settings) *Log {
	t.Helper()
	l, err := Read("run.csv", strings.NewReader(text), settings)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// rows are a log with a header and one row for each value, 20 ms apart.
func rows(header string, values ...string) string {
	text := header + "\n"
	for i, v := range values {
		text += fmt.Sprintf("%.2f,%s\n", float64(i)*0.02, v)
	}
	return text
}

func TestWhatIsNoLogIsRefusedWithItsLine(t *testing.T) {
	const fine = "time s,left V\n0,1\n0.02,2\n0.04,3\n0.06,4\n"
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", `run.csv:1: the log is empty`},
		{"comments alone", "# a\n\n# b\n", `run.csv:3: the log is empty`},
		{"no header", "0,1\n0.02,2\n", `run.csv:1: this is no log: its first line names the columns, each with its unit`},
		{"one column", "time s\n1\n", `run.csv:1: this is no log`},
		{"UTF-16", "\xff\xfet\x00i\x00", `run.csv:1: the file is in UTF-16: save it as CSV in UTF-8`},
		{"binary", "PK\x03\x04\x00\x00", `run.csv:1: this is no text file`},
		{"CR alone", "time s,left V\r0,1\r", `run.csv:1: the lines end with a CR alone`},
		{"no time", "left V,right V\n0,1\n", `run.csv:1: no column is the time: name it "time s"`},
		{"only the time", "time s,foo,bar\n0,1,2\n",
			`run.csv:1: no column but the time is understood (not understood: foo, bar)`},
		{"time without a unit", "time,left V\n0,1\n",
			`run.csv:1: "time" has no unit: write "time s" (units known: s, ms, us, min)`},
		{"a wrong unit", "time s,heading mm\n0,1\n", `run.csv:1: "mm" is no unit of heading: write one of deg, rad, turn`},
		{"a misspelt unit", "time s,left speed mms\n0,1\n",
			`run.csv:1: "mms" is no unit of left speed: write "mm/s" ` +
				`(known: mm/s, m/s, in/s, cm/s, rpm, deg/s, rad/s, ticks/s)`},
		{"ticks of no known wheel", "time s,left travel ticks\n0,1\n",
			`run.csv:1: how far the robot goes for one of "ticks" is not known: ` +
				`write wheel_diameter = "90 mm" and ticks_per_turn = 360`},
		{"wheel turns of no known wheel", "time s,left travel deg\n0,1\n",
			`write wheel_diameter = "90 mm", with your own numbers, into log.toml`},
		{"one quantity twice", "time s,left V,left mV\n0,1,2\n",
			`run.csv:1: "left V" and "left mV" are both left V: rename one, or map another to it with --columns`},
		{"text in a number", fine + "0.08,12V\n", `run.csv:6: left V: "12V" is no number: write one without its unit`},
		{"infinite", fine + "0.08,inf\n", `run.csv:6: left V: "inf" is no number`},
		{"too large", fine + "0.08,1e400\n", `run.csv:6: left V: "1e400" is no number`},
		{"absurd", fine + "0.08,1e13\n", `run.csv:6: left V: 1e13 is more than any robot has or a clock shows`},
		{"hexadecimal", fine + "0.08,0x10\n", `"0x10" is no number`},
		{"thousands", "time s;left V\n0;1.000,5\n",
			`run.csv:2: left V: "1.000,5" has a point and a comma: write no sign between thousands`},
		{"both signs", "time s;left V\n0;1\n0,02;1\n0.04;1\n",
			`run.csv:4: time s: 0.04 has a decimal point, line 3 has the other sign`},
		{"too few cells", "time s,left V\n0\n0.02,2\n",
			`run.csv:2: 1 cell, and the header names 2: a value that is not known is an empty cell`},
		{"too many cells", fine + "0.08,1,2\n", `run.csv:6: 3 cells, and the header names 2: name each column`},
		{"decimal commas between commas", "time s,left V\n0,1,5\n",
			`run.csv:2: 3 cells, and the header names 2: if the comma is the decimal sign, part the columns by semicolons`},
		{"an open quote", fine + "0.08,\"1\n", `run.csv:6: the quote before "1" is not closed on its line`},
		{"text behind a quote", fine + "0.08,\"1\"2\n", `run.csv:6: after the closing quote of "1" comes "2"`},
		{"the header again", fine + "time s,left V\n",
			`run.csv:6: the header comes again: the file holds two logs; cut it here`},
		{"the clock started again", fine + "0,1\n0.02,1\n",
			`run.csv:6: the time goes back from 0.06 s to 0 s: the clock was started again; cut the file here into two logs`},
		{"rows out of order", fine + "0.1,1\n0.08,1\n",
			`run.csv:7: the time goes back from 0.1 s to 0.08 s (1 row does so): sort the rows`},
		{"time backwards", "time s,left V\n9,1\n8,1\n7,1\n",
			`run.csv:3: the time goes back from 9 s to 8 s, as in most rows: the log is written last row first; turn it round`},
		{"too short", "time s,left V\n0,1\n1,1\n", `run.csv:3: a log of 2 rows tells nothing: it needs at least 4`},
		{"one time", "time s,left V\n0,1\n0,1\n0,1\n0,2\n0,3\n", `a log of 1 row tells nothing`},
		{"a long line", "time s,left V\n" + strings.Repeat("0", 2<<20), `run.csv:2: a line of more than 1 MB`},
		{"many columns", strings.Repeat("a,", 300) + "\n", `run.csv:1: 301 columns, and a log may have at most 200`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read("run.csv", strings.NewReader(c.text), Settings{})
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}

// What is mended is told.
func TestWhatIsMendedIsAssumed(t *testing.T) {
	wheel := Settings{Wheel: Wheel{Diameter: 1 / math.Pi, Ticks: 1000}} // a tick is a mm
	counter := wheel
	counter.Columns = []ColumnSetting{{Name: "left travel ticks", Bits: 10, from: SettingsName}}
	reversed := Settings{Columns: []ColumnSetting{{Name: "left travel mm", Reversed: true, from: SettingsName}}}
	for _, c := range []struct {
		name, text string
		settings   Settings
		want       []float64 // of the first column, in its unit
		assumed    string
	}{
		{"heading at 180", rows("time s,heading deg", "179", "-179", "-177", "179", "180"), Settings{},
			[]float64{179, 181, 183, 179, 180}, "heading starts again 2 times (first: line 3): counted on"},
		{"heading at 360", rows("time s,heading deg", "2", "359", "1", "3"), Settings{},
			[]float64{2, -1, 1, 3}, "heading starts again 2 times"},
		{"16 bits", rows("time s,left travel ticks", "65530", "65535", "4", "9"), wheel,
			[]float64{65530, 65535, 65540, 65545}, "left travel starts again 1 time (first: line 4): counted on"},
		{"16 bits with a sign", rows("time s,left travel ticks", "32760", "32767", "-32762", "-32758"), wheel,
			[]float64{32760, 32767, 32774, 32778}, "left travel starts again 1 time"},
		{"32 bits", rows("time s,left travel ticks", "5", "4294967295", "4294967290", "4294967280"), wheel,
			[]float64{5, -1, -6, -16}, "left travel starts again 1 time"},
		{"bits that are given", rows("time s,left travel ticks", "1020", "1023", "2", "5"), counter,
			[]float64{1020, 1023, 1026, 1029}, "left travel starts again 1 time"},
		{"a reset", rows("time s,left travel mm", "900", "910", "920", "0", "10", "20"), Settings{},
			[]float64{900, 910, 920, 930, 940, 950}, "left travel jumps 1 time, first by -920 mm at line 5: taken for a reset"},
		{"one wrong value", rows("time s,left travel mm", "1", "2", "3", "9000", "5", "6"), Settings{},
			[]float64{1, 2, 3, 4, 5, 6}, "left travel jumps 2 times"},
		{"a reversed sign", rows("time s,left travel mm", "1", "2", "3", "4"), reversed,
			[]float64{-1, -2, -3, -4}, `"left travel mm" is taken with its sign reversed (log.toml)`},
		{"no time", rows("time s,left V", "1", "2", "3", "4") + ",5\n1,6\n", Settings{},
			[]float64{1, 2, 3, 4, 6}, "1 row without a time: left out (first: line 6)"},
		{"repeated rows", "time s,left V\n0,1\n0,1\n0.02,2\n0.02,3\n0.04,4\n0.06,5\n", Settings{},
			[]float64{1, 3, 4, 5},
			"2 rows with the time of the row before: taken as one with it, the later value counts (first: line 3)"},
		{"rows of one time that fill each other", "time s,left V,right V\n0,1,\n0,,9\n1,2,\n2,3,\n3,4,\n", Settings{},
			[]float64{1, 2, 3, 4}, "1 row with the time of the row before"},
		{"a full clock", "time ms,left V\n65500,1\n65520,2\n4,3\n24,4\n", Settings{},
			[]float64{1, 2, 3, 4}, "the time starts again at a full counter 1 time: counted on"},
		{"cut off", rows("time s,left V", "1", "2", "3", "4") + "0.08", Settings{},
			[]float64{1, 2, 3, 4}, "the last line, 6, is cut off: left out"},
		{"a part that is none", rows("time s,hedding deg", "1", "2", "3", "4"), Settings{},
			[]float64{1, 2, 3, 4}, `"hedding deg" is of a part called "hedding": if it is the robot's heading, ` +
				`write --columns "heading deg=hedding deg"`},
		{"no values", rows("time s,left V", "1", "nan", "", "NULL", "N/A", "-", "3"), Settings{},
			[]float64{1, missing, missing, missing, missing, missing, 3}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := read(t, c.text, c.settings)
			if got := strings.Join(l.Assumed, "\n"); !strings.Contains(got, c.assumed) || c.assumed == "" && got != "" {
				t.Errorf("assumed %q, want %q", got, c.assumed)
			}
			first := l.Columns[0]
			for i, want := range c.want {
				got := first.Values[i] / math.Abs(first.scale)
				if !(math.Abs(got-want) < 1e-6) && given(want) || given(got) != given(want) {
					t.Errorf("row %d: %g, want %g", i, got, want)
				}
			}
			if len(first.Values) != len(c.want) || len(l.Time) != len(c.want) {
				t.Errorf("%d rows, want %d", len(first.Values), len(c.want))
			}
		})
	}
}

func TestHeadersAreUnderstood(t *testing.T) {
	wheel := Wheel{Diameter: 0.1, Ticks: 360}
	for text, want := range map[string]meaning{
		"time s":             {clock, "s", 1},
		"time us":            {clock, "us", 1e-6},
		"Time (ms)":          {clock, "ms", 1e-3},
		"left V":             {Volts[0], "V", 1},
		" right  mV ":        {Volts[1], "mV", 1e-3},
		"left %":             {Duty[0], "%", 0.01},
		"right share":        {Duty[1], "share", 1},
		"left A":             {Quantity{"left", "A"}, "A", 1},
		"left_travel_mm":     {Travel[0], "mm", 1e-3},
		"Left travel [in]":   {Travel[0], "in", 0.0254},
		"left travel turn":   {Travel[0], "turn", math.Pi * 0.1},
		"right travel ticks": {Travel[1], "ticks", math.Pi * 0.1 / 360},
		"left speed rpm":     {Speed[0], "rpm", math.Pi * 0.1 / 60},
		"heading deg":        {Heading, "deg", math.Pi / 180},
		"turning deg/s":      {Turning, "deg/s", math.Pi / 180},
		"battery V":          {BatteryVolts, "V", 1},
		"x cm":               {Place[0], "cm", 1e-2},
		"lift V":             {Quantity{"lift", "V"}, "V", 1},
		"claw_lift deg":      {Quantity{"claw_lift", "rad"}, "deg", math.Pi / 180},
		"arm 2 (mm)":         {Quantity{"arm 2", "m"}, "mm", 1e-3},
	} {
		m, known, err := understand(text, wheel)
		if err != nil || !known || m.is != want.is || m.unit != want.unit || math.Abs(m.scale/want.scale-1) > 1e-12 {
			t.Errorf("%q: %+v, %v, %v; want %+v", text, m, known, err, want)
		}
	}
	for _, text := range []string{"", "imu_z", "motor_a", "lift_V", "temperature C", "left volts", "deg"} {
		if m, known, _ := understand(text, wheel); known {
			t.Errorf("%q is taken for %+v", text, m)
		}
	}
}

func TestColumnsAreMapped(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	log := write("run.csv", "t,motor_a,enc_l,odd\n0,1,10,x\n20,2,20,x\n40,3,30,x\n60,4,40,x\n")
	write("log.toml", "wheel_diameter = \"100 mm\"\nticks_per_turn = 100\n[[columns]]\nname = \"t\"\nis = \"time ms\"\n"+
		"[[columns]]\nname = \"enc_l\"\nis = \"left travel ticks\"\nreversed = true\n[[columns]]\nname = \"motor_a\"\nis = "+
		"\"right V\"\n[[columns]]\nname = \"of another log\"\nis = \"left V\"\n")
	l, err := Open(log, "left V=motor_a")
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Join(l.Assumed, "\n")
	if want := "\"t\" is time ms (log.toml)\n\"motor_a\" is left V (--columns)\n\"enc_l\" is taken with its sign " +
		"reversed (log.toml)\n\"enc_l\" is left travel ticks (log.toml)"; got != want {
		t.Errorf("assumed\n%s\nwant\n%s", got, want)
	}
	if c := l.Column(Travel[0]); c == nil || math.Abs(c.Values[0]+0.1*math.Pi/10) > 1e-12 || l.Column(Volts[0]) == nil {
		t.Errorf("travel: %+v", c)
	}
	if !reflect.DeepEqual(l.Unused, []string{"odd"}) {
		t.Errorf("not used: %v", l.Unused)
	}
	for columns, want := range map[string]string{
		"left V":                          `--columns: "left V" is no column: write what it is, =, and its name in the log`,
		"left V=motor_b":                  `--columns: there is no column "motor_b": write "motor_a"`,
		"lleft V=motor_a":                 ``, // a part's
		"headin=motor_a":                  `--columns: "headin" is no quantity of a log: write "heading deg"`,
		"heading mm=enc_l":                `--columns: "mm" is no unit of heading`,
		"left V=odd":                      `"x" is no number`,
		"left V=motor_a, right V=motor_a": `--columns: the column "motor_a" stands there twice`,
	} {
		if _, err := Open(log, columns); (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %s", columns, err, want)
		}
	}
	for text, want := range map[string]string{
		"wheel_diametre = 3":                          `there is no key "wheel_diametre" here: write "wheel_diameter"`,
		"wheel_diameter = 90":                         `wheel_diameter: 90 has no unit`,
		"wheel_diameter = \"90 m\"":                   `90 m is out of range`,
		"[[columns]]\nis = \"left V\"":                `the key "name" is missing: write, for example, name = "motor_a"`,
		"[[columns]]\nname = \"a\"\nis = \"left kg\"": `log.toml:3:6: columns[0].is: "kg" is no unit of left`,
		"[[columns]]\nname = \"a\"\nbits = 64":        `64 is out of range`,
	} {
		write("log.toml", text)
		if _, err := Open(log, ""); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %s", text, err, want)
		}
	}
}

func TestEverySettingHasARange(t *testing.T) {
	if list := tomlfile.Unlimited(reflect.TypeFor[Settings]()); len(list) > 0 {
		t.Errorf("without a range: %s", strings.Join(list, "\n"))
	}
}

// A log reads the same in whatever notation it is written.
func TestNotationsReadTheSame(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 30).Draw(t, "rows")
		var plain [][]string
		for i := range n {
			row := []string{fmt.Sprintf("%.3f", float64(i)*0.02)}
			for range 3 {
				cell := ""
				if !rapid.Bool().Draw(t, "empty") {
					cell = fmt.Sprintf("%.3f", rapid.Float64Range(-1e4, 1e4).Draw(t, "value"))
				}
				row = append(row, cell)
			}
			plain = append(plain, row)
		}
		want := taken(t, plain, notation{separator: ","})
		how := notation{separator: rapid.SampledFrom([]string{",", ";", "\t"}).Draw(t, "separator"),
			mark: rapid.Bool().Draw(t, "byte-order mark"), crlf: rapid.Bool().Draw(t, "CR LF"),
			comments: rapid.Bool().Draw(t, "comments"), quotes: rapid.Bool().Draw(t, "quotes"),
			blanks: rapid.Bool().Draw(t, "blanks"), trailing: rapid.Bool().Draw(t, "trailing separator")}
		how.comma = (how.separator != "," || how.quotes) && rapid.Bool().Draw(t, "decimal comma")
		if got := taken(t, plain, how); !reflect.DeepEqual(got, want) {
			t.Errorf("%+v reads as\n%v\nwant\n%v", how, got, want)
		}
	})
}

type notation struct {
	separator                                             string
	mark, crlf, comments, quotes, blanks, trailing, comma bool
}

// taken are the bits of all values of a log in a notation.
func taken(t *rapid.T, rows [][]string, how notation) [][]uint64 {
	var text strings.Builder
	if how.mark {
		text.WriteString("\xef\xbb\xbf")
	}
	for i, row := range append([][]string{{"time s", "left V", "heading deg", "lift mm"}}, rows...) {
		if how.comments && i%3 == 0 {
			text.WriteString("# a comment; with, signs\n\n")
		}
		var cells []string
		for _, cell := range row {
			if how.comma {
				cell = strings.ReplaceAll(cell, ".", ",")
			}
			if how.quotes {
				cell = `"` + cell + `"`
			}
			if how.blanks && how.separator != "\t" {
				cell = " " + cell + " "
			}
			cells = append(cells, cell)
		}
		if how.trailing && i > 0 {
			cells = append(cells, "")
		}
		text.WriteString(strings.Join(cells, how.separator))
		text.WriteString(map[bool]string{true: "\r\n", false: "\n"}[how.crlf])
	}
	l, err := Read("run.csv", strings.NewReader(text.String()), Settings{})
	if err != nil {
		t.Fatalf("%v of\n%s", err, text.String())
	}
	var bits [][]uint64
	for _, values := range append([][]float64{l.Time}, l.Columns[0].Values, l.Columns[1].Values, l.Columns[2].Values) {
		var column []uint64
		for _, x := range values {
			column = append(column, math.Float64bits(x))
		}
		bits = append(bits, column)
	}
	return bits
}

// Whatever the bytes, a log is read and described, or refused with a line.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"time s,left V\n0,1\n0.02,2\n0.04,3\n0.06,4\n", "time ms;heading deg\n0;1,5\n20;-179\n40;179\n60;0\n",
		"\xef\xbb\xbf# c\r\ntime s\tleft travel mm\tright travel mm\tleft %\tright %\r\n" +
			"0\t0\t0\t5\t5\r\n1\t9\t9\t5\t5\r\n2\t9\t9\t5\t5\r\n3\t9\t9\t5\t5\r\n",
		"sep=;\ntime s;\"left \"\"V\"\"\"\n",
		"time us,x m,y m,left travel ticks\n0,1,1,65535\n1,1,1,0\n1e300,1,1,5\n2e300,1,1,1e308\n",
		"time s,left V,right V,left travel ft,right travel ft,heading turn\n" +
			"0,1,1,0,0,0\n1,1,1,1e300,-1e300,1e9\n2,1,1,0,0,0\n3,1,1,0,0,0\n",
	} {
		f.Add([]byte(seed), "")
		f.Add([]byte(seed), "left V=time s, heading rad=left V")
	}
	settings := Settings{Wheel: Wheel{Diameter: 0.09, Ticks: 360}}
	f.Fuzz(func(t *testing.T, data []byte, columns string) {
		property.Bounded(t, func() {
			settings := settings
			if settings.add(columns) != nil {
				return
			}
			l, err := Read("f", strings.NewReader(string(data)), settings)
			if err != nil {
				if !strings.HasPrefix(err.Error(), "f:") {
					t.Errorf("no line: %v", err)
				}
				return
			}
			if _, err := json.Marshal(Describe(l)); err != nil {
				t.Error(err)
			}
			if _, err := json.Marshal(Describe(l)); err != nil { // a number that is none
				t.Error(err)
			}
		})
	})
}
