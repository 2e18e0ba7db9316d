package sim

import (
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
	"chalkfield/sim/sensing"
)

// startBelief makes the odometry, which believes the robot to stand where it was meant to.
func (r *Robot) startBelief() {
	r.tracker = sensing.NewTracker(r.Spec, ControlTick)
	r.tracker.SetBelief(r.meant)
	r.encoders = [2]int{-1, -1}
	for i, s := range r.sensors {
		switch s.spec.Kind {
		case robot.Encoder:
			if r.encoders[s.spec.Encoder.Train] < 0 {
				r.encoders[s.spec.Encoder.Train] = i
			}
		case robot.Tracking:
			r.tracking = append(r.tracking, s)
		}
	}
	for _, w := range r.Spec.Wheels {
		if w.Train != robot.Free {
			r.radius[w.Train] = w.Radius
		}
	}
}

// Belief is the pose that the odometry reports; its heading is not wrapped.
func (r *Robot) Belief() geom.Pose { return r.tracker.Belief() }

// BeliefSpeed is the speed along the heading (m/s) and the turning rate (rad/s) that the odometry reports.
func (r *Robot) BeliefSpeed() (along, turn float64) { return r.tracker.Speed() }

// SetBelief tells the odometry where the robot is.
func (r *Robot) SetBelief(p geom.Pose) { r.tracker.SetBelief(p) }

// Sensors are the robot's sensors; an index into them names a sensor.
func (r *Robot) Sensors() []robot.Sensor { return r.Spec.Sensors }

// Reading is a sensor's latest reading, in its unit.
func (r *Robot) Reading(sensor int) float64 { return r.readings[sensor] }

// MeasuredWheelSpeeds are the surface speeds of the trains over the last control tick, m/s, by the encoders of the
// file; a train without one is measured by its motors, exactly.
func (r *Robot) MeasuredWheelSpeeds() (left, right float64) { return r.wheelRate[0], r.wheelRate[1] }

func (r *Robot) measureWheels() {
	for t, i := range r.encoders {
		now := r.encoded(t)
		if i >= 0 {
			now = r.readings[i]
		}
		r.wheelRate[t] = (now - r.wheelSeen[t]) / ControlTick
		r.wheelSeen[t] = now
	}
}

// Reaction is how late the robot's routine starts, s: the size of a draw of the spread.
func (r *Robot) Reaction() float64 { return r.reaction }
