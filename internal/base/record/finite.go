package record

import "fmt"

// NotFinite names the first quantity of a sample that is no number (NaN) or infinite, and the robot whose it is, -1 for
// none's; "" if all are finite. JSON has no such numbers, and nothing that reads a record expects them.
func (s *Sample) NotFinite(h *Header) (quantity string, robot int) {
	for i := range s.Robots {
		if quantity := s.Robots[i].NotFinite(&h.Robots[i]); quantity != "" {
			return quantity, i
		}
	}
	for _, b := range s.Bodies {
		if !finite(b.Pose[:]...) {
			return "the place of " + h.Bodies[b.ID].Name, -1
		}
	}
	return "", -1
}

// NotFinite names the first quantity of the robot that is not finite, "" if all are.
func (r *RobotSample) NotFinite(h *Robot) string {
	for _, q := range []struct {
		name   string
		values []float64
	}{
		{"the pose", r.True[:]}, {"the velocity", r.Velocity[:]}, {"the wheels' speed", r.Wheels[:]},
		{"the motors' voltage", r.Volts[:]},
		{"the motors' current", r.Amps[:]}, {"the battery's voltage", []float64{r.Battery}}, {"the wheels' slip", r.Slip[:]},
		{"the air's pressure", []float64{r.Air}}, {"the wanted speed", r.Want[:]},
	} {
		if !finite(q.values...) {
			return q.name
		}
	}
	if r.Asked != nil && !finite(r.Asked[:]...) {
		return "the voltage that the motors' controller was told"
	}
	for i, p := range r.Parts {
		if !finite(p.Volts, p.Value) {
			return fmt.Sprintf("the part %q", h.Parts[i].Name)
		}
	}
	for i, reading := range r.Sensors {
		if !finite(reading) {
			return fmt.Sprintf("the sensor %q", h.Sensors[i])
		}
	}
	for _, at := range r.New().Plan {
		if !finite(at[:]...) {
			return "the planned curve"
		}
	}
	if !finite(r.Belief[:]...) { // last: it is made of the sensors
		return "the belief"
	}
	return ""
}

// Finite reports whether a pose has no number that is none.
func (p *Pose) Finite() bool { return finite(p[:]...) }

// NotFinite reports whether an event has a number that is none.
func (e *Event) NotFinite() bool {
	return !finite(e.T, e.Value, e.Took, e.Overshoot, e.Settle, e.Limit) || e.At != nil && !finite(e.At[:]...)
}

func finite(values ...float64) bool {
	for _, x := range values {
		if x-x != 0 { // NaN for NaN and for both infinities
			return false
		}
	}
	return true
}
