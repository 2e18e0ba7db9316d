package check

import (
	"bufio"
	"bytes"
	"chalkfield/internal/base/geom"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"

	"chalkfield/internal/base/record"
)

// A golden file is what a team once looked at and found good: the robot's way ten times a second, what it did, the
// score sheet. It is JSON Lines in millimetres and degrees, short enough to be read in a review, where its differences
// show what a change of the routine changed.

// goldenFormat and goldenVersion open the file.
const (
	goldenFormat  = "chalkfield golden"
	goldenVersion = 1
)

// goldenEvery is how many samples are passed from one pose to the next: ten poses a second.
const goldenEvery = 5

type golden struct {
	head   goldenHead
	poses  []goldenPose
	events []goldenEvent
	sheet  goldenSheet
}

type goldenHead struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	Routine string `json:"routine"`
	Session string `json:"session"`
	Seed    uint64 `json:"seed"`
	Nominal bool   `json:"nominal"`
}

type goldenPose struct {
	T  float64    `json:"t"`  // s
	At [3]float64 `json:"at"` // mm, mm, deg
}

type goldenEvent struct {
	T    float64     `json:"t"`
	Kind record.Kind `json:"event"`
	What string      `json:"what,omitempty"`
}

func (e goldenEvent) name() string { return record.EventName{Kind: e.Kind, What: e.What}.String() }

type goldenSheet struct {
	Total []float64    `json:"total"`
	Rows  []record.Row `json:"rows"`
}

// goldenLine is one line of the file: exactly one member is set.
type goldenLine struct {
	Head  *goldenHead  `json:"golden,omitempty"`
	Pose  *goldenPose  `json:"pose,omitempty"`
	Event *goldenEvent `json:"did,omitempty"`
	Sheet *goldenSheet `json:"sheet,omitempty"`
}

// goldenOf takes from a record what a golden file keeps.
func goldenOf(r *record.Record) *golden {
	h := &r.Header
	g := &golden{
		head:  goldenHead{goldenFormat, goldenVersion, h.Robots[own].Routine.Name, h.Session, h.Seed, h.Nominal},
		sheet: goldenSheet{r.Sheet.Total, r.Sheet.Rows},
	}
	for i := 0; i < len(r.Samples); i += goldenEvery {
		s := &r.Samples[i]
		p := s.Robots[own].True
		g.poses = append(g.poses, goldenPose{s.T, [3]float64{rounded(1000*p[0], 10), rounded(1000*p[1], 10),
			rounded(geom.Degrees(p[2]), 100)}})
	}
	for _, e := range r.Events {
		if e.Robot == own && e.Kind.Is(record.Golden) {
			g.events = append(g.events, goldenEvent{e.T, e.Kind, e.What})
		}
	}
	return g
}

func rounded(x, parts float64) float64 { return math.Round(x*parts)/parts + 0 }

// rewrite says what to do about a golden record that no longer serves.
const rewrite = ": write it anew with `chalkfield check --accept`"

// write writes the file's lines; poses and events in order of time.
func (g *golden) write(w io.Writer) error {
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	if err := out.Encode(goldenLine{Head: &g.head}); err != nil {
		return err
	}
	next := 0
	for i := range g.poses {
		for ; next < len(g.events) && g.events[next].T <= g.poses[i].T; next++ {
			if err := out.Encode(goldenLine{Event: &g.events[next]}); err != nil {
				return err
			}
		}
		if err := out.Encode(goldenLine{Pose: &g.poses[i]}); err != nil {
			return err
		}
	}
	for ; next < len(g.events); next++ {
		if err := out.Encode(goldenLine{Event: &g.events[next]}); err != nil {
			return err
		}
	}
	return out.Encode(goldenLine{Sheet: &g.sheet})
}

// readGolden reads the file's bytes; name is for errors, which give the line.
func readGolden(name string, data []byte) (*golden, error) {
	g := &golden{}
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, 1<<20)
	number, finished := 0, false
	for lines.Scan() {
		number++
		var one goldenLine
		in := json.NewDecoder(bytes.NewReader(lines.Bytes()))
		in.DisallowUnknownFields()
		err := in.Decode(&one)
		if err == nil {
			finished, err = one.Sheet != nil, g.take(one, number, finished)
		}
		if err != nil {
			return nil, fmt.Errorf("%s:%d: not a line of a golden file (%v)%s", name, number, err, rewrite)
		}
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("%s:%d: %w", name, number+1, err)
	}
	if !finished || len(g.poses) == 0 {
		return nil, fmt.Errorf("%s:%d: the golden file is cut%s", name, number, rewrite)
	}
	return g, nil
}

func (g *golden) take(one goldenLine, number int, finished bool) error {
	if finished || (number == 1) != (one.Head != nil) {
		return errors.New("the head must come first and the sheet last")
	}
	switch {
	case one.Head != nil:
		if one.Head.Format != goldenFormat || one.Head.Version != goldenVersion {
			return fmt.Errorf("format %q version %d, this program reads %q version %d", one.Head.Format, one.Head.Version,
				goldenFormat, goldenVersion)
		}
		g.head = *one.Head
	case one.Pose != nil:
		if n := len(g.poses); n > 0 && one.Pose.T <= g.poses[n-1].T {
			return errors.New("times must rise")
		}
		g.poses = append(g.poses, *one.Pose)
	case one.Event != nil:
		g.events = append(g.events, *one.Event)
	case one.Sheet != nil:
		g.sheet = *one.Sheet
	default:
		return errors.New("it is empty")
	}
	return nil
}
