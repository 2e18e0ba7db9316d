package sound

import (
	"encoding/binary"
	"math"
	"testing"
	"time"
)

// A sound is short, begins and ends in silence, and is as high as it says: its waves are counted.
func TestSoundsAreShortAndAsHighAsTheySay(t *testing.T) {
	for kind, list := range tones {
		var seconds float64
		for _, one := range list {
			seconds += one.seconds
			data := samples([]tone{one})
			if n := len(data) / 2; math.Abs(float64(n)-one.seconds*Rate) > 1 {
				t.Errorf("%d: %d samples of %g s", kind, n, one.seconds)
			}
			value := func(i int) float64 { return float64(int16(binary.LittleEndian.Uint16(data[2*i:]))) / math.MaxInt16 }
			last, crossings, peak := 0.0, 0, 0.0
			for i := range len(data) / 2 {
				v := value(i)
				peak = math.Max(peak, math.Abs(v))
				if v > 0 && last <= 0 {
					crossings++
				}
				last = v
			}
			if want := one.seconds * (one.hz + one.to) / 2; math.Abs(float64(crossings)-want) > 1 {
				t.Errorf("%d: %d waves, want %.1f", kind, crossings, want)
			}
			if peak > one.level || peak < 0.5*one.level || value(0) != 0 || math.Abs(value(len(data)/2-1)) > 0.01 {
				t.Errorf("%d: peak %g of %g, from %g to %g", kind, peak, one.level, value(0), value(len(data)/2-1))
			}
		}
		if seconds > 0.35 {
			t.Errorf("%d lasts %g s", kind, seconds)
		}
	}
}

// Without a device a sound is no error and takes no time.
func TestWithoutADeviceNothingIsHeard(t *testing.T) {
	p := Open()
	for end := time.Now().Add(20 * time.Second); !p.Silent() && time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		p.Play(Touch)
	}
	if !p.Silent() {
		t.Skip("this machine has a device")
	}
	p.Play(Phase)
}
