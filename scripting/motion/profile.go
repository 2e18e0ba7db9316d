package motion

import (
	"fmt"
	"math"
)

// Limits of a profile, all positive. The unit is the caller's: metres or radians.
type Limits struct {
	Speed float64 // greatest speed, per s
	Accel float64 // speeding up, per s^2
	Brake float64 // slowing down, per s^2; 0: as Accel
}

// Profile is a trapezoid of speed over time: speed up, cruise, slow down (Lynch & Park, Modern Robotics, 2017, 9.2),
// with free speeds at both ends.
type Profile struct {
	phases   [4]phase
	count    int
	seconds  float64
	distance float64
	to       float64
}

// phase is a stretch of constant acceleration.
type phase struct{ t, place, speed, accel float64 } // at its start

// NewProfile plans a signed distance from a speed to a speed, both signed in the direction of positive distance. A
// start speed away from the end is braked first; one above the limit is braked to it. It is an error if the end speed
// points back, exceeds the limit, or cannot be reached within the distance.
func NewProfile(distance, from, to float64, l Limits) (Profile, error) {
	if err := l.check(); err != nil {
		return Profile{}, err
	}
	for _, n := range []struct {
		name  string
		value float64
	}{{"distance", distance}, {"from", from}, {"to", to}} {
		if math.IsNaN(n.value) || math.IsInf(n.value, 0) {
			return Profile{}, &ArgumentError{"profile", n.name, fmt.Sprintf("must be a finite number, not %v", n.value)}
		}
	}
	if l.Brake == 0 {
		l.Brake = l.Accel
	}
	sign := 1.0
	if distance < 0 || distance == 0 && from < 0 {
		sign = -1
	}
	p := Profile{distance: distance, to: to}
	if err := p.lay(sign*distance, sign*from, sign*to, l); err != nil {
		return Profile{}, err
	}
	for i := range p.phases[:p.count] {
		p.phases[i].place *= sign
		p.phases[i].speed *= sign
		p.phases[i].accel *= sign
	}
	return p, nil
}

func (l Limits) check() error {
	if err := positive("profile", "speed", l.Speed); err != nil {
		return err
	}
	if err := positive("profile", "accel", l.Accel); err != nil {
		return err
	}
	if l.Brake == 0 {
		return nil
	}
	return positive("profile", "brake", l.Brake)
}

func positive(of, argument string, x float64) error {
	if !(x > 0) || math.IsInf(x, 0) {
		return &ArgumentError{of, argument, fmt.Sprintf("must be a positive number, not %v", x)}
	}
	return nil
}

// lay fills the phases for a distance d >= 0. The peak speed w follows from
//
//	(w^2 - v0^2)/(2 a) + (w^2 - v1^2)/(2 b) = d
//
// and is cut at the limit, where cruising fills the rest.
func (p *Profile) lay(d, v0, v1 float64, l Limits) error {
	if v1 < 0 || v1 > l.Speed {
		return &ArgumentError{"profile", "to", fmt.Sprintf("is %g along the way: it must lie between 0 and the "+
			"speed limit %g", v1, l.Speed)}
	}
	var t, s float64
	add := func(seconds, accel float64) {
		if seconds > 0 {
			p.phases[p.count] = phase{t, s, v0, accel}
			p.count++
			s += float64(v0*seconds) + float64(accel*seconds*seconds/2)
			v0 += float64(accel * seconds)
			t += seconds
		}
	}
	if v0 < 0 { // away from the end
		add(-v0/l.Brake, l.Brake)
		v0 = 0
	}
	const slack = 1e-9 // relative: rounding of the caller's numbers
	left := d - s
	if need := (float64(v0*v0) - float64(v1*v1)) / (2 * l.Brake); need > float64(left*(1+slack))+1e-12 {
		return &ArgumentError{"profile", "distance", fmt.Sprintf("%g is too short to slow from %g to %g: it takes %g", d,
			v0, v1, need)}
	}
	if need := (float64(v1*v1) - float64(v0*v0)) / (2 * l.Accel); need > float64(left*(1+slack))+1e-12 {
		return &ArgumentError{"profile", "distance", fmt.Sprintf("%g is too short to speed up from %g to %g: it takes %g",
			d, v0, v1, need)}
	}
	if v0 > l.Speed {
		add((v0-l.Speed)/l.Brake, -l.Brake)
		v0 = l.Speed
	}
	left = max(0, d-s)
	a, b := l.Accel, l.Brake
	peak := min(l.Speed, math.Sqrt((float64(2*a*b*left)+float64(b*v0*v0)+float64(a*v1*v1))/(a+b)))
	cruise := left - (float64(peak*peak)-float64(v0*v0))/(2*a) - (float64(peak*peak)-float64(v1*v1))/(2*b)
	add((peak-v0)/a, a)
	if peak > 0 {
		add(cruise/peak, 0)
	}
	add((v0-v1)/b, -b)
	p.seconds = t
	return nil
}

// Seconds is how long the profile takes.
func (p *Profile) Seconds() float64 { return p.seconds }

// At is place, speed and acceleration at a time from its start. Before the start it stands at the start, after the end
// at the end, with the end speed.
func (p *Profile) At(t float64) (place, speed, accel float64) {
	if t >= p.seconds || math.IsNaN(t) {
		return p.distance, p.to, 0
	}
	at := p.phases[0]
	for _, ph := range p.phases[1:p.count] {
		if t < ph.t {
			break
		}
		at = ph
	}
	dt := max(0, t-at.t)
	return at.place + float64(at.speed*dt) + float64(at.accel*dt*dt/2), at.speed + float64(at.accel*dt), at.accel
}
