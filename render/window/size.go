package window

import (
	"math"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

// frameRoom is what is left of a display for a window's frame and the desktop's own bars, device-independent pixels.
const frameRoom = 48

// onDisplay is a window's size brought within a display, with its frame: one that was remembered from a larger display
// would open partly off the screen.
func onDisplay(width, height int, display interface{ Size() (int, int) }) (int, int) {
	mostWidth, mostHeight := display.Size()
	if mostWidth <= 0 || mostHeight <= 0 {
		return width, height
	}
	return min(width, mostWidth), min(height, max(mostHeight-frameRoom, 1))
}

// windowSize follows the size that the person gives the window, for the next start. Ebiten's own answer comes too late
// (it is the first size again once the window has closed), and it is of no use for a window made as large as the
// screen.
type windowSize struct {
	width, height float64 // device-independent pixels, as last laid out
	news          float64 // s until it is taken over; 0: it is known
}

// sizeRests is how long a size must last: a window just made as large as the screen does not know it at once.
const sizeRests = 1.0 / 3 // s

// is takes the size that the window is laid out for.
func (s *windowSize) is(width, height float64) {
	if width != s.width || height != s.height {
		s.width, s.height, s.news = width, height, sizeRests
	}
}

// watch remembers a size that has lasted, or at once where the window is about to close.
func (s *windowSize) watch(memory *viewmodel.Settings, passed float64, closing bool) {
	if s.news == 0 {
		return
	}
	if s.news -= passed; s.news > 0 && !closing {
		return
	}
	s.news = 0
	if s.width >= 1 && s.height >= 1 && !ebiten.IsWindowMaximized() && !ebiten.IsFullscreen() {
		memory.Sized(int(math.Round(s.width)), int(math.Round(s.height)))
	}
}
