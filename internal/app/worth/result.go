package worth

import (
	"chalkfield/fields"
	"chalkfield/internal/base/geom"
)

// Result is what is found.
type Result struct {
	Field   *fields.Field `json:"-"`
	Title   string        `json:"field"`
	Robot   string        `json:"robot"`
	Machine string        `json:"robot_file"` // or the embedded robot's name
	Side    string        `json:"side"`
	Start   geom.Pose     `json:"start"`
	Phase   string        `json:"phase"`
	Tasks   []*Task       `json:"tasks"`          // the best first
	Driver  float64       `json:"driver_seconds"` // the longest driver phase; 0: none
	Cycles  []*Cycle      `json:"cycles"`         // in it
	Alone   []string      `json:"rules_of_no_thing"`
	Places  []string      `json:"places"`
	From    [][]float64   `json:"seconds_between"` // from a place to another, straight or round what stands there
}

// Task is something to do, and what it brings.
type Task struct {
	What      string   `json:"what"`
	Thing     string   `json:"thing"`
	Place     string   `json:"place"`
	Rules     []string `json:"rules"`
	Points    float64  `json:"points"`
	Each      float64  `json:"more_for_each_piece"` // in a goal that is moved
	Drive     Way      `json:"drive"`
	Mechanism float64  `json:"mechanism"` // s
	Chance    float64  `json:"chance"`
	PerSecond float64  `json:"points_per_second"`
	At        geom.Vec `json:"at"`                // of the thing, m
	Already   bool     `json:"already,omitempty"` // it is so from the start
	Not       string   `json:"not,omitempty"`     // why it cannot be done
}

// Seconds is all that it takes.
func (t *Task) Seconds() float64 { return t.Drive.Seconds + t.Mechanism }

// Cycle is what is done again and again: to fetch pieces, and put them into a goal.
type Cycle struct {
	Place     string  `json:"place"`
	Pieces    float64 `json:"pieces"` // a cycle, on average
	Points    float64 `json:"points"` // a cycle
	Seconds   float64 `json:"seconds"`
	Fit       int     `json:"fit"` // cycles in the phase
	Total     float64 `json:"total"`
	Ends      string  `json:"ends"` // why no more fit
	PerSecond float64 `json:"points_per_second"`
}

// Options are what is looked at.
type Options struct {
	Side    string // "": the first
	Session string // "": the first
	Start   *geom.Pose
}

// close works out what a second brings.
func (t *Task) close() *Task {
	if t.Drive.blocked {
		t.Not = "no way round what stands there"
	}
	if t.Not == "" && t.Seconds() > 0 {
		t.PerSecond = t.Points * t.Chance / t.Seconds()
	}
	return t
}
