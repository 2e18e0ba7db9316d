// Package pneumatic is the robot's air: a reservoir without a pump and the single cylinders that draw from it. The air
// is an ideal gas that keeps the room's temperature (Boyle's law); pressures are gauge pressures in Pa unless named
// absolute.
package pneumatic

import "chalkfield/sim/robotfile"

// Ambient is the standard atmosphere, Pa absolute (ISO 2533). It cancels from every equation below as long as a cylinder
// starts a stroke filled with ambient air, which is what a vented one holds.
const Ambient = 101325

// Reservoir is a tank of compressed air.
type Reservoir struct {
	volume    float64 // m^3
	regulator float64 // Pa gauge, 0: none
	pressure  float64 // Pa gauge
	strokes   int
}

// NewReservoir is filled as the robot file says.
func NewReservoir(air robotfile.Air) *Reservoir {
	return &Reservoir{volume: air.Volume, regulator: air.Regulator, pressure: air.Pressure}
}

// Pressure is what is left, Pa gauge.
func (r *Reservoir) Pressure() float64 { return r.pressure }

// Strokes is how many cylinder fillings were drawn.
func (r *Reservoir) Strokes() int { return r.strokes }

// Supply is the pressure that reaches a cylinder, Pa gauge.
func (r *Reservoir) Supply() float64 {
	if r.regulator > 0 {
		return min(r.pressure, r.regulator)
	}
	return r.pressure
}

// Fill lets air into a vented cylinder of the given volume (m^3) and returns the pressure in it, Pa gauge.
//
// The amount of air stays the same, p V = constant at one temperature (Boyle's law), with p absolute:
//
//	(p + pa) V + pa v = (p' + pa) V + (pc + pa) v,  so  p' = p - pc v / V
//
// where the cylinder's pressure pc is the regulator's, or else the common end pressure p V / (V + v).
func (r *Reservoir) Fill(volume float64) float64 {
	cylinder := r.pressure * r.volume / (r.volume + volume)
	if r.regulator > 0 {
		cylinder = min(cylinder, r.regulator)
	}
	r.pressure -= cylinder * volume / r.volume
	r.strokes++
	return cylinder
}
