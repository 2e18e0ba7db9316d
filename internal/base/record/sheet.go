package record

import (
	"fmt"
	"strconv"
	"strings"

	"chalkfield/internal/base/units"
)

// Sheet is the score sheet: each rule, its count and its points, per side.
type Sheet struct {
	Sides  []string  `json:"sides"`
	Rows   []Row     `json:"rows"`
	Total  []float64 `json:"total"`            // per side
	Winner int       `json:"winner"`           // index of a side, -1 for a draw
	Broken string    `json:"broken,omitempty"` // the rule that broke a tie
	Left   []Left    `json:"left"`             // per robot: what it has left; no points
	Energy []Energy  `json:"energy,omitempty"` // per robot: where its energy went; no points
}

// Totals are the points of each side, in order.
type Totals []Number

// String is "ochre 4, teal 2".
func (t Totals) String() string {
	words := make([]string, len(t))
	for i, side := range t {
		words[i] = side.Name + " " + strconv.FormatFloat(side.Value, 'g', 6, 64)
	}
	return strings.Join(words, ", ")
}

// Totals of the sheet.
func (s *Sheet) Totals() Totals {
	list := make(Totals, len(s.Sides))
	for i, side := range s.Sides {
		list[i] = Number{Name: side, Value: s.Total[i]}
	}
	return list
}

// Points are the totals as a sheet shows them, one a side; nothing where one is not known.
func (s *Sheet) Points() []string {
	words := make([]string, len(s.Sides))
	for i := range s.Total[:min(len(s.Total), len(words))] {
		words[i] = strconv.FormatFloat(s.Total[i], 'g', 6, 64)
	}
	return words
}

// Energy is a robot's balance over the run, in J: Taken is the sum of the others.
type Energy struct {
	Taken   float64 `json:"taken"`           // out of the battery's cells
	Battery float64 `json:"battery"`         // lost in the battery's resistance
	Motors  float64 `json:"motors"`          // heat and friction of all motors, and what braking gives back
	Gears   float64 `json:"gears"`           // lost in gears and bearings
	Rolling float64 `json:"rolling"`         // rolling resistance of the wheels
	Slip    float64 `json:"slip"`            // creep and sliding of the tyres
	Walls   float64 `json:"walls,omitempty"` // lost against walls
	Pushed  float64 `json:"pushed"`          // given to what the robot met, picked up or hauled; below 0: it was pushed
	// given to intakes, conveyors and lifts: to move, to lift, against their friction
	Mechanisms float64 `json:"mechanisms"`
	Kinetic    float64 `json:"kinetic"` // still in motion, wheels and rotors included
}

// Left is what a robot has left at the end.
type Left struct {
	Battery float64 `json:"battery"`       // V at the terminals
	Air     float64 `json:"air,omitempty"` // Pa gauge
	Strokes int     `json:"strokes"`       // piston strokes that drew air
}

// In is "battery 12.38 V, air 596 kPa after 1 stroke"; air only for a robot that has it.
func (l Left) In(in units.System) string {
	words := fmt.Sprintf("battery %.2f V", l.Battery)
	if l.Air == 0 && l.Strokes == 0 {
		return words
	}
	words += in.Sprintf(", air %.0f kPa after %d stroke", l.Air, l.Strokes)
	if l.Strokes != 1 {
		words += "s"
	}
	return words
}

// Row is one rule's line; Count and Points have one entry a side.
type Row struct {
	Rule   string    `json:"rule"`
	Count  []float64 `json:"count"`
	Points []float64 `json:"points"`
}

// Cells are what each side has by a rule, the same wherever a sheet is shown: "2 -> 4", its count and its points, or
// "-" for nothing.
func (r *Row) Cells(sides int) []string {
	cells := make([]string, sides)
	for side := range cells {
		cells[side] = "-"
		if side < min(len(r.Count), len(r.Points)) && (r.Count[side] != 0 || r.Points[side] != 0) {
			cells[side] = fmt.Sprintf("%.6g -> %.6g", r.Count[side], r.Points[side])
		}
	}
	return cells
}

// Ahead says who has won, and by which rule if points did not decide it; nothing of a side alone.
func (s *Sheet) Ahead() string {
	switch {
	case len(s.Sides) < 2:
		return ""
	case s.Winner < 0 || s.Winner >= len(s.Sides):
		return "a draw"
	case s.Broken != "":
		return s.Sides[s.Winner] + " is ahead by " + s.Broken
	}
	return s.Sides[s.Winner] + " is ahead"
}
