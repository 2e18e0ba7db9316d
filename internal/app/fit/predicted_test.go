package fit

import (
	"context"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/app/logfile"
	"chalkfield/sim/robot"
)

// ideal is a robot whose sensors are exact and whose runs are alike.
func ideal(t testing.TB, name string, tune func(r *robot.Robot)) *robot.Robot {
	spec, err := robot.OpenEmbedded(name)
	if err != nil {
		t.Fatal(err)
	}
	r := clone(spec)
	r.Spread, r.Sensors = robot.Spread{}, nil
	r.Odometry = robot.Odometry{Method: robot.ByEncoders, Across: -1, Inertial: -1}
	for _, s := range spec.Sensors {
		switch {
		case s.Encoder != nil:
			s.Encoder = &robot.EncoderSensor{Train: s.Encoder.Train}
		case s.Inertial != nil:
			s.Inertial = &robot.InertialSensor{}
		default:
			continue
		}
		r.Sensors = append(r.Sensors, s)
	}
	tune(r)
	return r
}

// own is the log that chalkfield run --log-as writes of a robot's run.
func own(t testing.TB, r *robot.Robot, routine string, seconds float64, name string, seed uint64) Input {
	var text strings.Builder
	if err := logfile.WriteSimulated(&text, inHall(t, r, routine, seconds, seed), r); err != nil {
		t.Fatal(err)
	}
	log, err := logfile.Read(name+".csv", strings.NewReader(text.String()), logfile.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return Input{Log: log, SHA256: "0"}
}

// A robot that is as its file says, with exact sensors, is predicted to a fifth of a millimetre at any time of a drive,
// however late its controller is and whatever its motors do at 0 V: nothing is left that a fit could explain by other
// values. A command that arrives within a stride of the world, of 5 ms, counts there by its share of it, and whether a
// tyre lets go in it is not in proportion: a wheel of 1 m/s is then up to a millimetre off for a moment.
func TestATrueFilePredictsItsOwnLogs(t *testing.T) {
	p, err := plans["hauler"]()
	if err != nil {
		t.Fatal(err)
	}
	for late, most := range map[float64]float64{0: 0.0002, 0.01: 0.0002, 0.02: 0.0002, 0.0363: 0.001, 0.05: 0.0002} {
		r := ideal(t, "hauler", func(r *robot.Robot) { r.Drive.Latency = late })
		for _, name := range []string{"step_brake", "step_coast"} {
			for i := range p.Drives {
				d := &p.Drives[i]
				if d.Name != name {
					continue
				}
				log := own(t, r, d.Routine(), d.Table.Seconds()+0.2, name, 1)
				drives, all, err := gather([]Input{log})
				if err != nil {
					t.Fatal(err)
				}
				e, err := newEstimation(r, drives, all, nil, Options{})
				if err != nil {
					t.Fatal(err)
				}
				for _, r := range all {
					r.coasts = d.Coasts
				}
				done, err := e.predict(context.Background(), e.file(), e.order)
				if err != nil {
					t.Fatal(err)
				}
				for k, drive := range drives {
					if off := drive.farthest(done[k]); off > most {
						t.Errorf("%g ms late, %s at %.1f s: %.2f mm off", late*1000, name, drive.from, off*1000)
					}
				}
			}
		}
	}
}

// farthest is how far a side's way is off at the most, m, without the moment of setting off: how the tyres were pressed
// before, in which only the log's robot differs, is part of that.
func (d *drive) farthest(m *motion) (most float64) {
	for _, s := range d.signals {
		if s.kind > rightSpeed {
			continue
		}
		way := 0.0
		for i, p := range m.cells(s.kind, d.edges) {
			if s.loose[i] == s.noise {
				way += (p - s.values[i]) * (d.edges[i+1] - d.edges[i])
			}
			most = math.Max(most, math.Abs(way))
		}
	}
	return most
}
