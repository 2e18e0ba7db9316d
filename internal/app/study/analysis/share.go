// Package analysis turns the results of a study into what a person wants to know: how often it works, why it does not,
// what is better. Everything here is a function of the study's file alone, so that merged parts and a single run say
// the same.
package analysis

import (
	"fmt"

	"chalkfield/internal/base/stats"
)

// Share is how many of how many, with its Wilson interval.
type Share struct {
	Hits     int            `json:"hits"`
	Of       int            `json:"of"`
	Interval stats.Interval `json:"interval"` // 95 %, of the share as a number from 0 to 1
}

func share(hits, of int) Share { return Share{hits, of, stats.Wilson(hits, of, stats.Level)} }

// Portion is the share as a number from 0 to 1; 0 of nothing.
func (s Share) Portion() float64 {
	if s.Of == 0 {
		return 0
	}
	return float64(s.Hits) / float64(s.Of)
}

// String is "64.2 % (95 %: 61.2 to 67.1)".
func (s Share) String() string {
	return fmt.Sprintf("%.1f %% (95 %%: %.1f to %.1f)", 100*s.Portion(), 100*s.Interval.Low, 100*s.Interval.High)
}
