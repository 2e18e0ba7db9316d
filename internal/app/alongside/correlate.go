package alongside

import "math"

// signals are some quantities on one even grid of time; a cell of which nothing is known has 0.
type signals [][]float64

func (s signals) cells() int { return len(s[0]) }

// cut is a stretch of the cells.
func (s signals) cut(from, to int) signals {
	out := make(signals, len(s))
	for k := range s {
		out[k] = s[k][from:to]
	}
	return out
}

// coarse are means of each n cells.
func (s signals) coarse(n int) signals {
	out := make(signals, len(s))
	for k, x := range s {
		for i := 0; i < len(x); i += n {
			sum := 0.0
			for _, v := range x[i:min(i+n, len(x))] {
				sum += v
			}
			out[k] = append(out[k], sum/float64(n))
		}
	}
	return out
}

// smooth are means of the cells up to n away to each side; beyond the ends nothing is known.
func (s signals) smooth(n int) signals {
	out := make(signals, len(s))
	for k, x := range s {
		sum := 0.0
		for i := range len(x) + n {
			if i < len(x) {
				sum += x[i]
			}
			if last := i - 2*n - 1; last >= 0 {
				sum -= x[last]
			}
			if i >= n {
				out[k] = append(out[k], sum/float64(2*n+1))
			}
		}
	}
	return out
}

// powers are the running sums of the squares: element i is of the cells before i.
func (s signals) powers() []float64 {
	out := make([]float64, s.cells()+1)
	for i := range s.cells() {
		out[i+1] = out[i]
		for k := range s {
			out[i+1] += float64(s[k][i] * s[k][i])
		}
	}
	return out
}

// matcher compares the rehearsal's signals with the log's.
type matcher struct {
	mine, theirs        signals
	myPower, theirPower []float64 // running sums
}

func newMatcher(mine, theirs signals) *matcher {
	return &matcher{mine, theirs, mine.powers(), theirs.powers()}
}

// overlap are the cells of the rehearsal that the log has too, where its first cell is the log's so-many-eth.
func (m *matcher) overlap(lag int) (from, to int) {
	return max(0, -lag), min(m.mine.cells(), m.theirs.cells()-lag)
}

// correlation of what both have: the cosine of the angle between the two stretches as vectors, sum ab / sqrt(sum aa sum
// bb). Robots stand still at 0, which is no mean to be taken off.
func (m *matcher) correlation(lag int) float64 {
	from, to := m.overlap(lag)
	if from >= to {
		return 0
	}
	return m.cosine(lag, m.myPower[to]-m.myPower[from])
}

// score is the correlation with all of the rehearsal's power below the line: a stretch of the log that has only a part
// of the rehearsal, such as a few cells at its edge, must not fit better than one that has all.
func (m *matcher) score(lag int) float64 { return m.cosine(lag, m.myPower[len(m.myPower)-1]) }

func (m *matcher) cosine(lag int, power float64) float64 {
	from, to := m.overlap(lag)
	if from >= to {
		return 0
	}
	theirs := m.theirPower[to+lag] - m.theirPower[from+lag]
	if power <= 0 || theirs <= leastPower*power {
		return 0
	}
	product := 0.0
	for k, x := range m.mine {
		y := m.theirs[k][from+lag : to+lag]
		for i, v := range x[from:to] {
			product += float64(v * y[i])
		}
	}
	return product / math.Sqrt(float64(power*theirs))
}

// highest is where a function of whole numbers is greatest.
func highest(at func(int) float64, from, to int) int {
	best, top := from, math.Inf(-1)
	for lag := from; lag <= to; lag++ {
		if here := at(lag); here > top {
			best, top = lag, here
		}
	}
	return best
}

// between is how far beside the highest of three neighbours the peak of the parabola through them lies.
func between(before, here, after float64) float64 {
	if bend := before - 2*here + after; bend < 0 {
		return (before - after) / (2 * bend)
	}
	return 0
}
