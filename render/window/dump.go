package window

import (
	"bytes"
	"encoding/json"
	"os"

	"chalkfield/internal/base/record"
	"chalkfield/render/window/viewmodel"
)

// dumper writes the window's state to a file at every update: what tests look at. Not for users.
type dumper struct {
	path string // "": nothing is written
	last []byte

	updates int64 // of the window so far
	drawn   int64 // the update that was drawn last
	frames  int64 // drawn so far
}

// state is what the dump holds.
type state struct {
	viewmodel.State
	Width       float64         `json:"width"` // logical points
	Height      float64         `json:"height"`
	Density     float64         `json:"density"` // pixels a point
	Parts       map[string]Rect `json:"parts"`   // where the parts of the window are, points
	Buttons     map[string]Rect `json:"buttons"` // what can be clicked
	Card        string          `json:"card"`    // or the list beside the field while it has the keys
	Filter      string          `json:"filter"`
	Tab         string          `json:"tab"`
	Lit         []int           `json:"lit"`          // lines lit in the routine
	Cut         []string        `json:"cut"`          // texts that had no room
	Hidden      string          `json:"hidden"`       // what is said of charts without room
	HiddenLanes string          `json:"hidden_lanes"` // what is said of lanes without room
	Places      []place         `json:"places"`       // of robots and bodies on the screen, points
	Span        [2]float64      `json:"span"`         // stretch of time of the strip
	Strip       Rect            `json:"strip"`        // where that stretch is
	View        [3]float64      `json:"view"`         // points a metre, place of the field's origin
	Updates     int64           `json:"updates"`      // of the window so far
	Drawn       int64           `json:"drawn"`        // the update that the picture on the screen shows
	Frames      int64           `json:"frames"`       // drawn so far
	Built       string          `json:"built"`        // how what is built stands
}

// place is where a thing is on the screen.
type place struct {
	Name string  `json:"name"`
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
}

// state gathers the dump. Nothing is gathered when nobody wants it.
func (g *game) state() *state {
	if g.dump.path == "" {
		return nil
	}
	s := &state{
		State: g.model.State(), Width: g.width, Height: g.height, Density: g.density, Tab: string(g.model.Tab),
		Lit:     g.model.LitLines(),
		Parts:   g.frame.parts(),
		Buttons: map[string]Rect{}, Cut: g.cut, Hidden: g.charts.hidden(), HiddenLanes: g.strip.hidden(),
		Strip: g.strip.timeArea(),
	}
	s.Span[0], s.Span[1] = g.strip.span()
	for _, e := range g.elements {
		s.Buttons[e.Name] = e.Rect
	}
	if c := g.front(); c != nil {
		s.Card, s.Filter = c.name, c.filter
	}
	v := g.field.view
	s.View = [3]float64{v.Scale, v.Origin.X, v.Origin.Y}
	s.Updates, s.Drawn, s.Frames = g.dump.updates, g.dump.drawn, g.dump.frames
	s.Places = g.field.places()
	if board := g.model.Board(); board != nil {
		v = g.bench.view
		s.View = [3]float64{v.Scale, v.Origin.X, v.Origin.Y}
		s.Built, s.Selected, s.Places = boardWords(board.Sheet()), board.Chosen(), g.bench.places()
	}
	return s
}

func (v *fieldView) places() []place {
	run := v.model.Now
	if run == nil || v.view.Scale == 0 {
		return nil
	}
	var list []place
	put := func(thing viewmodel.Thing) {
		if pose, ok := run.PoseOf(thing, v.model.Time); ok {
			at := v.view.Pixel(pose.At())
			list = append(list, place{v.model.NameOf(thing), record.Round(at.X), record.Round(at.Y)})
		}
	}
	for i := range run.Record.Header.Robots {
		put(viewmodel.Thing{Kind: viewmodel.RobotThing, Index: i})
	}
	for id, body := range run.Record.Header.Bodies {
		kind := viewmodel.PieceThing
		if body.Goal {
			kind = viewmodel.GoalThing
		}
		put(viewmodel.Thing{Kind: kind, Index: id})
	}
	return list
}

// write puts the state in the file if it is another than before. A reader sees a whole one, old or new.
func (d *dumper) write(s *state) {
	if s == nil {
		return
	}
	data, err := json.Marshal(s)
	if err != nil || bytes.Equal(data, d.last) {
		return
	}
	d.last = data
	if os.WriteFile(d.path+".new", data, 0o600) == nil {
		_ = os.Rename(d.path+".new", d.path) // a test that waits for the file says what is missing
	}
}
