package viewmodel

import "math"

// ResponseCurve is how a stick's way becomes a command.
type ResponseCurve struct {
	Dead  float64 // share of the way about the middle that counts as nothing
	Power float64 // of the response curve: 1 straight, more is finer about the middle
}

// Command is the stick's answer, -1 to 1, for a way of -1 to 1:
//
//	sign(x) ((|x| - dead) / (1 - dead))^power
func (f ResponseCurve) Command(x float64) float64 {
	size := (math.Abs(x) - f.Dead) / (1 - f.Dead)
	if !(size > 0) {
		return 0
	}
	return math.Copysign(math.Pow(math.Min(size, 1), f.Power), x)
}

// Slew moves a key's imitation of a stick towards where the keys put it, by at most so much.
func Slew(at, to, most float64) float64 {
	return at + math.Max(-most, math.Min(most, to-at))
}
