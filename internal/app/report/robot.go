package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Robot says what a robot file means: what it can do, part by part.
func Robot(w io.Writer, r *robot.Robot) error {
	out := &strings.Builder{}
	out.WriteString(heading(r.Title, r.Name))
	if r.About != "" {
		fmt.Fprintf(out, "%s\n", strings.TrimSpace(r.About))
	}
	fmt.Fprintf(out, "\nChassis   %.0f mm x %.0f mm, %.3g kg, centre of mass (%.0f, %.0f) mm and %.0f mm up, inertia "+
		"%.3g kg m^2\n",
		r.Chassis.Length*1000, r.Chassis.Width*1000, r.Chassis.Mass, r.Chassis.Centre.X*1000, r.Chassis.Centre.Y*1000,
		r.Chassis.CentreHeight*1000, r.Chassis.Inertia)
	writeDrive(out, r)
	for _, m := range r.Motors {
		writeMotor(out, m)
	}
	fmt.Fprintf(out, "Battery   %.2f V behind %.3g ohm, %s\n", r.Battery.Open, r.Battery.Resistance, charge(r.Battery))
	if r.Air != nil {
		fmt.Fprintf(out, "Air       %.0f ml at %.0f kPa, %s\n", r.Air.Volume*1e6, r.Air.Pressure/1000, regulated(r.Air))
	}
	for _, p := range r.Parts {
		fmt.Fprintf(out, "Part      bot.%s: %s%s\n", p.Name, p.Kind, p.Spec().Note(r))
	}
	for _, s := range r.Sensors {
		fmt.Fprintf(out, "Sensor    bot.sense.%s: %s%s\n", s.Name, s.Kind, sensorNote(r, s))
	}
	fmt.Fprintf(out, "Odometry  %s\n", r.Odometry.Method)
	_, err := io.WriteString(w, out.String())
	return err
}

func writeMotor(out *strings.Builder, m robot.Motor) {
	fmt.Fprintf(out, "Motor     %s: at %.3g V stalled %.3g N m at %.3g A, free %.0f rpm at %.3g A", m.Name, m.Nominal,
		m.StallTorque, m.StallCurrent, m.FreeSpeed*60/(2*math.Pi), m.FreeCurrent)
	if m.Limit > 0 {
		fmt.Fprintf(out, "; limited to %.3g A", m.Limit)
	}
	out.WriteString("\n")
	if m.Lasting > 0 {
		fmt.Fprintf(out, "          stalled at %.3g A it pushes for %.3g s from cold, then its current falls to %.3g A\n",
			m.StallCurrentHeld(), m.PushesFor(), m.Lasting)
	}
}

func writeDrive(out *strings.Builder, r *robot.Robot) {
	model := r.Model()
	fmt.Fprintf(out, "Drive     %d motors a side, gear %.3g, %d wheels; free speed %.0f mm/s, on the floor "+
		"%.0f mm/s; track width %.0f mm in turns\n", r.Drive.PerSide, r.Drive.Gear, len(r.Wheels), model.FreeSpeed*1000,
		model.TopSpeed()*1000, model.Track*1000)
	push := r.StalledPush()
	fmt.Fprintf(out, "          stalled push %.0f N by the motors, %.0f N by the tyres; acceleration to %.1f m/s^2; "+
		"grip sideways %.1f m/s^2\n",
		push, model.Grip*model.Mass, math.Min(push/model.Mass, model.Grip), model.SideGrip)
	fmt.Fprintf(out, "          dead band %.2f V: with less it does not move; from a standstill it takes up to %.3g "+
		"times as much\n",
		model.KS, max(1, r.Drive.Breakaway))
	fmt.Fprintf(out, "          turns on the spot about %s\n", pivot(model.Pivot))
	fmt.Fprintf(out, "          tips: speeding up %s, braking %s, sideways %s\n",
		limit(r.TipsAt(geom.Vec{X: 1})), limit(r.TipsAt(geom.Vec{X: -1})),
		limit(min(r.TipsAt(geom.Vec{Y: 1}), r.TipsAt(geom.Vec{Y: -1}))))
	fmt.Fprintf(out, "          feedforward: %.3g V per m/s, %.3g V per m/s^2; turning %.3g V per rad/s, %.3g V per "+
		"rad/s^2, scrub %.2g V\n",
		model.KV, model.KA, model.TurnKV, model.TurnKA, dust(model.TurnKS))
}

// pivot says where the base turns, x in m ahead of the robot's origin.
func pivot(x float64) string {
	const middle = "the middle of its outline (poses say where the middle is)"
	switch mm := math.Round(1000 * x); {
	case mm > 0:
		return fmt.Sprintf("a point %.0f mm ahead of %s", mm, middle)
	case mm < 0:
		return fmt.Sprintf("a point %.0f mm behind %s", -mm, middle)
	}
	return middle
}

// limit is an acceleration that is borne, or that every one is.
func limit(accel float64) string {
	if math.IsInf(accel, 1) {
		return "never"
	}
	return fmt.Sprintf("at %.1f m/s^2", accel)
}

// dust makes nothing of what rounding leaves of a zero.
func dust(v float64) float64 {
	if math.Abs(v) < 1e-9 {
		return 0
	}
	return v
}
