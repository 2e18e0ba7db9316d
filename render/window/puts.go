package window

import (
	"cmp"
	"slices"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

// control is what a key or a gamepad's button can be put on: a direction of the stick, or a button of the pad, which
// has its own name.
type control = string

const (
	stickForward control = "stick forward"
	stickBack    control = "stick back"
	stickLeft    control = "stick left"
	stickRight   control = "stick right"
)

// usual is where a control is at first: the key by its place on the keyboard, the gamepad's button by its name; "":
// its stick does it.
type usual struct {
	control control
	key     ebiten.Key
	button  string
}

var usualPuts = []usual{
	{stickForward, ebiten.KeyW, ""}, {stickBack, ebiten.KeyS, ""},
	{stickLeft, ebiten.KeyA, ""}, {stickRight, ebiten.KeyD, ""},
	{"a", ebiten.KeyJ, "right bottom"}, {"b", ebiten.KeyK, "right right"},
	{"x", ebiten.KeyU, "right left"}, {"y", ebiten.KeyI, "right top"},
	{"l1", ebiten.KeyQ, "front left"}, {"r1", ebiten.KeyE, "front right"},
	{"l2", ebiten.KeyZ, "trigger left"}, {"r2", ebiten.KeyC, "trigger right"},
	{"up", ebiten.KeyT, "left top"}, {"down", ebiten.KeyG, "left bottom"},
	{"left", ebiten.KeyF, "left left"}, {"right", ebiten.KeyH, "left right"},
}

// gamepadButton is a button of a gamepad.
type gamepadButton struct {
	name   string
	button ebiten.StandardGamepadButton
}

// gamepadButtons are a standard gamepad's, by where they are on it.
var gamepadButtons = []gamepadButton{
	{"right bottom", ebiten.StandardGamepadButtonRightBottom}, {"right right", ebiten.StandardGamepadButtonRightRight},
	{"right left", ebiten.StandardGamepadButtonRightLeft}, {"right top", ebiten.StandardGamepadButtonRightTop},
	{"front left", ebiten.StandardGamepadButtonFrontTopLeft}, {"front right", ebiten.StandardGamepadButtonFrontTopRight},
	{"trigger left", ebiten.StandardGamepadButtonFrontBottomLeft},
	{"trigger right", ebiten.StandardGamepadButtonFrontBottomRight},
	{"left top", ebiten.StandardGamepadButtonLeftTop}, {"left bottom", ebiten.StandardGamepadButtonLeftBottom},
	{"left left", ebiten.StandardGamepadButtonLeftLeft}, {"left right", ebiten.StandardGamepadButtonLeftRight},
	{"middle left", ebiten.StandardGamepadButtonCenterLeft}, {"middle right", ebiten.StandardGamepadButtonCenterRight},
	{"middle", ebiten.StandardGamepadButtonCenterCenter},
	{"left stick pressed", ebiten.StandardGamepadButtonLeftStick},
	{"right stick pressed", ebiten.StandardGamepadButtonRightStick},
}

// puts are the keys and the gamepad's buttons that the controls are on. What of a person's own choice is no key or
// button, or stands for two controls, counts as the usual one.
type puts struct {
	keys    map[control]ebiten.Key
	buttons map[control]string
}

func putsOf(m viewmodel.PadMap) puts {
	p := puts{keys: map[control]ebiten.Key{}, buttons: map[control]string{}}
	for _, u := range usualPuts {
		p.keys[u.control], p.buttons[u.control] = u.key, u.button
		var key ebiten.Key
		if name, own := m.Keys[u.control]; own && key.UnmarshalText([]byte(name)) == nil && !taken(key) {
			p.keys[u.control] = key
		}
		if name, own := m.Buttons[u.control]; own && u.button != "" && isGamepadButton(name) {
			p.buttons[u.control] = name
		}
	}
	if !p.distinct() { // a file written by hand
		return putsOf(viewmodel.PadMap{})
	}
	return p
}

// distinct reports whether no two controls have the same.
func (p puts) distinct() bool {
	keys, buttons := map[ebiten.Key]bool{}, map[string]bool{"": false}
	for _, u := range usualPuts {
		key, button := p.keys[u.control], p.buttons[u.control]
		if keys[key] || buttons[button] {
			return false
		}
		keys[key], buttons[button] = true, button != ""
	}
	return true
}

func isGamepadButton(name string) bool {
	return slices.ContainsFunc(gamepadButtons, func(b gamepadButton) bool { return b.name == name })
}

// key is the key of a control.
func (p puts) key(of control) ebiten.Key { return p.keys[of] }

// names are what stands on the keys of controls.
func (p puts) names(of ...control) string {
	var list []string
	for _, one := range of {
		list = append(list, keyName(p.keys[one]))
	}
	return strings.Join(list, " ")
}

// button is the gamepad's button of a control that has one; -1: none.
func (p puts) button(of control) ebiten.StandardGamepadButton {
	for _, b := range gamepadButtons {
		if b.name == p.buttons[of] {
			return b.button
		}
	}
	return -1
}

// taken reports whether a key means something else while somebody drives.
func taken(key ebiten.Key) bool {
	for page := range viewmodel.Tabs {
		if key == tabKey(page) {
			return true
		}
	}
	switch key {
	case ebiten.KeyEscape, ebiten.KeyEnter, ebiten.KeyNumpadEnter, ebiten.KeyArrowUp, ebiten.KeyArrowDown,
		ebiten.KeyArrowLeft, ebiten.KeyArrowRight, ebiten.KeyShift, ebiten.KeyShiftLeft, ebiten.KeyShiftRight,
		ebiten.KeyControl, ebiten.KeyControlLeft, ebiten.KeyControlRight, ebiten.KeyAlt, ebiten.KeyAltLeft,
		ebiten.KeyAltRight, ebiten.KeyMeta, ebiten.KeyMetaLeft, ebiten.KeyMetaRight:
		return true
	}
	return key >= ebiten.KeyF1 && key <= ebiten.KeyF12
}

// keyName is what stands on a key of this person's keyboard.
func keyName(key ebiten.Key) string { return cmp.Or(stroke{key: lettered(key)}.String(), key.String()) }
