package window

import (
	"fmt"
	"math"

	"chalkfield/internal/app/lesson"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// addCourse adds the medals of a course, and what the last drive came to.
func (v *lessonView) addCourse(p *viewmodel.LessonPage) {
	v.heading(v.say("course_medals"))
	for _, m := range p.Course.Medals.List() {
		earned := p.Before.Best > 0 && p.Before.Best <= m.Seconds
		v.fact(v.say("medal_"+m.Name), v.say("course_by", m.Seconds), func(at geom.Vec) { v.drawMedal(at, earned) })
	}
	if p.Before.Best > 0 {
		v.fact(v.say("course_best"), v.say("course_seconds", p.Before.Best), nil)
	}
	v.space(textGap)
	driven, any := v.model.Course()
	if !any {
		return
	}
	v.heading(v.say("course_last"))
	for _, fact := range v.courseFacts(driven) {
		v.fact(fact.name, fact.words, nil)
	}
	v.space(textGap)
}

// courseFact is something that a drive came to.
type courseFact struct{ name, words string }

// courseFacts are what a drive came to.
func (s *shared) courseFacts(d lesson.Driven) []courseFact {
	time := s.say("course_seconds", d.Seconds)
	if !d.Finished {
		time = s.say("course_unfinished", d.Crossed, len(s.model.Lesson().Course.Gates))
	}
	return []courseFact{
		{s.say("course_time"), time}, {s.say("course_touches"), fmt.Sprint(d.Touches)},
		{s.say("course_way"), s.model.Units.Text(d.Metres, "m", 2)},
		{s.say("course_smoothness"), s.say("course_of_100", d.Smooth)},
	}
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

// showCourse tells what a drive of a course came to, and goes on with one key.
func (l *lessons) showCourse() {
	driven, _ := l.model.Course()
	p := l.model.Lesson()
	title := l.say("course_ended")
	switch {
	case driven.Finished && driven.Medal != "":
		title = l.say("course_won", driven.Seconds, l.say("medal_"+driven.Medal))
	case driven.Finished:
		title = l.say("course_finished", driven.Seconds)
	}
	l.show(&card{name: "driven", title: title, foot: l.say("course_foot"), rows: func() []cardRow {
		rows := []cardRow{{label: l.say("course_again"), do: l.driver.driveCourse}}
		if p.Passed && l.model.NextLesson() != "" {
			rows = append(rows, cardRow{label: l.say("course_next", p.Next), do: l.next})
		}
		rows = append(rows, cardRow{label: l.say("course_watch"), do: l.model.PlayDriven})
		for _, fact := range l.courseFacts(driven) {
			rows = append(rows, cardRow{label: fact.name, note: fact.words})
		}
		if l.model.CourseBest() {
			rows = append(rows, cardRow{label: l.say("course_is_best")})
		}
		for _, m := range p.Marks {
			if !m.Held && m.Key != "finish" { // that is told as the time
				rows = append(rows, cardRow{label: m.Expected, note: m.Happened})
			}
		}
		return rows
	}})
}

// driveCourse begins a drive of the course that is open, beside its best one.
func (d *driver) driveCourse() {
	session := d.model.CourseSession()
	d.pad.spare(&d.hand)
	if d.model.BeginsAlone(session) {
		d.beginDriving(session)
		return
	}
	d.begin(session)
}

// courseGauges are how a drive of a course stands.
func (d *desk) courseGauges() []gauge {
	driven, _ := d.model.Course()
	course := d.model.Lesson().Course
	list := []gauge{{words: d.say("course_gate", driven.Crossed, len(course.Gates)),
		share: float64(driven.Crossed) / math.Max(float64(len(course.Gates)), 1)}}
	list = append(list, gauge{words: d.say("course_touched", driven.Touches, float64(driven.Touches)*course.Touch)})
	for _, m := range course.Medals.List() {
		if driven.Seconds <= m.Seconds {
			list = append(list, gauge{words: d.say("course_still", d.say("medal_"+m.Name), m.Seconds),
				share: 1 - driven.Seconds/m.Seconds})
			break
		}
	}
	if ghost := d.model.Ghost(); ghost != nil {
		list = append(list, gauge{words: d.say("course_best_is", ghost.Seconds)})
	}
	return list
}
