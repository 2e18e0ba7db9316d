package window

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"
)

// showPad lists where each control of the pad is on the keyboard and on a gamepad, to be put elsewhere.
func (d *driver) showPad() {
	waits := "" // the control that is being put
	var below *card
	if d.card.aboutDriving() {
		below = d.card
	}
	d.show(&card{name: "pad", title: "Keys and buttons of the pad", under: below,
		foot:  "Enter, then press the key or the gamepad's button that it is to be. Esc leaves it as it is.",
		takes: func() bool { return d.takePut(&waits) }, rows: func() []cardRow {
			rows := []cardRow{{label: "Control", note: "key, gamepad", head: true}}
			for _, u := range usualPuts {
				row := cardRow{label: u.control, note: d.putWords(u), keeps: true, on: u.control == waits,
					do: func() { waits = u.control }}
				if u.control == waits {
					row.note = "press a key or button"
				}
				if u.button != "" {
					row.label = "button " + u.control
				}
				rows = append(rows, row)
			}
			return append(rows, cardRow{label: "All as at first", keeps: true, do: func() {
				d.memory.UsualPad()
				d.rewire("All keys and buttons are as at first.")
			}})
		}})
}

// putWords are a control's key and gamepad's button.
func (d *driver) putWords(u usual) string {
	words := keyName(d.pad.puts.key(u.control))
	return words + ", " + cmp.Or(d.pad.puts.buttons[u.control], "its stick")
}

// rewire takes over what the memory has of keys and buttons, and keeps it.
func (d *driver) rewire(told string) {
	d.pad.puts = putsOf(d.memory.Pad)
	d.model.Say(told)
	_ = d.disk.keep() // what fails is told when the window closes
}

// takePut puts the control that waits on the key or button that went down now. It reports whether this Update's keys
// were for that.
func (d *driver) takePut(waits *string) bool {
	if *waits == "" {
		return false
	}
	u := usualPuts[slices.IndexFunc(usualPuts, func(u usual) bool { return u.control == *waits })]
	for _, key := range d.hand.fresh {
		switch {
		case key == ebiten.KeyEscape:
			d.model.Say("Left as it is.")
		case taken(key):
			d.model.Warn(fmt.Sprintf("%s means something else while you drive: press another key, or Esc.", keyName(key)))
			return true
		default:
			d.putKey(u, key)
		}
		*waits = ""
		return true
	}
	if held := d.hand.Gamepad.Held; len(held) > 0 && u.button != "" {
		d.putButton(u, held[0])
		*waits = ""
	}
	return true
}

// putKey puts a control on a key. One that had it gets the key that this one had.
func (d *driver) putKey(u usual, key ebiten.Key) {
	told := fmt.Sprintf("%s is on %s.", u.control, keyName(key))
	for _, other := range usualPuts {
		if old := d.pad.puts.key(u.control); other.control != u.control && d.pad.puts.key(other.control) == key {
			d.memory.PutKey(other.control, old.String(), other.key.String())
			told += fmt.Sprintf(" That was the key of %s, which is on %s now.", other.control, keyName(old))
		}
	}
	d.memory.PutKey(u.control, key.String(), u.key.String())
	d.rewire(told)
}

// putButton does the same with a button of the gamepad.
func (d *driver) putButton(u usual, button ebiten.StandardGamepadButton) {
	i := slices.IndexFunc(gamepadButtons, func(b gamepadButton) bool { return b.button == button })
	name := gamepadButtons[i].name
	told := fmt.Sprintf("%s is on the gamepad's button %s.", u.control, name)
	for _, other := range usualPuts {
		if old := d.pad.puts.buttons[u.control]; other.control != u.control && d.pad.puts.buttons[other.control] == name {
			d.memory.PutButton(other.control, old, other.button)
			told += fmt.Sprintf(" That was the button of %s, which is on %s now.", other.control, old)
		}
	}
	d.memory.PutButton(u.control, name, u.button)
	d.rewire(told)
}
