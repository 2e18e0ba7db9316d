package window

import (
	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

// measure takes distances on the field.
type measure struct{ *fieldView }

func (m *measure) point() {
	if m.clicked(viewmodel.Measure) {
		m.model.TakePoint(m.aim.at)
	}
}

// take measures from or to the place pointed at.
func (m *measure) take() {
	if m.model.Mode != viewmodel.Measure {
		m.model.SetMode(viewmodel.Measure)
	}
	m.model.TakePoint(m.aim.at)
}

// draw shows what is measured, and the cross that the keys move.
func (m *measure) draw() {
	if m.model.Now == nil {
		return
	}
	m.clip(m.frame.Field)
	if m.model.Mode == viewmodel.Measure && m.model.Measured.Points > 0 {
		m.drawTaken(m.model.Measured)
	}
	if m.aim.keyed || m.model.Mode == viewmodel.Measure && m.aim.valid {
		m.drawCross(m.view.Pixel(m.aim.at))
	}
	m.pen.Unclip()
}

func (m *measure) drawTaken(taken viewmodel.Measurement) {
	a, b := m.view.Pixel(taken.A), m.view.Pixel(taken.B)
	m.pen.Segment(a.X, a.Y, b.X, b.Y, 2, m.accent)
	m.pen.Disc(a, 4, m.accent)
	m.pen.Disc(b, 4, m.accent)
	m.plate(taken.In(m.model.Units), geom.Vec{X: (a.X + b.X) / 2, Y: (a.Y+b.Y)/2 - 16})
}

func (m *measure) drawCross(at geom.Vec) {
	const arm = 9
	m.pen.Segment(at.X-arm, at.Y, at.X+arm, at.Y, 1.5, m.accent)
	m.pen.Segment(at.X, at.Y-arm, at.X, at.Y+arm, 1.5, m.accent)
}
