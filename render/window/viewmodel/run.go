package viewmodel

import (
	"slices"
	"strings"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
)

// Run is one rehearsal as the window shows it: the record and what is read off it once.
type Run struct {
	Setup   rehearse.Setup // what was rehearsed
	Record  *record.Record
	Index   *record.Index
	Source  Source // the first robot's routine as it was then
	Marks   []Mark
	Moments []float64 // s: of the events that can be gone to
	Lanes   [][]Lane  // per robot
	Scores  []Score
	Live    bool     // still being driven: the record grows
	Real    *RealRun // the real robot's, by its log; nil: none

	Kept  *Kept   // what its routines did, line by line; nil: not known yet
	Ended float64 // s: when a person ended it; 0: it went to its end

	Setpoints *PlannedRun // as a table has it; nil: none
	Other     *OtherRun   // that was run beside it; nil: none

	series map[seriesKey][]float64
	held   map[holdsKey][]Holds
}

// NewRun reads a record for showing.
func NewRun(setup rehearse.Setup, rec *record.Record, source Source) *Run {
	run := &Run{Setup: setup, Record: rec, Source: source, series: map[seriesKey][]float64{},
		held: map[holdsKey][]Holds{}}
	run.Refresh()
	return run
}

// Refresh reads the record again, which a live run needs whenever it has grown.
func (r *Run) Refresh() {
	r.Index = record.NewIndex(r.Record)
	r.Marks, r.Moments = marks(r.Record), moments(r.Record)
	r.Lanes = r.Lanes[:0]
	for robot := range r.Record.Header.Robots {
		r.Lanes = append(r.Lanes, lanes(r.Record, robot))
	}
	r.Scores = scores(r.Record)
	clear(r.series)
	clear(r.held)
}

// Seconds is the planned length of the session.
func (r *Run) Seconds() float64 {
	var end float64
	for _, phase := range r.Record.Header.Phases {
		end = max(end, phase.Start+phase.Seconds)
	}
	return max(end, r.Index.End())
}

// Phase is the phase at a time and how long it has been going; false before the first.
func (r *Run) Phase(t float64) (phase record.Phase, since float64, ok bool) {
	for _, p := range r.Record.Header.Phases {
		if t >= p.Start {
			phase, since, ok = p, t-p.Start, true
		}
	}
	return phase, since, ok
}

// Source is a routine's text for the notebook.
type Source struct {
	Name  string // file name as events give it
	Path  string // on disk; "" for an embedded routine and one out of a record
	Lines []string
	Text  string // the whole of it, byte for byte

	Module string // of a file that the routine requires: its path from the routine's folder, with slashes; else ""
}

const longestSource = 20000 // lines: more are not shown

// SourceOf splits a text into lines, tabs made two spaces for showing. path is "" where it is no file.
func SourceOf(name, path, text string) Source {
	shown := strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\t", "  ")
	lines := strings.Split(strings.TrimSuffix(shown, "\n"), "\n")
	return Source{Name: name, Path: path, Lines: lines[:min(len(lines), longestSource)], Text: text}
}

// Blank reports whether nothing is written in a file that is there.
func (s Source) Blank() bool {
	return len(s.Lines) > 0 && !slices.ContainsFunc(s.Lines,
		func(line string) bool { return strings.TrimSpace(line) != "" })
}

// Same reports whether two texts are there and the same, so that line numbers of one hold for the other.
func (s Source) Same(other Source) bool {
	one := len(s.Lines) > 0 && len(s.Lines) == len(other.Lines) && &s.Lines[0] == &other.Lines[0]
	return one || len(s.Lines) > 0 && slices.Equal(s.Lines, other.Lines)
}
