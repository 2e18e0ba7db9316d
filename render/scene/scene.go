// Package scene describes what a picture of a rehearsal shows, as plain data: layers of shapes and labels in field
// coordinates, and the furniture around them (title, score sheet, legend, events). The window, PNG and SVG all draw the
// same Scene, so they agree. Nothing here measures text or knows of pixels beyond the sizes that it asks for; that is
// render/scene/paint's.
//
// Frame: the field's, x right, y up, metres and radians. Pixels are those of a picture at its everyday size: a painter
// for a denser screen multiplies them.
package scene

import "chalkfield/internal/base/geom"

// Scene is one picture. What Builder.Build returns is valid until its next Build.
type Scene struct {
	Ground    Colour   // behind everything
	Low, High geom.Vec // extents to show, m
	Layers    []Layer  // bottom first, only those that are shown
	Robots    []Around // other labels step back from them
	Furniture Furniture
}

// Around is a circle about something, m.
type Around struct {
	At     geom.Vec
	Radius float64
}

// Layer is what one overlay draws.
type Layer struct {
	Overlay Overlay
	Items   []Item // in drawing order
	Labels  []Label
}

// Item is one shape. Which members count depends on Kind.
type Item struct {
	Kind    Kind
	Points  []geom.Vec // Area: corners; Line: the polyline, m
	Shades  []Colour   // Line: colour of the stretch that starts at each point; nil: the pen's
	At      geom.Vec   // Disc, Mark: centre, m
	Radius  Size       // Disc, Mark
	Shape   Shape      // Mark
	Heading float64    // Mark: turned by this much, rad
	Fill    Colour     // Area, Disc, Mark; zero: not filled
	Pen     Pen        // outline, or the line itself; zero: none
	Avoid   bool       // labels keep off it where they can
}

// Kind of an Item.
type Kind uint8

const (
	Area Kind = iota // closed polygon
	Line             // open polyline
	Disc
	Mark // a small shape whose form has a meaning
)

// Size is a length in the picture: so many metres of the field plus so many pixels.
type Size struct{ Metres, Pixels float64 }

// Pen draws lines. The zero Pen draws nothing.
type Pen struct {
	Width  float64 // pixels
	Colour Colour
	Dash   Dash
}

// Dash is a line's pattern.
type Dash uint8

const (
	Solid   Dash = iota
	Dashed       // a belief, or where something was
	Dotted       // what links two places
	Chained      // a plan: dash and dot by turns
	Paired       // the way of another robot: two dots and a gap
	Long         // what a log says of the real robot
	Tripled      // where a table of setpoints wants it: a dash and two dots
)

// Label is text that names something of the field. Its place is chosen when it is drawn, near At, upright, on a plate
// of its own, so that it is readable over anything; a label for which there is no room is left out, never cut.
type Label struct {
	Words    string
	Number   int      // > 0: an event's number instead of Words; neighbours share one label ("4-7")
	At       geom.Vec // m
	Clear    Size     // radius about At that belongs to the thing itself
	Centred  bool     // its best place is on At
	Near     bool     // left out rather than put farther off, where it would need a line to its thing
	Beside   geom.Vec // not zero: only ever on this side of At, x right, y down: {-1, 0} is left of it
	Size     float64  // of the letters, pixels (em)
	Bold     bool
	Colour   Colour  // legible on Plate
	Mark     Shape   // drawn before the words; NoShape: none
	Tint     Colour  // of the mark
	Rank     Rank    // who chooses first
	MinScale float64 // pixels per metre below which it is not wanted
}

// Rank orders labels: a lower one chooses its place first.
type Rank uint8

const (
	RankGrid  Rank = iota // coordinates at the floor's edge
	RankCount             // pieces in a goal
	RankRobot
	RankPart // mechanisms at the robot's ends
	RankBelief
	RankEvent
	RankTick
	RankMinorTick
	RankZone
	RankGoal
	RankContact
	RankLine
	RankPiece
)
