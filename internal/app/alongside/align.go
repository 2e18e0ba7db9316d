package alongside

import (
	"errors"
	"fmt"
	"math"

	"chalkfield/internal/base/record"
)

// What is searched through, and what fits. Common practice, no source.
const (
	cell       = record.SamplePeriod // s: of the even grid of time on which signals are compared
	wide       = 5                   // cells that the first round takes as one
	even       = 5                   // cells to each side, for the mean speed of one: an encoder's steps are no motion
	longest    = 4 * 3600.0          // s of a log that is searched
	leastMatch = 0.6                 // correlation without which nothing fits: of other routines some 0.5 (0.53, 0.55)
	goodMatch  = 0.85                // that of much weaker robots, and of short routines that look alike, is lower
	openMatch  = 0.5                 // of the first motion, near the place found by all of the run
	leastPower = 0.01                // of the rehearsal's: less motion is none
	asGood     = 0.9                 // of the best score: another place that fits too
	apart      = 2.0                 // s between two places
	opening    = 0.4                 // s from the first motion on, by which the clocks are set
	slack      = 2.5                 // s by which these may set them otherwise than all of the run
)

// say is what helps where the place in the log cannot be found.
const say = "say at which time of the log's clock the routine begins (--log-at; in a check file, at)"

var errStands = errors.New("the robot of the rehearsal stands still, so nothing tells where in the log it begins: " +
	say)

// align finds which moment of the log's clock is the rehearsal's first. First by speeds and turning rates of the whole
// run; then, because a real robot that is slower falls behind by and by, by the first seconds of motion: by the volts
// that the routine gives there, if the log has them, for these do not depend on how the robot answers.
//
// Source: the delay at the peak of the normalised cross-correlation (Knapp and Carter, IEEE Transactions on Acoustics,
// Speech, and Signal Processing 24(4), 1976; from memory).
func (p *pairing) align() error {
	log := p.columns.log
	if log.Seconds() > longest {
		return fmt.Errorf("it has %.1f hours, of which at most %.0f are searched: cut it, or %s", log.Seconds()/3600,
			longest/3600, say)
	}
	from := log.Time[0]
	times := make([]float64, int(log.Seconds()/cell)+2)
	for i := range times {
		times[i] = from + float64(float64(i)*cell)
	}
	mine := p.mySpeeds()
	theirs := p.theirSpeeds(times).within(mine)
	smoothMine, smoothTheirs := mine.smooth(even), theirs.smooth(even)
	whole := newMatcher(smoothMine, smoothTheirs)
	if whole.myPower[mine.cells()] == 0 {
		return errStands
	}
	lag, rivals := p.search(smoothMine, smoothTheirs)
	lag = highest(whole.score, lag-wide, lag+wide)
	p.Correlation = whole.correlation(lag)
	p.At = from + float64(cell*float64(lag))
	if p.Correlation < leastMatch {
		return fmt.Errorf("nowhere in it does the robot move as in the rehearsal (speeds and turning rates correlate by "+
			"%.2f at best, and it takes %.2f). If it is a log of this routine, %s", p.Correlation, leastMatch, say)
	}
	if p.Correlation < goodMatch {
		p.note("the two move little alike: make sure that it is a log of this routine")
	}
	for _, rival := range rivals {
		p.Others = append(p.Others, from+float64(cell*float64(rival)))
	}
	p.open(mine, theirs, times, lag)
	return nil
}

// search is the first round: where the rehearsal fits best, and the other places where it fits about as well.
func (p *pairing) search(mine, theirs signals) (best int, rivals []int) {
	m := newMatcher(mine.coarse(wide), theirs.coarse(wide))
	first := 1 - m.mine.cells()
	scores := make([]float64, m.mine.cells()+m.theirs.cells()-1)
	for i := range scores {
		scores[i] = m.score(first + i)
	}
	top := highest(func(i int) float64 { return scores[i] }, 0, len(scores)-1)
	const reach = int(apart / cell / wide)
	for i, score := range scores {
		if score < asGood*scores[top] || i > top-reach && i < top+reach {
			continue
		}
		near := func(k int) float64 { return scores[k] }
		if highest(near, max(0, i-reach), min(len(scores)-1, i+reach)) == i {
			rivals = append(rivals, (first+i)*wide)
		}
	}
	return (first + top) * wide, rivals
}

// open sets the clocks by the first seconds of motion.
func (p *pairing) open(mine, theirs signals, times []float64, lag int) {
	if volts := p.theirVolts(times); volts != nil {
		mine, theirs = p.myVolts(), volts
	}
	begin := begins(mine)
	const lead = 10 // cells before it
	from, to := max(0, begin-lead), min(mine.cells(), begin+int(opening/cell))
	if from >= to {
		return
	}
	m := newMatcher(mine.cut(from, to), theirs)
	room := int(slack / cell)
	best := highest(func(l int) float64 { return m.score(l + from) }, lag-room, lag+room)
	at := func(l int) float64 { return m.score(l + from) }
	if best+begin < 0 || at(best) < openMatch {
		return // the log begins later, or the robot began otherwise
	}
	p.At = times[0] + float64(cell*(float64(best)+between(at(best-1), at(best), at(best+1))))
}

// mySpeeds are speed and turning rate of the rehearsal in cells: the wheels', which encoders see, or of all of the
// robot for a log of places. The turning rate counts as the speed of the sides that it makes.
func (p *pairing) mySpeeds() signals {
	out := make(signals, 2)
	for i := range p.cells() {
		a, b := p.sample(i), p.sample(i+1)
		ahead := (a.Wheels[0] + a.Wheels[1] + b.Wheels[0] + b.Wheels[1]) / 4
		if p.columns.place {
			ahead = (math.Hypot(a.Velocity[0], a.Velocity[1]) + math.Hypot(b.Velocity[0], b.Velocity[1])) / 2
		}
		out[0] = append(out[0], ahead)
		out[1] = append(out[1], p.columns.track/2*(a.Velocity[2]+b.Velocity[2])/2)
	}
	return out[:p.channels()]
}

// channels: a log of x and y alone tells of no turns.
func (p *pairing) channels() int {
	if p.columns.turns() {
		return 2
	}
	return 1
}

func (p *pairing) theirSpeeds(times []float64) signals {
	m := p.columns.at(times)
	out := make(signals, 2)
	for i := range len(times) - 1 {
		w := m.twist(i, i+1)
		out[0] = append(out[0], orNone(w.Along/cell))
		out[1] = append(out[1], orNone(p.columns.track/2*w.Turn/cell))
	}
	return out[:p.channels()]
}

// within keeps signals below one and a half times the greatest of others: a wrong row would outweigh all of a run.
func (s signals) within(others signals) signals {
	for k := range s {
		top := 0.0
		for _, x := range others[k] {
			top = max(top, 1.5*math.Abs(x))
		}
		for i, x := range s[k] {
			s[k][i] = min(max(x, -top), top)
		}
	}
	return s
}

func (p *pairing) myVolts() signals {
	out := make(signals, 2)
	for i := range p.cells() {
		for side := range out { // a record has the volts until a sample
			out[side] = append(out[side], p.told(i + 1).Volts[side])
		}
	}
	return out
}

// theirVolts are nil where the log does not have both sides'.
func (p *pairing) theirVolts(times []float64) signals {
	middle := make([]float64, len(times)-1)
	for i := range middle {
		middle[i] = times[i] + cell/2
	}
	out := make(signals, 2)
	for side := range out {
		values, unit := p.columns.log.DriveAt(side, middle)
		if unit != "V" {
			return nil
		}
		for _, v := range values {
			out[side] = append(out[side], orNone(v))
		}
	}
	return out
}

func orNone(x float64) float64 { return or(x, 0) }

// place takes the moment that is given.
func (p *pairing) place(at float64) error {
	p.At, p.Given = at, true
	mine := p.mySpeeds()
	times := make([]float64, len(p.record.Samples))
	for i := range times {
		times[i] = at + float64(float64(i)*cell)
	}
	theirs := p.theirSpeeds(times).within(mine)
	p.Correlation = newMatcher(mine.smooth(even), theirs.smooth(even)).correlation(0)
	return nil
}

// begins is the cell with which motion begins.
func begins(s signals) int {
	power := s.powers()
	begin := 0
	for begin < s.cells() && power[begin+1] <= 1e-3*power[s.cells()] {
		begin++
	}
	return begin
}
