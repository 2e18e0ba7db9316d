package robot

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/property"

	"pgregory.net/rapid"
)

func TestADraftOfAWholeRobotIsTheRobot(t *testing.T) {
	for _, name := range Embedded() {
		data, err := EmbeddedSource(name)
		if err != nil {
			t.Fatal(err)
		}
		d, err := ReadDraft(name+".toml", data)
		if err != nil || len(d.Wrong) > 0 || len(d.Robot.Parts) == 0 {
			t.Errorf("%s: %v, %v", name, err, d)
		}
	}
}

func TestADraftKeepsTheOutlineThatIsRefused(t *testing.T) {
	d, err := ReadDraft("robot.toml", []byte(outlined(`["200 mm", "-150 mm"], ["200 mm", "150 mm"], ["100 mm", "0 mm"], `+
		`["-200 mm", "150 mm"], ["-200 mm", "-150 mm"]`)))
	if err != nil || len(d.Wrong) != 1 || d.Wrong[0].Key != "chassis.outline[2]" {
		t.Fatalf("%v %v", err, d.Wrong)
	}
	if len(d.Corners) != 5 || !slices.Equal(d.Corners, d.Robot.Chassis.Shape()) {
		t.Errorf("%v, drawn %v", d.Corners, d.Robot.Chassis.Shape())
	}
}

// A file with lines taken out or values that mean something else is a draft with what is wrong, or no TOML; Parse
// agrees on which are whole.
func TestDraftsAgreeWithParse(t *testing.T) {
	value := regexp.MustCompile(`= .*`)
	property.Check(t, func(t *rapid.T) {
		data, err := EmbeddedSource(rapid.SampledFrom(Embedded()).Draw(t, "robot"))
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(string(data), "\n")
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			i := rapid.IntRange(6, len(lines)-1).Draw(t, "line")
			now := rapid.SampledFrom([]string{"", "= 3", `= "x"`, `= ["0 mm", "0 mm"]`, "= {}", "= []"}).Draw(t, "value")
			if now == "" {
				lines = slices.Delete(lines, i, i+1)
			} else {
				lines[i] = value.ReplaceAllString(lines[i], now)
			}
		}
		text := []byte(strings.Join(lines, "\n"))
		_, refused := Parse("robot.toml", text)
		d, err := ReadDraft("robot.toml", text)
		if err != nil {
			return // no TOML
		}
		if (refused != nil) != (len(d.Wrong) > 0) {
			t.Fatalf("refused by %v, wrong %v", refused, d.Wrong)
		}
	})
}
