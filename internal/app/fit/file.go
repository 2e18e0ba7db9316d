package fit

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// File is a robot file with what was fitted in it.
type File struct {
	Text    []byte
	Changes []Edit
}

// Edit is a value that was written into a robot file, as texts of the file.
type Edit struct {
	Path     string `json:"path"`
	Before   string `json:"before"` // "" for a key that was left out
	After    string `json:"after"`
	Interval string `json:"interval"` // "44.2 and 44.6 mm"; "" for none
}

// Into writes what was fitted into a robot file and leaves all else in it as it is. Each value stands in the unit that
// the file has for it, with as many digits as its interval warrants, and its interval and the logs behind it in a
// comment.
func (r *Result) Into(spec *robot.Robot) (*File, error) {
	var err error
	for _, more := range []float64{0, 0.001, 0.003, 0.01, 0.03} {
		var file *File
		if file, err = r.into(spec, 1+more); err != nil {
			return nil, fmt.Errorf("%s: %w", spec.Name, err)
		}
		if _, err = robot.Parse(spec.Name, file.Text); err == nil {
			return file, nil
		}
	}
	return nil, fmt.Errorf("what the logs say makes no robot: %w", err)
}

// into writes values that follow from others somewhat larger: a stall current that is the least for a torque is too
// small for that torque rounded up.
func (r *Result) into(spec *robot.Robot, larger float64) (*File, error) {
	out, text := &File{}, []byte(spec.Text)
	var changes []tomlfile.Change
	for _, p := range r.Parameters {
		for _, s := range p.Settings {
			_, _, there := tomlfile.Written(text, s.Path)
			switch {
			case p.State == Derived && there, p.State == Fitted && strings.HasSuffix(s.Path, ".stall_current"):
				s.Value *= larger
			case p.State != Fitted || p.Low == p.High && p.After == p.Before:
				continue // what follows from others, or is as it was, need not be said
			}
			value, edit := p.write(s, text)
			changes = append(changes, tomlfile.Change{Path: s.Path, Value: value})
			out.Changes = append(out.Changes, edit)
		}
	}
	text, err := withMotor(text, spec.Motors[0], changes)
	if err != nil {
		return nil, err
	}
	out.Text, err = tomlfile.Rewrite(text, changes, tomlfile.Remark{Earlier: earlier, Of: r.remark(out.Changes)})
	return out, err
}

// withMotor adds the usual motor to a file that names none, if one of its values is to be written.
func withMotor(text []byte, usual robot.Motor, changes []tomlfile.Change) ([]byte, error) {
	const motor = "motors[0]."
	_, _, there := tomlfile.Written(text, motor+"name")
	if there || !slices.ContainsFunc(changes, func(c tomlfile.Change) bool { return strings.HasPrefix(c.Path, motor) }) {
		return text, nil
	}
	var err error
	for _, c := range []tomlfile.Change{{Path: "name", Value: usual.Name},
		{Path: "stall_torque", Value: units.Like("", usual.StallTorque, 0, "N m")},
		{Path: "free_speed", Value: units.Like("", usual.FreeSpeed, 0, "rad/s")},
		{Path: "inertia", Value: units.Like("1 kg cm^2", usual.Inertia, 0, "kg m^2")}} {
		if text, err = tomlfile.Edit(text, motor+c.Path, strconv.Quote(c.Value)); err != nil {
			return nil, err
		}
	}
	return text, nil
}

// write gives a value as TOML, and in words.
func (p *Parameter) write(s Setting, text []byte) (value string, words Edit) {
	old, quotes, there := tomlfile.Written(text, s.Path)
	if !there && s.Unit != "" {
		quotes = `"`
	}
	words = Edit{Path: s.Path, Before: old, After: Printed(old, s.Value, p.off(s.Value), s.Unit)}
	if p.Low != p.High {
		from, to := p.Low*p.share(s.Value), p.High*p.share(s.Value)
		words.Interval = Between(old, min(from, to), max(from, to), s.Unit)
	}
	return quotes + words.After + quotes, words
}

// share is what a value of the file is worth of the parameter, which may be a factor on several.
func (p *Parameter) share(value float64) float64 {
	if p.After == 0 || value == p.After {
		return 1
	}
	return value / p.After
}

// off is how far a value may be off: half its interval, 0 if there is none.
func (p *Parameter) off(value float64) float64 {
	if p.beside > 0 {
		return p.beside
	}
	return math.Abs(p.High-p.Low) / 2 * math.Abs(p.share(value))
}

// Printed is a value as a file's text is written; si "" is of a bare number.
func Printed(like string, value, off float64, si string) string {
	if si == "" {
		return units.Decimal(value, off)
	}
	return units.Like(like, value, off, si)
}

// Between is an interval as a file's text is written: "44.2 and 44.6 mm".
func Between(like string, low, high float64, si string) string {
	off := math.Abs(high-low) / 2
	from, to := Printed(like, low, off, si), Printed(like, high, off, si)
	number, _, _ := strings.Cut(from, " ")
	return number + " and " + to
}

// earlier is a comment that remark wrote.
var earlier = regexp.MustCompile(`[#;] fitted(, 95 % between.*| with others|), (\d+ logs|log) [0-9a-f]{8}$`)

// remark is the comment on what was changed in a line.
func (r *Result) remark(edits []Edit) func(line []tomlfile.Change) string {
	interval := map[string]string{}
	for _, e := range edits {
		interval[e.Path] = e.Interval
	}
	return func(line []tomlfile.Change) string {
		var known []string
		for _, c := range line {
			switch words := interval[c.Path]; {
			case words == "":
			case len(line) == 1:
				known = append(known, words)
			default:
				known = append(known, c.Path+" "+words)
			}
		}
		if known == nil {
			return "# fitted with others, " + r.From()
		}
		return fmt.Sprintf("# fitted, 95 %% between %s, %s", strings.Join(known, ", "), r.From())
	}
}

// From names the logs by a hash: "log 1a2b3c4d", that of the file; of several "8 logs 1a2b3c4d", the SHA-256 of their
// SHA-256, in hexadecimal and in order.
func (r *Result) From() string {
	if len(r.Logs) == 1 {
		return fmt.Sprintf("log %.8s", r.Logs[0].SHA256)
	}
	all := sha256.New()
	for _, log := range r.Logs {
		all.Write([]byte(log.SHA256))
	}
	return fmt.Sprintf("%d logs %.8s", len(r.Logs), hex.EncodeToString(all.Sum(nil)))
}
