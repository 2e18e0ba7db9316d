package rehearse

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"chalkfield/internal/base/wording"
	"chalkfield/scripting"
)

// InputScript is a pad that plays a table of times and controls: what a driver does in a run without a window.
type InputScript struct {
	times  []float64
	states []scripting.PadState
}

// padColumns is the header of an input script.
var padColumns = []string{"time", "left_x", "left_y", "right_x", "right_y", "buttons"}

// ReadInputScript reads a CSV file with the columns time (s), left_x, left_y, right_x, right_y (-1 to 1) and buttons
// (names joined by +, or empty). A row holds until the next one's time. Errors name file and line.
func ReadInputScript(name string, in io.Reader) (*InputScript, error) {
	reader := csv.NewReader(in)
	reader.Comment = '#'
	reader.TrimLeadingSpace = true
	header, err := reader.Read()
	if err != nil || !slices.Equal(header, padColumns) {
		return nil, fmt.Errorf("%s:%d: this is no pad file: its first line is %s and each further one a row such as "+
			"20,0,0.8,0,0,a+b",
			name, headerLine(reader, header, err), strings.Join(padColumns, ","))
	}
	script := &InputScript{}
	for {
		row, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return script, nil
		}
		if err != nil {
			return nil, scriptError(name, err)
		}
		line, _ := reader.FieldPos(0) // there is none where the first field is wrong
		if err := script.add(row); err != nil {
			return nil, fmt.Errorf("%s:%d: %w", name, line, err)
		}
	}
}

// WriteInputScript writes what a pad gave, in order of time, s: a row whenever it was another.
func WriteInputScript(out io.Writer, given iter.Seq2[float64, scripting.PadState]) error {
	w := csv.NewWriter(out)
	if err := w.Write(padColumns); err != nil {
		return err
	}
	var last []string
	for at, state := range given {
		row := make([]string, 0, len(padColumns))
		for _, x := range []float64{at, state.LeftX, state.LeftY, state.RightX, state.RightY} {
			row = append(row, strconv.FormatFloat(x, 'f', -1, 64))
		}
		row = append(row, strings.Join(state.Buttons, "+"))
		if last != nil && slices.Equal(row[1:], last[1:]) {
			continue
		}
		if last = row; w.Write(row) != nil {
			break
		}
	}
	w.Flush()
	return w.Error()
}

// headerLine is the first line that is no comment.
func headerLine(reader *csv.Reader, header []string, err error) int {
	var parse *csv.ParseError
	switch {
	case errors.As(err, &parse):
		return parse.StartLine
	case len(header) == 0:
		return 1
	}
	line, _ := reader.FieldPos(0)
	return line
}

func scriptError(name string, err error) error {
	var parse *csv.ParseError
	switch {
	case errors.Is(err, csv.ErrFieldCount) && errors.As(err, &parse):
		return fmt.Errorf("%s:%d: a row has %d values, %s: write, for example, 20,0,0.8,0,0,a+b", name, parse.Line,
			len(padColumns), strings.Join(padColumns, ","))
	case errors.As(err, &parse):
		return fmt.Errorf("%s:%d: no quotes stand in a pad file: write, for example, 20,0,0.8,0,0,a+b", name, parse.Line)
	}
	return fmt.Errorf("%s: %w", name, err) // of reading, not of what is read
}

func (s *InputScript) add(row []string) error {
	var numbers [5]float64
	for i := range numbers {
		x, err := strconv.ParseFloat(row[i], 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("%s: %q is not a number", padColumns[i], row[i])
		}
		if i > 0 && math.Abs(x) > 1 {
			return fmt.Errorf("%s: %g is outside -1 to 1", padColumns[i], x)
		}
		numbers[i] = x
	}
	if numbers[0] < 0 {
		return fmt.Errorf("time: %g is before the start: write 0 or more", numbers[0])
	}
	if n := len(s.times); n > 0 && numbers[0] <= s.times[n-1] {
		return fmt.Errorf("time %g after %g: times must rise", numbers[0], s.times[n-1])
	}
	state := scripting.PadState{LeftX: numbers[1], LeftY: numbers[2], RightX: numbers[3], RightY: numbers[4]}
	if row[5] != "" {
		state.Buttons = strings.Split(row[5], "+")
		for _, button := range state.Buttons {
			if !slices.Contains(scripting.Buttons, button) {
				return fmt.Errorf("buttons: there is no button %q: %s", button, wording.Instead(button, scripting.Buttons))
			}
		}
		sort.Strings(state.Buttons)
	}
	s.times, s.states = append(s.times, numbers[0]), append(s.states, state)
	return nil
}

// At gives the row that holds at a time, and hands off the sticks before the first.
func (s *InputScript) At(t float64) scripting.PadState {
	const tiny = 1e-9 // times are multiples of the tick, computed in floating point
	next := sort.SearchFloat64s(s.times, t+tiny)
	if next == 0 {
		return scripting.PadState{}
	}
	return s.states[next-1]
}
