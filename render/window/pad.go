package window

import (
	"fmt"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// padMaker makes a driver's controls of the keyboard and of the first gamepad.
type padMaker struct {
	tank     bool
	response viewmodel.ResponseCurve
	puts     puts
	keyed    scripting.PadState // the sticks as the keys have moved them so far
	before   []ebiten.Key       // held since before the drive: the one that began it is no move of a stick
}

// usualResponse is how a gamepad's stick answers until the person chooses otherwise.
var usualResponse = viewmodel.ResponseCurve{Dead: 0.08, Power: 1.5}

// keySpeed is how fast a held key moves its stick: the full way in a quarter of a second.
const keySpeed = 4.0 // 1/s

// driveSheet are the keys of driving for the sheet.
func driveSheet(p puts) [][2]string {
	return [][2]string{
		{p.names(stickForward, stickBack) + ", " + p.names(stickLeft, stickRight) + " or arrows",
			"arcade keys: left stick (left_y), right stick across (right_x)"},
		{p.names(stickForward, stickBack) + ", Up Down", "tank keys: left stick, right stick (choose in the drive card)"},
		{p.names("a", "b", "x", "y"), "buttons a b x y"},
		{p.names("l1", "r1", "l2", "r2"), "buttons l1 r1 l2 r2"},
		{p.names("up", "down", "left", "right"), "buttons up down left right"},
		{"Shift", "half speed"},
		{"Enter, Esc", "start the clock, end the drive"},
		{fmt.Sprintf("1 to %d, F1, F8, F9, F12", len(viewmodel.Tabs)),
			"the notebook's pages, this sheet, other keys (the clock stands), sounds, picture"},
	}
}

// rest puts the sticks that the keys have moved back to the middle.
func (p *padMaker) rest() { p.keyed = scripting.PadState{} }

// spare has keys that are held already count when they are pressed again.
func (p *padMaker) spare(h *hand) { p.before = slices.Clone(h.held) }

// read gives the controls of this Update. While a card lies over the window nothing is held.
func (p *padMaker) read(h *hand, passed float64, covered bool) scripting.PadState {
	if covered {
		p.rest()
		return scripting.PadState{}
	}
	return p.withGamepad(p.keys(h, passed), &h.Gamepad)
}

// tidied is a state with its buttons sorted, each once.
func tidied(state scripting.PadState) scripting.PadState {
	slices.Sort(state.Buttons)
	state.Buttons = slices.Compact(state.Buttons)
	return state
}

func (p *padMaker) keys(h *hand, passed float64) scripting.PadState {
	p.before = slices.DeleteFunc(p.before, func(key ebiten.Key) bool { return !h.holds(key) })
	holds := func(key ebiten.Key) bool { return h.holds(key) && !slices.Contains(p.before, key) }
	full := 1.0
	if h.Shift {
		full = 0.5
	}
	pair := func(more, less ebiten.Key) float64 {
		var to float64
		if holds(more) {
			to += full
		}
		if holds(less) {
			to -= full
		}
		return to
	}
	slew := func(stick *float64, to float64) {
		*stick = viewmodel.Slew(*stick, to, keySpeed*passed)
		if to == 0 { // a stick that is let go is back at once, and must not end the macro of the next button
			*stick = 0
		}
	}
	forward := pair(p.puts.key(stickForward), p.puts.key(stickBack))
	if p.tank {
		slew(&p.keyed.LeftY, forward)
		slew(&p.keyed.RightY, pair(ebiten.KeyArrowUp, ebiten.KeyArrowDown))
		p.keyed.RightX = 0
	} else {
		forward += pair(ebiten.KeyArrowUp, ebiten.KeyArrowDown)
		turn := pair(p.puts.key(stickRight), p.puts.key(stickLeft)) + pair(ebiten.KeyArrowRight, ebiten.KeyArrowLeft)
		slew(&p.keyed.LeftY, min(max(forward, -full), full))
		slew(&p.keyed.RightX, min(max(turn, -full), full))
		p.keyed.RightY = 0
	}
	state := p.keyed
	state.Buttons = nil
	for _, button := range scripting.Buttons {
		key := p.puts.key(button)
		if holds(key) || slices.Contains(h.fresh, key) { // the second: let go again within this Update
			state.Buttons = append(state.Buttons, button)
		}
	}
	return state
}

// withGamepad adds a gamepad's sticks, which win over keys where they are moved, and its buttons.
func (p *padMaker) withGamepad(state scripting.PadState, g *gamepad) scripting.PadState {
	axis := func(stick *float64, at float64) {
		if v := p.response.Command(at); v != 0 {
			*stick = v
		}
	}
	axis(&state.LeftX, g.LeftX)
	axis(&state.LeftY, g.LeftY)
	axis(&state.RightX, g.RightX)
	axis(&state.RightY, g.RightY)
	for _, button := range scripting.Buttons {
		if slices.Contains(g.Held, p.puts.button(button)) {
			state.Buttons = append(state.Buttons, button)
		}
	}
	return state
}

// gamepad is the first gamepad of a standard layout; the zero one where there is none.
type gamepad struct {
	LeftX, LeftY, RightX, RightY float64 // sticks, -1 to 1, y forward
	Held                         []ebiten.StandardGamepadButton

	ids []ebiten.GamepadID
}

// read takes the gamepad's state of this Update.
func (g *gamepad) read() {
	g.ids = ebiten.AppendGamepadIDs(g.ids[:0])
	*g = gamepad{ids: g.ids, Held: g.Held[:0]}
	if len(g.ids) == 0 || !ebiten.IsStandardGamepadLayoutAvailable(g.ids[0]) {
		return
	}
	id := g.ids[0]
	g.LeftX = ebiten.StandardGamepadAxisValue(id, ebiten.StandardGamepadAxisLeftStickHorizontal)
	g.LeftY = -ebiten.StandardGamepadAxisValue(id, ebiten.StandardGamepadAxisLeftStickVertical) // down is positive there
	g.RightX = ebiten.StandardGamepadAxisValue(id, ebiten.StandardGamepadAxisRightStickHorizontal)
	g.RightY = -ebiten.StandardGamepadAxisValue(id, ebiten.StandardGamepadAxisRightStickVertical)
	for _, b := range gamepadButtons {
		if ebiten.IsStandardGamepadButtonPressed(id, b.button) {
			g.Held = append(g.Held, b.button)
		}
	}
}
