//go:build unix

package window_test

import (
	"encoding/json"
	"os"
	"testing"

	"chalkfield/render/window"
)

// BenchmarkIdle gives what a window of 1280 x 800 that rests takes of a core, beside one of one colour.
func BenchmarkIdle(b *testing.B) { costs(b, window.Costs{Width: 1280, Height: 800}) }

// BenchmarkPlaying gives what it takes while the demo plays, beside one that shows one colour after the other as often.
func BenchmarkPlaying(b *testing.B) { costs(b, window.Costs{Width: 1280, Height: 800, Play: true}) }

// BenchmarkMemory gives the most memory of a window of 3840 x 2160 that plays, and of one in which a number is turned.
func BenchmarkMemory(b *testing.B) {
	s := newScreen(b)
	for b.Loop() {
		for name, c := range map[string]window.Costs{"playing": {Play: true}, "turning": {Turn: true},
			"bare": {Play: true, Bare: true}} {
			c.Width, c.Height = 3840, 2160
			_, _, memory := cost(b, s.display, c)
			b.ReportMetric(memory, name+"-MB")
		}
	}
	b.ReportMetric(0, "ns/op")
}

func costs(b *testing.B, c window.Costs) {
	s := newScreen(b)
	for b.Loop() {
		bare := c
		bare.Bare = true
		bareShare, bareRate, _ := cost(b, s.display, bare)
		share, rate, memory := cost(b, s.display, c)
		b.ReportMetric(share, "%-core")
		b.ReportMetric(bareShare, "bare-%-core")
		b.ReportMetric(rate, "frames/s")
		b.ReportMetric(memory, "MB")
		if c.Play {
			b.ReportMetric(10*share/rate, "processor-ms/frame")
			b.ReportMetric(10*bareShare/bareRate, "bare-processor-ms/frame")
			b.ReportMetric(share/rate/(bareShare/bareRate), "times-bare")
		}
	}
	b.ReportMetric(0, "ns/op") // starting the window is not what is measured
}

func cost(b *testing.B, display string, c window.Costs) (share, rate, memory float64) {
	b.Helper()
	c.Seconds = 5
	mode, err := json.Marshal(c)
	if err != nil {
		b.Fatal(err)
	}
	told(b, display, string(mode), &share, &rate, &memory)
	return share, rate, memory
}

func measureCosts() error {
	var c window.Costs
	if err := json.Unmarshal([]byte(os.Getenv(asMeasure)), &c); err != nil {
		return err
	}
	return window.MeasureCosts(window.Options{Load: demo}, c, os.Stdout)
}
