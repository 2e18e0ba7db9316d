package logfile

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// SimulatedWords begin every log that WriteSimulated writes.
const SimulatedWords = "# a log by Chalkfield"

// signal is a column of a simulated log: what a robot program would write into it at a sample, with so many decimals.
// next is the sample after it.
type signal struct {
	header   string
	decimals int
	at       func(now, next *record.RobotSample) float64
}

// WriteSimulated writes what the first robot of a record would have logged: its sensors as they read, and in each row
// the volts that the motors get from then on. Where the robot file has no such sensor there is no column.
func WriteSimulated(w io.Writer, rec *record.Record, spec *robot.Robot) error {
	var out strings.Builder
	fmt.Fprintf(&out, "%s: %s, seed %d\n", SimulatedWords, oneLine(rec.Header.Robots[0].Routine.Name), rec.Header.Seed)
	signals := signalsOf(spec)
	out.WriteString("time s")
	for _, s := range signals {
		out.WriteString(", " + s.header)
	}
	out.WriteByte('\n')
	for i := 0; i+1 < len(rec.Samples); i++ {
		out.WriteString(strconv.FormatFloat(rec.Samples[i].T, 'f', 2, 64))
		for _, s := range signals {
			x := s.at(&rec.Samples[i].Robots[0], &rec.Samples[i+1].Robots[0])
			scale := math.Pow10(s.decimals)
			out.WriteString(", " + strconv.FormatFloat(math.Round(x*scale)/scale+0, 'f', -1, 64)) // + 0: no "-0"
		}
		out.WriteByte('\n')
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// oneLine keeps a file's name within the comment.
func oneLine(name string) string { return strings.Join(strings.Fields(name), " ") }

// signalsOf lists the columns, each header once: a part may be called as a column of the base is.
func signalsOf(spec *robot.Robot) []signal {
	list := []signal{driveVolts("left V", robot.Left), driveVolts("right V", robot.Right)}
	known := map[string]bool{"time s": true, list[0].header: true, list[1].header: true}
	add := func(s signal) {
		if s.header != "" && !known[s.header] {
			known[s.header] = true
			list = append(list, s)
		}
	}
	for i, s := range spec.Sensors {
		add(sensorSignal(spec, i, s))
	}
	add(signal{"battery V", 2, func(now, _ *record.RobotSample) float64 { return now.Battery }})
	for i, part := range spec.Parts {
		if part.Lift != nil || part.Intake != nil || part.Conveyor != nil {
			add(signal{part.Name + " V", 3, func(_, next *record.RobotSample) float64 { return next.Parts[i].Volts }})
		}
	}
	return list
}

// driveVolts are those from a row on: a record has the volts until its sample. Of coasting motors, which take no
// current, a record has the volts of the open circuit; the program gave them 0 V. A controller that does otherwise than
// it is told is outside the program, which logs what it told it.
func driveVolts(header string, train robot.Train) signal {
	return signal{header, 3, func(now, next *record.RobotSample) float64 {
		if now.Asked != nil {
			return now.Asked[train]
		}
		if next.Amps[train] == 0 {
			return 0
		}
		return next.Volts[train]
	}}
}

// sensorSignal is the column of a sensor; one without a header for what a log has no column for. A robot's program
// makes travel of the wheels' turns with one radius for both sides; the simulated sensor has each side's own.
func sensorSignal(spec *robot.Robot, index int, s robot.Sensor) signal {
	const mm, deg = 1000, 180 / math.Pi
	in := func(scale float64) func(now, _ *record.RobotSample) float64 {
		return func(now, _ *record.RobotSample) float64 { return now.Sensors[index] * scale }
	}
	switch {
	case s.Encoder != nil:
		side := [2]string{robot.Left: "left", robot.Right: "right"}[s.Encoder.Train]
		return signal{side + " travel mm", 3, in(spec.MeanRadius() / spec.Radius(s.Encoder.Train) * mm)}
	case s.Inertial != nil:
		return signal{"heading deg", 3, in(deg)}
	case s.Rotation != nil && spec.Parts[s.Rotation.On].Lift.Elevator:
		return signal{spec.Parts[s.Rotation.On].Name + " mm", 3, in(mm)}
	case s.Rotation != nil:
		return signal{spec.Parts[s.Rotation.On].Name + " deg", 3, in(deg)}
	}
	return signal{}
}
