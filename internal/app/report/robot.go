package report

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// Robot says what a robot file means: what it can do, part by part, and what of it cannot work on a field.
func Robot(in units.System, r *robot.Robot, field *fields.Field) *Document {
	t := facts(in)
	t.fact("Chassis", "%.0f mm x %.0f mm%s, %.3g kg, centre of mass (%s, %s) %s and %.0f mm up, inertia "+
		"%.3g kg m^2",
		r.Chassis.Length, r.Chassis.Width, outlined(r.Chassis), r.Chassis.Mass,
		in.Number("%.0f mm", r.Chassis.Centre.X), in.Number("%.0f mm", r.Chassis.Centre.Y), in.Name("mm"),
		r.Chassis.CentreHeight, r.Chassis.Inertia)
	t.drive(r)
	for _, m := range r.Motors {
		t.motor(m, r.Battery.Open)
	}
	t.fact("Battery", "%.2f V behind %.3g ohm, %s", r.Battery.Open, r.Battery.Resistance, charge(r.Battery))
	if r.Air != nil {
		t.fact("Air", "%.0f ml at %.0f kPa, %s", r.Air.Volume, r.Air.Pressure, regulated(in, r.Air))
	}
	for _, p := range r.Parts {
		does := p.EndWords(r)
		if does != "" {
			does = ", " + does
		}
		t.fact("Part", "bot.%s: %s%s%s", p.Name, p.Kind, does, p.Spec().Note(r, in))
	}
	for _, s := range r.Sensors {
		t.fact("Sensor", "bot.sense.%s: %s%s", s.Name, s.Kind, sensorNote(in, r, s))
	}
	t.fact("Odometry", "%s", r.Odometry.Method)
	t.misfits(r, field)
	return &Document{Title: r.Title, Sections: []Section{{Table: t}},
		Head: append([]string{heading(r.Title, r.Name)}, lines(strings.TrimSpace(r.About))...)}
}

// outlined tells of an outline that is no rectangle of length and width.
func outlined(c robot.Chassis) string {
	if c.Outline == nil {
		return ""
	}
	return fmt.Sprintf(" over all, an outline of %d corners", len(c.Outline))
}

// motor says what a motor can do, and for how long, on a battery of so many V.
func (t *Table) motor(m robot.Motor, open float64) {
	t.fact("Motor", "%s: at %.3g V stalled %.3g N m at %.3g A, free %.0f rpm at %.3g A%s", m.Name, m.Nominal,
		m.StallTorque, m.StallCurrent, m.FreeSpeed*60/(2*math.Pi), m.FreeCurrent, limited(m, open))
	if m.Lasting > 0 {
		t.fact("", "stalled at %.3g A it pushes for %.3g s from cold, then its current falls to %.3g A",
			m.StallCurrentHeld(), m.PushesFor(), m.Lasting)
	}
}

// limited says when a motor's current limit limits: stalled it takes what the volts give (Ohm), thrown into reverse up
// to twice that, as its back-EMF adds to them.
func limited(m robot.Motor, open float64) string {
	switch most := m.StallCurrent * max(1, open/m.Nominal); {
	case m.Limit == 0:
		return ""
	case m.Limit < most:
		return fmt.Sprintf("; limited to %.3g A", m.Limit)
	case m.Limit < 2*most:
		return fmt.Sprintf("; its limit of %.3g A is above that: it limits in a sudden reverse only", m.Limit)
	}
	return fmt.Sprintf("; its limit of %.3g A never limits: it never takes so much", m.Limit)
}

func (t *Table) drive(r *robot.Robot) {
	model := r.Model()
	t.fact("Drive", "%d motors a side, gear %.3g, %d wheels; free speed %.0f mm/s, on the floor %.0f mm/s; track width "+
		"%.0f mm in turns", r.Drive.PerSide, r.Drive.Gear, len(r.Wheels), model.FreeSpeed, model.TopSpeed(), model.Track)
	push := r.StalledPush()
	t.fact("", "stalled push %.0f N by the motors, %.0f N by the tyres; acceleration to %.1f m/s^2; "+
		"grip sideways %.1f m/s^2%s",
		push, model.Grip*model.Mass, math.Min(push/model.Mass, model.Grip), model.SideGrip, static(r.Wheels))
	t.fact("", "dead band %.2f V: with less it does not move; from a standstill it takes up to %.3g "+
		"times as much%s",
		model.Starts(), max(1, r.Drive.Breakaway), controller(r.Drive))
	t.fact("", "turns on the spot about %s", pivot(t.in, r.Chassis, model.Pivot))
	t.fact("", "tips: speeding up %s, braking %s, sideways %s",
		limit(t.in, r.TipsAt(geom.Vec{X: 1})), limit(t.in, r.TipsAt(geom.Vec{X: -1})),
		limit(t.in, min(r.TipsAt(geom.Vec{Y: 1}), r.TipsAt(geom.Vec{Y: -1}))))
	t.fact("", "feedforward: %.3g V per m/s, %.3g V per m/s^2; turning %.3g V per rad/s, %.3g V per "+
		"rad/s^2, scrub %.2g V",
		model.KV, model.KA, model.TurnKV, model.TurnKA, dust(model.TurnKS))
}

// controller says what the drive's motor controller and motors do otherwise than they are told.
func controller(d robot.Drive) string {
	var says string
	if d.DeadBand > 0 {
		says += fmt.Sprintf("; the controller gives 0 V for less than %.3g V", d.DeadBand)
	}
	if d.Latency > 0 {
		says += fmt.Sprintf("; the motors are %.0f ms late", d.Latency*1000)
	}
	if d.Slew > 0 {
		says += fmt.Sprintf("; their volts change by %.3g V/s at most", d.Slew)
	}
	if d.Backlash > 0 {
		says += fmt.Sprintf("; %.3g deg of play between motors and wheels", d.Backlash*180/math.Pi)
	}
	if left, right := d.Push(robot.Left), d.Push(robot.Right); left != right {
		says += fmt.Sprintf("; the left motors push %.3g times as the file's motor, the right %.3g times", left, right)
	}
	return says
}

// static says what tyres hold beyond that as long as they do not slide.
func static(wheels []robot.Wheel) string {
	most := 1.0
	for _, w := range wheels {
		most = max(most, w.Static)
	}
	if most == 1 {
		return ""
	}
	return fmt.Sprintf("; tyres that do not slide hold up to %.3g times as much", most)
}

// pivot says where a robot turns, x in m ahead of its origin.
func pivot(in units.System, c robot.Chassis, x float64) string {
	middle := "the middle of its outline (poses say where the middle is)"
	if c.Outline != nil {
		middle = "its [0, 0] (poses say where that is)"
	}
	const least = 0.0005 // m: half a millimetre
	switch {
	case x >= least:
		return fmt.Sprintf("a point %s ahead of %s", in.Text(x, "mm", 0), middle)
	case x <= -least:
		return fmt.Sprintf("a point %s behind %s", in.Text(-x, "mm", 0), middle)
	}
	return middle
}

// limit is an acceleration that is borne, or that every one is.
func limit(in units.System, accel float64) string {
	if math.IsInf(accel, 1) {
		return "never"
	}
	return in.Sprintf("at %.1f m/s^2", accel)
}

// dust makes nothing of what rounding leaves of a zero.
func dust(v float64) float64 {
	if math.Abs(v) < 1e-9 {
		return 0
	}
	return v
}
