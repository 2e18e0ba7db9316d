package window

import (
	"fmt"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// addCourse adds the medals of a course, and what the last drive came to.
func (v *lessonView) addCourse(p *viewmodel.LessonPage) {
	c := p.Course
	v.heading(v.say("course_medals"))
	for _, m := range p.Medals() {
		earned := c.Best > 0 && c.Best <= m.Seconds
		v.fact(m.Name, v.say("course_by", m.Seconds), func(at geom.Vec) { v.drawMedal(at, earned) })
	}
	if c.Best > 0 {
		v.fact(v.say("course_best"), v.say("course_seconds", c.Best), nil)
	}
	v.space(textGap)
	if !c.Driven {
		return
	}
	title := v.say("course_last")
	if !c.Finished {
		title = v.say("course_not_finished", c.Crossed, c.Gates)
	}
	v.heading(title)
	v.fact(v.say("course_time"), v.say("course_seconds", c.Seconds), nil)
	v.fact(v.say("course_touches"), fmt.Sprint(c.Touches), nil)
	v.fact(v.say("course_way"), v.model.Units.Text(c.Metres, "m", 2), nil)
	v.fact(v.say("course_smoothness"), fmt.Sprintf("%.0f", c.Smoothness), nil)
	v.space(textGap)
}

// fact adds a row with a name and what it is.
func (v *lessonView) fact(name, words string, mark func(at geom.Vec)) {
	v.rows = append(v.rows, lessonRow{high: textRow, draw: func(r Rect) {
		if mark != nil {
			mark(geom.Vec{X: r.X + 7, Y: r.Y + r.H/2})
		}
		v.words(name, Rect{X: r.X + tickRoom, Y: r.Y, W: r.W/2 - tickRoom, H: r.H}, normal, false, scene.Chalk)
		v.rightward(words, Rect{X: r.X + r.W/2, Y: r.Y, W: r.W / 2, H: r.H}, normal, false, scene.Chalk)
	}})
}

// drawMedal draws a disc, filled where the medal was earned.
func (v *lessonView) drawMedal(at geom.Vec, earned bool) {
	if earned {
		v.pen.Disc(at, 6, v.accent)
	}
	v.pen.Ring(at, 6, 1.2, scene.Dust)
}
