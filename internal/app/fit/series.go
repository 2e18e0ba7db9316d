package fit

import "sort"

// held is a signal whose value holds until the next row, as its integral over time.
type held struct {
	time, values, sums []float64
}

func newHeld(time, values []float64) *held {
	h := &held{time: time, values: values, sums: make([]float64, len(time))}
	for i := 1; i < len(time); i++ {
		h.sums[i] = h.sums[i-1] + float64(values[i-1]*(time[i]-time[i-1]))
	}
	return h
}

// until is the integral up to t. Before the first row the signal is 0, behind the last it is that row's.
func (h *held) until(t float64) float64 {
	i := sort.Search(len(h.time), func(i int) bool { return h.time[i] > t })
	if i == 0 {
		return 0
	}
	return h.sums[i-1] + float64(h.values[i-1]*(t-h.time[i-1]))
}

// mean is the signal's over a time: smooth in both ends.
func (h *held) mean(from, to float64) float64 { return (h.until(to) - h.until(from)) / (to - from) }
