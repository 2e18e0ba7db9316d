package window

import (
	"io/fs"
	"math"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"
	"github.com/hajimehoshi/ebiten/v2/inpututil"
)

// hand is what the person's hands did in one Update, read from Ebiten once.
type hand struct {
	X, Y     float64 // pointer, logical points
	Down     bool    // the left button is held
	Pressed  bool    // it went down now
	Released bool    // it went up now
	Pan      bool    // the middle or right button is held
	Menu     bool    // the right button was let go where it went down
	WheelX   float64
	WheelY   float64
	Keys     []ebiten.Key // that went down now, or repeat while held
	Runes    []rune
	Ctrl     bool
	Shift    bool
	Alt      bool
	Dropped  fs.FS // files dropped on the window now, or nil
	Gamepad  gamepad

	lastX, lastY float64
	right        [2]float64 // where the right button went down
	held, fresh  []ebiten.Key
	repeats      map[ebiten.Key]float64 // s until a held key repeats
}

// Repeat of a held key, seconds: from going down to the first, and from one to the next.
const (
	repeatAfter = 1.0 / 3
	repeatEvery = 1.0 / 15
)

// read takes the input of this Update. It reports whether there was any.
func (h *hand) read(density, passed float64) bool {
	x, y := ebiten.CursorPositionF()
	h.lastX, h.lastY = h.X, h.Y
	h.X, h.Y = x/density, y/density
	h.Down = ebiten.IsMouseButtonPressed(ebiten.MouseButtonLeft)
	h.Pressed = inpututil.IsMouseButtonJustPressed(ebiten.MouseButtonLeft)
	h.Released = inpututil.IsMouseButtonJustReleased(ebiten.MouseButtonLeft)
	h.Pan = ebiten.IsMouseButtonPressed(ebiten.MouseButtonMiddle) || ebiten.IsMouseButtonPressed(ebiten.MouseButtonRight)
	if inpututil.IsMouseButtonJustPressed(ebiten.MouseButtonRight) {
		h.right = [2]float64{h.X, h.Y}
	}
	h.Menu = inpututil.IsMouseButtonJustReleased(ebiten.MouseButtonRight) &&
		math.Hypot(h.X-h.right[0], h.Y-h.right[1]) < leastScrub
	h.WheelX, h.WheelY = ebiten.Wheel()
	h.Runes = ebiten.AppendInputChars(h.Runes[:0])
	h.Ctrl = ebiten.IsKeyPressed(ebiten.KeyControl) || ebiten.IsKeyPressed(ebiten.KeyMeta)
	h.Shift = ebiten.IsKeyPressed(ebiten.KeyShift)
	h.Alt = ebiten.IsKeyPressed(ebiten.KeyAlt)
	h.Dropped = ebiten.DroppedFiles()
	h.Gamepad.read()
	h.readKeys(passed)
	moved := h.X != h.lastX || h.Y != h.lastY
	return moved || h.Down || h.Released || h.Pan || h.Menu || h.WheelX != 0 || h.WheelY != 0 || len(h.held) > 0 ||
		len(h.Keys) > 0 || len(h.Runes) > 0 || h.Dropped != nil || len(h.Gamepad.Held) > 0
}

func (h *hand) readKeys(passed float64) {
	h.Keys = h.Keys[:0]
	h.fresh = inpututil.AppendJustPressedKeys(h.fresh[:0]) // also those already let go again
	for _, key := range h.fresh {
		h.Keys = append(h.Keys, lettered(key))
	}
	if h.repeats == nil {
		h.repeats = map[ebiten.Key]float64{}
	}
	h.held = inpututil.AppendPressedKeys(h.held[:0])
	for key := range h.repeats {
		if !h.holds(key) {
			delete(h.repeats, key)
		}
	}
	for _, key := range h.held {
		if left, ok := h.repeats[key]; !ok || slices.Contains(h.fresh, key) {
			h.repeats[key] = repeatAfter
		} else if h.repeats[key] = left - passed; left <= passed {
			h.repeats[key] += repeatEvery
			h.Keys = append(h.Keys, lettered(key))
		}
	}
}

// lettered is the key that has a key's letter on this person's keyboard: Ebiten names keys by their place on an
// American one. Shortcuts go by the letter, driving by the place.
func lettered(key ebiten.Key) ebiten.Key {
	if key > ebiten.KeyZ {
		return key
	}
	if name := ebiten.KeyName(key); len(name) == 1 && name[0] >= 'a' && name[0] <= 'z' {
		return ebiten.KeyA + ebiten.Key(name[0]-'a')
	}
	return key
}

// holds reports whether a key is down.
func (h *hand) holds(key ebiten.Key) bool { return slices.Contains(h.held, key) }

// strides says what Shift and Alt do to a step, wherever something is stepped.
const strides = "Shift: ten times as far, Alt: a tenth"

// stride is a step: ten times as far with Shift, a tenth of it with Alt.
func (h *hand) stride(step float64) float64 {
	switch {
	case h.Shift:
		return 10 * step
	case h.Alt:
		return step / 10
	}
	return step
}
