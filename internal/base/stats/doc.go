// Package stats holds the statistics of many rehearsals and of measurements: small pure functions, each with its
// source, and Fit, which finds the parameters that explain a measurement. Nothing here draws from global randomness; a
// function that draws takes its stream. Sums of gonum's may be fused: the same bits on one kind of processor only.
package stats

import "gonum.org/v1/gonum/stat/distuv"

// Level is the confidence of every interval that Chalkfield prints.
const Level = 0.95

// Interval is a confidence interval.
type Interval struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// normalQuantile is z with P(|Z| < z) = level: 1.959964 for 95 %.
func normalQuantile(level float64) float64 {
	return distuv.UnitNormal.Quantile(0.5 + level/2)
}
