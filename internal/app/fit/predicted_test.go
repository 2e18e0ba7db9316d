package fit

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/testdrive"
	"chalkfield/internal/base/property"
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

// A robot that is as its file says, with exact sensors, is predicted to 0.3 mm at any time of a drive, however late its
// controller is and whatever its motors do at 0 V: nothing is left that a fit could explain by other values.
func TestATrueFilePredictsItsOwnLogs(t *testing.T) {
	p, err := plans["hauler"]()
	if err != nil {
		t.Fatal(err)
	}
	lates := []float64{0, 0.02, 0.0363}
	random := rand.New(rand.NewPCG(12, 1))
	for range property.Cases(3, 20) {
		lates = append(lates, 0.06*random.Float64())
	}
	for _, late := range lates {
		r := ideal(t, "hauler", func(r *robot.Robot) { r.Drive.Latency = late })
		for _, name := range []string{"step_brake", "step_coast", "hard_start", "spin_step"} {
			for i := range p.Drives {
				if d := &p.Drives[i]; d.Name == name {
					if off, at := offItsOwnLog(t, r, d); off > 0.0003 {
						t.Errorf("%.2f ms late, %s at %.1f s: %.2f mm off", late*1000, name, at, off*1000)
					}
				}
			}
		}
	}
}

// offItsOwnLog is how far a robot's file is off the log of its own drive at the most, m, and of which stretch, s.
func offItsOwnLog(t testing.TB, r *robot.Robot, d *testdrive.Drive) (most, from float64) {
	log := own(t, r, d.Routine(), d.Table.Seconds()+0.2, d.Name, 1)
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
			most, from = off, drive.from
		}
	}
	return most, from
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
