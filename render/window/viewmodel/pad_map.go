package viewmodel

import "maps"

// PadMap is what a person has put the driver's controls on, where that is not the usual: names of keys and of a
// gamepad's buttons, by control.
type PadMap struct {
	Keys    map[string]string `json:"keys,omitempty"`
	Buttons map[string]string `json:"buttons,omitempty"`
}

// with is a map with another value of a key; the usual one is left out.
func with(of map[string]string, key, value, usual string) map[string]string {
	out := maps.Clone(of)
	if out == nil {
		out = map[string]string{}
	}
	if delete(out, key); value != usual {
		out[key] = value
	}
	return out
}

// PutKey keeps another key of a control.
func (t *Settings) PutKey(control, key, usual string) {
	t.Pad.Keys = with(t.Pad.Keys, control, key, usual)
}

// PutButton keeps another button of the gamepad.
func (t *Settings) PutButton(control, button, usual string) {
	t.Pad.Buttons = with(t.Pad.Buttons, control, button, usual)
}

// UsualPad puts all controls back.
func (t *Settings) UsualPad() { t.Pad = PadMap{} }
