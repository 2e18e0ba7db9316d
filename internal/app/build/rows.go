package build

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// Row is a key of the table chosen, or a corner of its outline: what is typed over.
type Row struct {
	tomlfile.Key
	Path  string
	Label string
	Value string // as a person reads and types it: that of the file, or the usual one
	Given bool   // the file has it
	About string // what may stand there
	Wrong string // what is wrong with it, or doubtful; "": nothing
}

// Rows are those of the table chosen.
func (b *Board) Rows() []Row {
	if b.rows != nil {
		return b.rows
	}
	values, err := tomlfile.ValuesOf(b.text)
	if err != nil {
		return nil
	}
	b.addRows(values, b.chosen, "")
	return b.rows
}

// addRows adds those of a table and, within an element of a list, of the tables in it.
func (b *Board) addRows(values *tomlfile.Values, table, lead string) {
	for _, key := range tomlfile.KeysOf(b.subject.Format(), table) {
		label := lead + strings.ReplaceAll(key.Name, "_", " ")
		inner := under(table, key.Name) // of an element: its own kind, and of that all that it has within, given or not
		if key.Takes == tomlfile.Tables && strings.Contains(inner, "[") && (values.Given(inner) || table != b.chosen) {
			if table == b.chosen {
				label = "" // the part's own kind
			} else {
				label += " "
			}
			b.addRows(values, inner, label)
		}
		if key.Takes == tomlfile.Tables || key.Takes == tomlfile.TableLists {
			continue
		}
		row := Row{Key: key, Path: under(table, key.Name), Label: label}
		row.Low, row.High, row.Usual = told(b.in, row.Low), told(b.in, row.High), told(b.in, row.Usual)
		row.read(values)
		row.Value = told(b.in, row.Value)
		row.About = row.about()
		b.rows = append(b.rows, b.judged(row))
		if key.Takes != tomlfile.Corners {
			continue
		}
		for i := range values.Length(row.Path) {
			corner := Row{Key: tomlfile.Key{Name: key.Name, Takes: tomlfile.Places, Unit: key.Unit},
				Path: fmt.Sprintf("%s[%d]", row.Path, i), Label: fmt.Sprintf("  corner %d", i+1)}
			corner.read(values)
			corner.Value = told(b.in, corner.Value)
			corner.About = corner.about()
			b.rows = append(b.rows, b.judged(corner))
		}
	}
}

// told are quantities with commas between as a system tells them. Lengths are all in inches there: this is where they
// are typed.
func told(in units.System, quantities string) string {
	if in == units.Metric {
		return quantities
	}
	parts := strings.Split(quantities, ",")
	for i, part := range parts {
		number, unit, _ := strings.Cut(strings.TrimSpace(part), " ")
		x, err := strconv.ParseFloat(number, 64)
		if err != nil {
			continue
		}
		_, fraction, _ := strings.Cut(number, ".")
		decimals := len(fraction)
		if like, ok := likes[unit]; ok {
			unit, x, decimals = like.unit, x*like.times, max(decimals+like.finer, 0)
		}
		if shown := in.Shown(unit); shown.Name != unit {
			parts[i] = trimmed(x*shown.Times, shown.Decimals(decimals)) + " " + shown.Name
		}
	}
	for i := 1; i < len(parts); i++ {
		parts[i] = " " + strings.TrimSpace(parts[i])
	}
	return strings.Join(parts, ",")
}

// likes are units of files by those that a system knows a counterpart of that fits what is typed.
var likes = map[string]struct {
	unit  string
	times float64
	finer int // decimals
}{"m": {"mm", 1000, -3}, "cm": {"mm", 10, -1}, "m/s": {"mm/s", 1000, -3}, "g": {"kg", 1e-3, 3}, "bar": {"kPa", 100, -2}}

// trimmed is a number to so many decimals, without idle zeros.
func trimmed(x float64, decimals int) string {
	words := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(words, ".") {
		words = strings.TrimRight(strings.TrimRight(words, "0"), ".")
	}
	return words
}

// judged is a row with what is wrong at it.
func (b *Board) judged(row Row) Row {
	for _, p := range b.sheet.Problems {
		if leadsInto(p.Path, row.Path) && (row.Takes != tomlfile.Corners || p.Path == row.Path) {
			row.Wrong = p.What
			break
		}
	}
	return row
}

func under(table, key string) string {
	if table == "" {
		return key
	}
	return table + "." + key
}

// read takes the row's value from the file.
func (r *Row) read(values *tomlfile.Values) {
	if text, ok := values.Text(r.Path); ok {
		r.Value, r.Given = text, true
	} else if list, ok := values.Texts(r.Path); ok {
		r.Value, r.Given = strings.Join(list, ", "), true
	} else if raw, ok := values.Raw(r.Path); ok {
		r.Value, r.Given = raw, true
	}
	switch {
	case r.Takes == tomlfile.Corners && r.Given:
		r.Value = units.Counted(values.Length(r.Path), "corner")
	case !r.Given:
		r.Value = r.Usual
	}
	if r.Takes == tomlfile.Flags {
		r.Value = map[string]string{"true": "yes"}[r.Value]
		if r.Value == "" {
			r.Value = "no"
		}
	}
	r.Value = strings.Join(strings.Fields(r.Value), " ")
}

// about says what may stand in a row.
func (r *Row) about() string {
	words := ""
	switch r.Takes {
	case tomlfile.Flags:
		words = "yes or no"
	case tomlfile.OneWord:
		words = strings.Join(r.Words, ", ")
	case tomlfile.OneName:
		words = "the name of a " + r.Refer
	case tomlfile.Names:
		words = "names of " + r.Refer + "s, with commas"
	case tomlfile.Places:
		words = "x, y"
	case tomlfile.Corners:
		words = "its corners: a row each"
	case tomlfile.Wholes, tomlfile.Numbers, tomlfile.Quantities:
		if words = r.Low + " to " + r.High; r.Low == "" {
			words = "a number"
		}
		if r.Zero != "" {
			words += ", or 0: " + r.Zero
		}
	case tomlfile.Lists:
		words = "a list, as the file has it"
	}
	switch {
	case r.Need != "":
		words += "; must be given"
	case r.Usual != "":
		words += "; usually " + r.Usual
	}
	return strings.TrimPrefix(words, "; ")
}

// Choices are the words that a row takes; nil: any.
func (b *Board) Choices(r Row) []string {
	switch r.Takes {
	case tomlfile.OneWord:
		return r.Words
	case tomlfile.Flags:
		return []string{"yes", "no"}
	}
	return b.subject.Names(b.sheet, r.Key)
}

// Write writes what was typed for a row; nothing typed takes the key away.
func (b *Board) Write(r Row, typed string) error {
	typed = strings.TrimSpace(typed)
	if r.Given && typed == r.Value { // as it is told, which may be rounded: the file's own digits stay
		b.Drop()
		return nil
	}
	if typed == "" {
		return b.Clear(r)
	}
	edits, err := b.typed(r, typed)
	if err != nil {
		return err
	}
	if r.Name == "name" && r.Given && r.Value != typed {
		edits = append(edits, b.renamed(r, typed)...)
	}
	return b.Do(fmt.Sprintf("%s of %s: %s", strings.TrimSpace(r.Label), b.words(), typed), edits...)
}

// Switch puts a name into a row's list of names, or takes it out.
func (b *Board) Switch(r Row, name string) error {
	names := each(r.Value, strings.TrimSpace)
	if i := slices.Index(names, name); i >= 0 {
		names = slices.Delete(names, i, i+1)
	} else {
		names = append(names, name)
	}
	return b.Write(r, strings.Join(names, ", "))
}

// Has reports whether a row's value is a word, or has it among its names.
func (r Row) Has(word string) bool {
	return r.Value == word || r.Takes == tomlfile.Names && slices.Contains(each(r.Value, strings.TrimSpace), word)
}

// Clear takes a row's key away: then it is as usual.
func (b *Board) Clear(r Row) error {
	switch {
	case r.Need != "":
		return fmt.Errorf("%s must be given, for example %s", r.Name, r.Need)
	case !r.Given:
		return nil
	}
	return b.Do(fmt.Sprintf("%s of %s away", strings.TrimSpace(r.Label), b.words()), Take(r.Path))
}

// words are what the table chosen is called.
func (b *Board) words() string {
	for _, g := range b.sheet.Groups {
		for _, item := range g.Items {
			if item.Path == b.chosen {
				return item.Words
			}
		}
	}
	return b.Name()
}

// Turn makes a row's number larger by steps, takes the next of its words, or the other of yes and no. It is tried until
// Keep.
func (b *Board) Turn(r Row, steps int) error {
	if choices := b.Choices(r); len(choices) > 0 && r.Takes != tomlfile.Names && r.Takes != tomlfile.Places {
		n := len(choices)
		at := slices.Index(choices, r.Value)
		if at < 0 && steps < 0 {
			at = 0
		}
		edits, err := b.typed(r, choices[((at+steps)%n+n)%n])
		if err != nil {
			return err
		}
		return b.Try(edits...)
	}
	switch r.Takes {
	case tomlfile.Quantities, tomlfile.Wholes, tomlfile.Numbers:
	default:
		return fmt.Errorf("%s is typed, there is no next one: write %s", strings.TrimSpace(r.Label), r.About)
	}
	number, unit, _ := strings.Cut(r.Value, " ")
	if unit == "" && r.Takes == tomlfile.Quantities {
		unit = b.unit(r.Value, r)
	}
	x, err := strconv.ParseFloat(number, 64)
	if r.Value != "" && err != nil {
		return fmt.Errorf("%q is no number to turn: type one", r.Value)
	}
	x += float64(steps) * by(x, unit, r.Takes)
	edits, err := b.typed(r, strings.TrimSpace(units.Decimal(x, 0)+" "+unit))
	if err != nil {
		return err
	}
	return b.Try(edits...)
}

// by is how much a number is turned by.
func by(x float64, unit string, takes tomlfile.Takes) float64 {
	switch {
	case takes == tomlfile.Wholes || unit == "deg" || unit == "s":
		return 1
	case unit == "mm" || unit == "g":
		return 5
	case unit == "in":
		return 0.25
	case math.Abs(x) >= 1 && unit == "":
		return 0.5
	}
	return 0.05
}

// typed are the edits that a typed text stands for.
func (b *Board) typed(r Row, text string) ([]Edit, error) {
	switch r.Takes {
	case tomlfile.Quantities:
		text, err := b.quantity(r.Value, r, text)
		return []Edit{Set(r.Path, quoted(text))}, err
	case tomlfile.Wholes, tomlfile.Numbers:
		if x, err := strconv.ParseFloat(text, 64); err == nil && !math.IsInf(x, 0) && !math.IsNaN(x) {
			return []Edit{Set(r.Path, text)}, nil
		}
		if r.Text {
			return []Edit{Set(r.Path, quoted(text))}, nil
		}
		return nil, fmt.Errorf("%q is no number: write %s", text, r.About)
	case tomlfile.Flags:
		word := map[string]string{"yes": "true", "true": "true", "no": "false", "false": "false"}[strings.ToLower(text)]
		if word == "" {
			return nil, fmt.Errorf("%q is neither yes nor no", text)
		}
		return []Edit{Set(r.Path, word)}, nil
	case tomlfile.OneWord, tomlfile.OneName:
		choices := b.Choices(r)
		if len(choices) > 0 && !slices.Contains(choices, text) {
			return nil, fmt.Errorf("%q is no %s: %s", text, r.Label, wording.Instead(text, choices))
		}
		return []Edit{Set(r.Path, quoted(text))}, nil
	case tomlfile.Names:
		return []Edit{Set(r.Path, "["+strings.Join(each(text, quoted), ", ")+"]")}, nil
	case tomlfile.Places:
		return b.place(r, text)
	case tomlfile.Lists:
		if !strings.HasPrefix(text, "[") {
			text = "[" + text + "]"
		}
		return []Edit{Set(r.Path, text)}, nil
	case tomlfile.Corners:
		return nil, errors.New("its corners have a row each: change one there, or drag it")
	}
	return []Edit{Set(r.Path, quoted(text))}, nil
}

// each gives the parts of a text between commas, changed.
func each(text string, change func(string) string) (list []string) {
	for _, part := range strings.Split(text, ",") {
		if part = strings.TrimSpace(part); part != "" {
			list = append(list, change(part))
		}
	}
	return list
}

// quantity is a typed number with its unit: without one, that of the value before, else the usual one.
func (b *Board) quantity(before string, r Row, text string) (string, error) {
	if x, err := strconv.ParseFloat(text, 64); err == nil {
		unit := b.unit(before, r)
		if unit == "m" && math.Abs(x) > largest {
			unit = "mm"
		}
		text += " " + unit
	}
	_, _, err := units.Parse(r.Unit, text)
	return text, err
}

// largest is the most that a number without a unit is in m: no field is larger, so that more are millimetres.
const largest = 50

// unit is that in which a number is typed, after the value before.
func (b *Board) unit(before string, r Row) string {
	before = cmp.Or(before, told(b.in, strings.Trim(r.Need, `"`)))
	for _, like := range []string{before, strings.Trim(r.Need, `"`), r.Low} {
		if _, unit, found := strings.Cut(like, " "); found && !strings.Contains(like, "[") {
			return strings.Trim(unit, `"`)
		}
	}
	return units.Names(strings.SplitN(r.Unit, "|", 2)[0])[0]
}

// place are the edits of two numbers with a comma between.
func (b *Board) place(r Row, text string) ([]Edit, error) {
	parts := strings.Split(strings.Trim(text, "[]"), ",")
	if len(parts) != 2 {
		return nil, fmt.Errorf("%q is no place: write x, y, such as 600 mm, 450 mm", text)
	}
	var edits []Edit
	var written []string
	before := strings.Split(r.Value+",", ",")
	for i, part := range parts {
		was := strings.TrimSpace(before[i])
		one, err := b.quantity(was, r, strings.Trim(strings.TrimSpace(part), `"`))
		if err != nil {
			return nil, err
		}
		if r.Given && one == was {
			continue
		}
		written = append(written, quoted(one))
		edits = append(edits, Set(fmt.Sprintf("%s[%d]", r.Path, i), quoted(one)))
	}
	if !r.Given {
		return []Edit{Set(r.Path, "["+strings.Join(written, ", ")+"]")}, nil
	}
	return edits, nil
}
