package window

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// status is the line at the bottom: work under way, or the last thing to say.
type status struct {
	*shared
	view    *fieldView
	strip   *strip
	studies *studies
	lines   []string
	bad     bool
	share   float64 // of the work under way; negative: none
}

const (
	noteRow  = 18.0
	noteMost = 8 // lines that a message has at most
)

// want makes the lines of what is to be said. A long message moves nothing: it lies over what is above its line.
func (s *status) want(*wants) {
	words := s.model.Notice.Text
	s.lines, s.bad, s.share = s.lines[:0], s.model.Notice.Bad, -1
	if share, busy := s.model.Busy(); busy {
		s.bad, s.share = false, math.Min(share, 1)
		words = fmt.Sprintf("Rehearsing, %.0f %%. Esc gives it up.", 100*share)
	} else if s.model.StudyRuns() { // which does not keep other news away
		have, due := s.model.Study().Progress()
		s.share = math.Min(float64(have)/math.Max(float64(due), 1), 1)
	}
	for _, line := range strings.Split(words, "\n") {
		s.lines = append(s.lines, paint.Wrap(line, s.width-s.left()-placeWidth, normal, s.bad, noteMost)...)
	}
	s.lines = s.lines[:min(len(s.lines), noteMost)]
}

// box is the line at the bottom, and as much above it as the message takes.
func (s *status) box() Rect {
	r := s.frame.Note
	high := noteHeight + float64(max(len(s.lines)-1, 0))*noteRow
	return Rect{X: r.X, Y: r.Bottom() - math.Max(high, r.H), W: r.W, H: math.Max(high, r.H)}
}

// place takes the clicks on a long message, which is put away by one.
func (s *status) place() {
	if box := s.box(); box.H > s.frame.Note.H {
		s.add(element{Name: "message", Rect: box, Tip: "put it away", Bare: true, Do: func() { s.model.Say("") }})
	}
}

// placeWidth is the room at the right for the place pointed at, "{-00000, -00000}".
const placeWidth = 130.0

// left is where the words begin: after the cross of what went wrong.
func (s *status) left() float64 {
	if s.bad {
		return 32
	}
	return 12
}

// draw writes the note. What went wrong stands out by being dark on light, with a cross before it.
func (s *status) draw() {
	r, ground, letters := s.box(), s.panel, scene.Chalk
	if s.bad {
		ground, letters = scene.Chalk, scene.Plate
	}
	s.fill(r, ground)
	if r.H > s.frame.Note.H {
		s.fill(r.Top(1), s.edge)
	}
	if s.share >= 0 {
		s.pen.Rect(r.X, r.Y, r.W*s.share, 3, s.accent)
	}
	if s.bad {
		s.drawer.Mark(s.pen, scene.Cross, pointAt(r.X+18, r.Y+11), 6, letters, scene.Pen{})
	}
	lines := s.lines
	told := cmp.Or(s.strip.told(), s.studies.told())
	if _, busy := s.model.Busy(); told != "" && !busy { // of what is pointed at, while it is
		lines = paint.Wrap(told, r.W-s.left()-placeWidth, normal, s.bad, max(len(lines), 1))
	}
	row := Rect{X: r.X + s.left(), Y: r.Y + 2, W: r.W - s.left() - placeWidth, H: noteRow}
	for _, line := range lines {
		s.words(line, row, normal, s.bad, letters)
		row.Y += noteRow
	}
	if s.view.aim.valid && (s.model.Now != nil || s.view.spans != nil) {
		place := Rect{X: r.Right() - placeWidth, Y: r.Y + 2, W: placeWidth - 10, H: noteRow}
		s.rightward(viewmodel.PointWords(s.model.Units, s.view.aim.at), place, normal, false, letters)
	}
}
