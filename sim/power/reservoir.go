package power

import "chalkfield/sim/robot"

// Ambient is the standard atmosphere, Pa absolute (ISO 2533).
const Ambient = 101325

// Reservoir is a tank of compressed air.
type Reservoir struct {
	volume    float64 // m^3
	regulator float64 // Pa gauge, 0: none
	pressure  float64 // Pa gauge
	strokes   int
}

// NewReservoir is filled as the robot file says.
func NewReservoir(air robot.Air) *Reservoir {
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

// Fill lets air into a cylinder whose piston is home: volume (m^3) is what the stroke opens, dead what tube and
// fittings between valve and piston hold, which starts vented. It returns the pressure in the cylinder at the stroke's
// end, Pa gauge.
//
// A chamber that had no volume held no air, so that it takes the whole of its filling from the tank. The amount of air
// stays the same, p V = constant at one temperature (Boyle's law), with P and pc absolute and pa ambient:
//
//	P V + pa d = P' V + pc (v + d),  so  P' = P - (pc v + (pc - pa) d) / V
//
// where the cylinder's pressure pc is the regulator's, or else the common end pressure (P V + pa d) / (V + v + d).
// Where that would be below ambient the piston stops short, or its spring takes the rest from the valve's vent: the
// tank is left at ambient.
func (r *Reservoir) Fill(volume, dead float64) float64 {
	tank := r.pressure + Ambient
	cylinder := (float64(tank*r.volume) + float64(Ambient*dead)) / (r.volume + volume + dead)
	if r.regulator > 0 {
		cylinder = min(cylinder, r.regulator+Ambient)
	}
	r.strokes++
	if cylinder < Ambient {
		r.pressure = 0
		return 0
	}
	r.pressure -= (float64(cylinder*volume) + float64((cylinder-Ambient)*dead)) / r.volume
	return cylinder - Ambient
}
