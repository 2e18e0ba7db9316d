package window

import (
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// padMaker makes a driver's controls of the keyboard and of the first gamepad.
type padMaker struct {
	tank     bool
	response viewmodel.ResponseCurve
	keyed    scripting.PadState // the sticks as the keys have moved them so far
	ids      []ebiten.GamepadID
}

// usualResponse is how a gamepad's stick answers until the person chooses otherwise.
var usualResponse = viewmodel.ResponseCurve{Dead: 0.08, Power: 1.5}

// keySpeed is how fast a held key moves its stick: the full way in a quarter of a second.
const keySpeed = 4 * frameSeconds

// padKeys are the keys of the pad's buttons, by their place on the keyboard.
var padKeys = []struct {
	key    ebiten.Key
	button string
}{
	{ebiten.KeyJ, "a"}, {ebiten.KeyK, "b"}, {ebiten.KeyU, "x"}, {ebiten.KeyI, "y"},
	{ebiten.KeyQ, "l1"}, {ebiten.KeyE, "r1"}, {ebiten.KeyZ, "l2"}, {ebiten.KeyC, "r2"},
	{ebiten.KeyT, "up"}, {ebiten.KeyG, "down"}, {ebiten.KeyF, "left"}, {ebiten.KeyH, "right"},
}

var driveSheet = [][2]string{
	{"W S, A D or arrows", "arcade keys: left stick (left_y), right stick across (right_x)"},
	{"W S, Up Down", "tank keys: left stick, right stick (choose in the drive card)"},
	{"J K U I", "buttons a b x y"},
	{"Q E Z C", "buttons l1 r1 l2 r2"},
	{"T G F H", "buttons up down left right"},
	{"Shift", "half speed"},
	{"Enter, Esc", "start the clock, end the drive"},
	{"1 to 4, F1, F12", "the notebook's pages, this sheet (the clock stands), picture"},
}

// rest puts the sticks that the keys have moved back to the middle.
func (p *padMaker) rest() { p.keyed = scripting.PadState{} }

// read gives the controls of this Update. While a card lies over the window nothing is held.
func (p *padMaker) read(h *hand, covered bool) scripting.PadState {
	if covered {
		p.rest()
		return scripting.PadState{}
	}
	state := p.keys(h)
	p.ids = ebiten.AppendGamepadIDs(p.ids[:0])
	if len(p.ids) > 0 && ebiten.IsStandardGamepadLayoutAvailable(p.ids[0]) {
		state = p.withGamepad(state, p.ids[0])
	}
	slices.Sort(state.Buttons)
	state.Buttons = slices.Compact(state.Buttons)
	return state
}

func (p *padMaker) keys(h *hand) scripting.PadState {
	full := 1.0
	if h.Shift {
		full = 0.5
	}
	pair := func(more, less ebiten.Key) float64 {
		var to float64
		if h.holds(more) {
			to += full
		}
		if h.holds(less) {
			to -= full
		}
		return to
	}
	slew := func(stick *float64, to float64) {
		*stick = viewmodel.Slew(*stick, to, keySpeed)
		if to == 0 { // a stick that is let go is back at once, and must not end the macro of the next button
			*stick = 0
		}
	}
	if p.tank {
		slew(&p.keyed.LeftY, pair(ebiten.KeyW, ebiten.KeyS))
		slew(&p.keyed.RightY, pair(ebiten.KeyArrowUp, ebiten.KeyArrowDown))
		p.keyed.RightX = 0
	} else {
		forward := pair(ebiten.KeyW, ebiten.KeyS) + pair(ebiten.KeyArrowUp, ebiten.KeyArrowDown)
		turn := pair(ebiten.KeyD, ebiten.KeyA) + pair(ebiten.KeyArrowRight, ebiten.KeyArrowLeft)
		slew(&p.keyed.LeftY, min(max(forward, -full), full))
		slew(&p.keyed.RightX, min(max(turn, -full), full))
		p.keyed.RightY = 0
	}
	state := p.keyed
	state.Buttons = nil
	for _, k := range padKeys {
		if h.holds(k.key) || slices.Contains(h.fresh, k.key) { // the second: let go again within this Update
			state.Buttons = append(state.Buttons, k.button)
		}
	}
	return state
}

// gamepadButtons are the names of a standard gamepad's buttons.
var gamepadButtons = []struct {
	from   ebiten.StandardGamepadButton
	button string
}{
	{ebiten.StandardGamepadButtonRightBottom, "a"}, {ebiten.StandardGamepadButtonRightRight, "b"},
	{ebiten.StandardGamepadButtonRightLeft, "x"}, {ebiten.StandardGamepadButtonRightTop, "y"},
	{ebiten.StandardGamepadButtonFrontTopLeft, "l1"}, {ebiten.StandardGamepadButtonFrontTopRight, "r1"},
	{ebiten.StandardGamepadButtonFrontBottomLeft, "l2"}, {ebiten.StandardGamepadButtonFrontBottomRight, "r2"},
	{ebiten.StandardGamepadButtonLeftTop, "up"}, {ebiten.StandardGamepadButtonLeftBottom, "down"},
	{ebiten.StandardGamepadButtonLeftLeft, "left"}, {ebiten.StandardGamepadButtonLeftRight, "right"},
}

// withGamepad adds a gamepad's sticks, which win over keys where they are moved, and its buttons.
func (p *padMaker) withGamepad(state scripting.PadState, id ebiten.GamepadID) scripting.PadState {
	axis := func(stick *float64, from ebiten.StandardGamepadAxis, sense float64) {
		if v := p.response.Command(sense * ebiten.StandardGamepadAxisValue(id, from)); v != 0 {
			*stick = v
		}
	}
	axis(&state.LeftX, ebiten.StandardGamepadAxisLeftStickHorizontal, 1)
	axis(&state.LeftY, ebiten.StandardGamepadAxisLeftStickVertical, -1) // a standard stick counts down as positive
	axis(&state.RightX, ebiten.StandardGamepadAxisRightStickHorizontal, 1)
	axis(&state.RightY, ebiten.StandardGamepadAxisRightStickVertical, -1)
	for _, b := range gamepadButtons {
		if ebiten.IsStandardGamepadButtonPressed(id, b.from) {
			state.Buttons = append(state.Buttons, b.button)
		}
	}
	return state
}
