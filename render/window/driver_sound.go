package window

import (
	"chalkfield/render/window/sound"
	"chalkfield/render/window/viewmodel"
)

// sounds are what is heard of a drive's cues.
var sounds = map[viewmodel.Cue]sound.Kind{viewmodel.CuePhase: sound.Phase, viewmodel.CueMore: sound.More,
	viewmodel.CueLess: sound.Less, viewmodel.CueTouch: sound.Touch}

// sound lets be heard what has happened in the drive.
func (d *driver) sound() {
	cues := d.model.Cues()
	if d.player == nil || d.memory.Silent {
		return
	}
	player := d.player() // before there is anything to hear: the device takes its time
	for _, cue := range cues {
		player.Play(sounds[cue])
	}
}

// hush switches the sounds of drives off, or on again.
func (d *driver) hush() {
	d.memory.Hush(!d.memory.Silent)
	words := "Drives have sounds: F9 switches them off."
	if d.memory.Silent {
		words = "Drives are silent: F9 switches their sounds on."
	}
	d.model.Say(words)
	_ = d.disk.keep() // what fails is told when the window closes
}

// soundWords say whether there are sounds.
func (d *driver) soundWords() string {
	switch {
	case d.memory.Silent:
		return "off (F9)"
	case d.player != nil && d.player().Silent():
		return "on, but this computer has no device for them"
	}
	return "on (F9)"
}
