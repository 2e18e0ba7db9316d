package motion

// Limits of a profile, all positive. The unit is the caller's: metres or radians.
type Limits struct {
	Speed float64 // greatest speed, per s
	Accel float64 // speeding up, per s^2
	Brake float64 // slowing down, per s^2; 0: as Accel
}

// Profile is a trapezoid of speed over time: speed up, cruise, slow down.
type Profile struct{}

// NewProfile plans a signed distance from a speed to a speed, both signed in the direction of positive distance.
func NewProfile(distance, from, to float64, l Limits) (Profile, error) { return Profile{}, nil }

// Seconds is how long the profile takes.
func (p Profile) Seconds() float64 { return 0 }

// At is place, speed and acceleration at a time from its start; before and after, those of its ends at rest.
func (p Profile) At(t float64) (place, speed, accel float64) { return 0, 0, 0 }
