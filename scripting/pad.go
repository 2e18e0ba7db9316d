package scripting

// PadState is a driver's controller at one moment.
type PadState struct {
	LeftX, LeftY, RightX, RightY float64  // sticks, -1..1, y forward, x right
	Buttons                      []string // names of the buttons that are down, sorted
}
