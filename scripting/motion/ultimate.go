package motion

// Closed-loop tuning rules of Ziegler & Nichols, Trans. ASME 64 (1942): ku is the gain of a P controller at which the loop
// oscillates steadily, pu the period of that oscillation in seconds. They start a tuning, they do not end it: the step
// response overshoots.

// UltimateP is P = ku/2.
func UltimateP(ku, pu float64) PIDSettings { return PIDSettings{P: 0.5 * ku} }

// UltimatePI is P = 0.45 ku with Ti = pu/1.2.
func UltimatePI(ku, pu float64) PIDSettings {
	p := 0.45 * ku
	return PIDSettings{P: p, I: p / (pu / 1.2)}
}

// UltimatePID is P = 0.6 ku with Ti = pu/2, Td = pu/8.
func UltimatePID(ku, pu float64) PIDSettings {
	p := 0.6 * ku
	return PIDSettings{P: p, I: p / (pu / 2), D: p * pu / 8}
}
