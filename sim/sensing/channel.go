// Package sensing is what a robot knows: what stands between the truth and a sensor's reading (scale, bias, noise,
// resolution, rate, latency, lost readings: with all of them zero a reading is the truth), and dead reckoning, which
// makes the pose that the robot believes in from such readings.
package sensing

import (
	"math"
	"math/rand/v2"

	"chalkfield/internal/base/portable"
	"chalkfield/sim/robot"
)

// early lets a time that is due up to rounding count as due, s.
const early = 1e-9

// Channel carries one quantity from the truth to a reading, sampled once per control tick.
type Channel struct {
	timing  robot.Timing
	quality robot.Quality
	gain    float64    // 1 + relative scale error
	chance  *rand.Rand // nil: nothing random
	period  float64    // s between ticks

	tick    int
	due     float64 // s: when the next is, at a rate of the sensor's own
	queue   []delayed
	head    int // oldest entry of the ring
	waiting int // entries under way
	reading float64
}

// delayed is a sample on its way.
type delayed struct {
	ready float64 // s
	value float64
}

// NewChannel carries the quantity of a sensor that the robot file describes. The period is the time between two calls
// of Sample, in s; scale is a relative error on top of the file's, as drawn for one rehearsal; without a chance nothing
// random happens (noise and lost readings are left out).
func NewChannel(timing robot.Timing, quality robot.Quality, scale, period float64, chance *rand.Rand) *Channel {
	between := period
	if timing.Rate > 0 {
		between = max(period, 1/timing.Rate)
	}
	room := int(math.Ceil(timing.Latency/between)) + 2
	return &Channel{timing: timing, quality: quality, gain: (1 + quality.Scale) * (1 + scale), chance: chance,
		period: period, queue: make([]delayed, room)}
}

// Due tells whether the next Sample looks at the truth: where that is costly to find, it can be left out otherwise.
func (c *Channel) Due() bool {
	return c.dueAt(float64(float64(c.tick) * c.period))
}

func (c *Channel) dueAt(now float64) bool {
	return c.timing.Rate == 0 || now+early >= c.due
}

// Sample takes the truth at a control tick and brings the reading up to date.
func (c *Channel) Sample(truth float64) {
	now := float64(float64(c.tick) * c.period)
	if c.dueAt(now) && c.arrives(now) {
		value := c.measure(truth)
		if c.tick == 0 || c.timing.Latency == 0 { // it was on before the start
			c.reading = value
		}
		if c.timing.Latency > 0 {
			c.enter(now+c.timing.Latency, value)
		}
	}
	c.tick++
	for c.waiting > 0 && c.queue[c.head].ready <= now+early {
		c.reading = c.queue[c.head].value
		c.head = (c.head + 1) % len(c.queue)
		c.waiting--
	}
}

// arrives notes when the sensor's own rate has its next sample and tells whether it gets through.
func (c *Channel) arrives(now float64) bool {
	if c.timing.Rate > 0 {
		c.due = (math.Floor((now+early)*c.timing.Rate) + 1) / c.timing.Rate
	}
	return c.chance == nil || c.timing.Dropout == 0 || c.chance.Float64() >= c.timing.Dropout
}

func (c *Channel) measure(truth float64) float64 {
	return Measure(float64(truth*c.gain), c.quality, c.chance)
}

// Measure is what a sensor makes of a scaled truth: round((scaled + noise) / resolution) resolution.
func Measure(scaled float64, q robot.Quality, chance *rand.Rand) float64 {
	if q.Noise > 0 && chance != nil {
		scaled += float64(q.Noise * portable.Normal(chance))
	}
	if q.Resolution > 0 {
		scaled = math.Round(scaled/q.Resolution) * q.Resolution
	}
	return scaled
}

// enter puts a sample on its way. The ring has room for all that can be under way at once.
func (c *Channel) enter(ready, value float64) {
	c.queue[(c.head+c.waiting)%len(c.queue)] = delayed{ready, value}
	c.waiting++
}

// Reading is the latest reading that has arrived, in the sensor's unit.
func (c *Channel) Reading() float64 { return c.reading }
