package picture

import (
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/sim/robot"
)

func drawnWords(robot *robot.Robot) (map[string]int, *paint.Recorder, *Page) {
	var r paint.Recorder
	p := NewPage(scene.Drawing(units.Metric, robot), 1200)
	p.Draw(&r)
	words := map[string]int{}
	for _, text := range r.Texts {
		words[text.Words]++
	}
	return words, &r, p
}

func TestARobotsDrawingNamesEveryPartAndSensor(t *testing.T) {
	for _, name := range robot.Embedded() {
		robot, err := robot.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		words, r, p := drawnWords(robot)
		for _, part := range robot.Parts {
			if words["bot."+part.Name] != 1 {
				t.Errorf("%s: bot.%s is named %d times", name, part.Name, words["bot."+part.Name])
			}
		}
		for _, sensor := range robot.Sensors {
			if words["bot.sense."+sensor.Name] != 1 {
				t.Errorf("%s: bot.sense.%s is named %d times", name, sensor.Name, words["bot.sense."+sensor.Name])
			}
		}
		for _, want := range []string{"forward", robot.Title, "driven wheel"} {
			if words[want] != 1 {
				t.Errorf("%s: %q stands there %d times", name, want, words[want])
			}
		}
		for i, a := range r.Texts {
			if !a.Box().Within(paint.Box{Right: p.Width, Bottom: p.Height}) {
				t.Errorf("%s: %q reaches out of the page", name, a.Words)
			}
			for _, b := range r.Texts[:i] {
				if a.Box().Grown(-0.5).Meets(b.Box().Grown(-0.5)) {
					t.Errorf("%s: %q lies over %q", name, a.Words, b.Words)
				}
			}
		}
	}
}

func TestARobotsDrawingTellsItsWheelsApart(t *testing.T) {
	spec := &robot.Robot{Name: "bench.toml", Chassis: robot.Chassis{Length: 0.3, Width: 0.25}}
	spec.Wheels = []robot.Wheel{
		{At: geom.Vec{X: 0.1, Y: 0.1}, Radius: 0.05, Train: robot.Left, Along: 0.9, Across: 0.9},
		{At: geom.Vec{X: 0.1, Y: -0.1}, Radius: 0.04, Train: robot.Free, Along: 0.9, Across: 0.05},
	}
	words, _, _ := drawnWords(spec)
	for _, want := range []string{"bench.toml", "driven wheel", "wheel that rolls free", "traction wheel, 100 mm",
		"omni wheel, 80 mm", "300 mm", "250 mm"} {
		if words[want] != 1 {
			t.Errorf("%q stands there %d times: %v", want, words[want], words)
		}
	}
	for words := range words {
		if strings.Contains(words, "seed") || strings.Contains(words, "session") || strings.Contains(words, " of 0.00 s") {
			t.Errorf("%q says something of a rehearsal", words)
		}
	}
}
