package scene

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"

	"pgregory.net/rapid"
)

// Whatever is missing in a robot file, or is of another kind than it should be, what can be read of it is drawn.
func TestDraftsOfRobotsAreDrawn(t *testing.T) {
	value := regexp.MustCompile(`= .*`)
	property.Check(t, func(t *rapid.T) {
		data, err := robot.EmbeddedSource(rapid.SampledFrom(robot.Embedded()).Draw(t, "robot"))
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(string(data), "\n")
		for range rapid.IntRange(1, 12).Draw(t, "changes") {
			i := rapid.IntRange(6, len(lines)-1).Draw(t, "line")
			now := rapid.SampledFrom([]string{"", "= 3", `= "x"`, `= ["0 mm", "0 mm"]`, "= {}", "= []"}).Draw(t, "value")
			if now == "" {
				lines = slices.Delete(lines, i, i+1)
			} else {
				lines[i] = value.ReplaceAllString(lines[i], now)
			}
		}
		d, err := robot.ReadDraft("robot.toml", []byte(strings.Join(lines, "\n")))
		if err != nil {
			return // no TOML
		}
		if s := Drawing(units.Metric, d.Robot); len(s.Layers) == 0 || !(s.High.X > s.Low.X) {
			t.Fatalf("drawn from %v to %v", s.Low, s.High)
		}
	})
}
