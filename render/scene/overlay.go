package scene

import "strings"

// Overlay is a set of the layers and furniture that can be shown or hidden.
type Overlay uint32

// The overlays, in drawing order.
const (
	Floor Overlay = 1 << iota
	Zones
	Lines
	Walls
	Goals
	Pieces
	Plan
	Trail
	Slip
	Ticks
	Robots
	Rays
	Belief
	Contacts
	Events
	Labels
	ScoreBox
	Legend
	overlayEnd
)

// Everything is all overlays; Usual leaves out what only matters while hunting a fault.
const (
	Everything = overlayEnd - 1
	Usual      = Everything &^ (Slip | Rays)
)

const layerCount = 16 // Floor to Labels; the score box and the legend are furniture

var overlayNames = [...]string{
	"floor", "zones", "lines", "walls", "goals", "pieces", "plan", "trail", "slip", "ticks", "robots", "rays", "belief",
	"contacts", "events", "labels", "score box", "legend",
}

// String names the overlays of the set, joined by " + ".
func (o Overlay) String() string {
	var names []string
	for i, name := range overlayNames {
		if o&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	return strings.Join(names, " + ")
}

// Has reports whether all of p is in the set.
func (o Overlay) Has(p Overlay) bool { return o&p == p }
