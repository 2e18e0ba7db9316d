// Package sound makes the window's few short sounds and plays them. They are computed, not recorded; where there is no
// device to play them on nothing is heard, and nothing is wrong.
package sound

import (
	"encoding/binary"
	"math"
)

// Rate is the samples a second.
const Rate = 44100

// tone is a stretch of a sound.
type tone struct {
	hz, to  float64 // at its beginning and at its end
	seconds float64
	level   float64 // 0 to 1
	dies    bool    // away, instead of being held
}

// Edges of a tone, s: a step in loudness would click.
const (
	rise = 0.004
	fall = 0.02
)

// Kind is what a sound tells.
type Kind int

const (
	Phase Kind = iota // a phase begins
	More              // a side has more points
	Less              // or fewer
	Touch             // the robot meets something
	kinds
)

// tones are what the kinds are made of.
var tones = [kinds][]tone{
	Phase: {{520, 520, 0.12, 0.28, false}, {780, 780, 0.2, 0.28, false}},
	More:  {{880, 880, 0.06, 0.22, false}, {1320, 1320, 0.12, 0.22, true}},
	Less:  {{440, 440, 0.06, 0.22, false}, {293, 293, 0.14, 0.22, true}},
	Touch: {{150, 70, 0.09, 0.5, true}},
}

// samples are a sound as 16 bits, little endian, one channel.
func samples(list []tone) []byte {
	var out []byte
	for _, t := range list {
		n := int(t.seconds * Rate)
		turns := 0.0
		for i := range n {
			at := float64(i) / Rate
			share := float64(i) / float64(n)
			turns += (t.hz + (t.to-t.hz)*share) / Rate
			level := t.level * math.Min(1, math.Min(at/rise, (t.seconds-at)/fall))
			if t.dies {
				level *= 1 - share
			}
			// a little of the octave, so that it is no test tone
			wave := 0.8*math.Sin(2*math.Pi*turns) + 0.2*math.Sin(4*math.Pi*turns)
			out = binary.LittleEndian.AppendUint16(out, uint16(int16(math.MaxInt16*level*wave)))
		}
	}
	return out
}
