package window_test

import (
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/render/window"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
	"chalkfield/sim/robot"

	"chalkfield/assets"
)

// asMeasure makes the test binary a window that times itself.
const asMeasure = "CHALKFIELD_TEST_AS_MEASURE"

// crowded is Core Haul with pieces added until there are 60 bodies.
func crowded(viewmodel.Files) (viewmodel.Loaded, error) {
	loaded, err := demo(viewmodel.Files{})
	if err != nil {
		return loaded, err
	}
	field := loaded.Setup.Field
	for n := 0; len(field.Pieces)+len(field.Goals) < 60; n++ {
		at := geom.Pose{X: 1.5 + 0.16*float64(n%9), Y: 2.2 + 0.16*float64(n/9)}
		field.Pieces = append(field.Pieces, fields.Piece{Name: fmt.Sprintf("extra %d", n), At: at, Side: -1, Goal: -1,
			Robot: -1})
	}
	return loaded, nil
}

// demo is the routine that comes with the program, on its field.
func demo(viewmodel.Files) (viewmodel.Loaded, error) {
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		return viewmodel.Loaded{}, err
	}
	robot, err := robot.Find("hauler")
	if err != nil {
		return viewmodel.Loaded{}, err
	}
	program, err := scripting.LoadFS(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		return viewmodel.Loaded{}, err
	}
	text, err := fs.ReadFile(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		return viewmodel.Loaded{}, err
	}
	return viewmodel.Loaded{
		Setup:  rehearse.Setup{Field: field, Seed: 1, Entrants: []rehearse.Entrant{{Robot: robot, Routine: program}}},
		Source: viewmodel.SourceOf("core_haul_demo.lua", "", string(text)),
	}, nil
}

func measure() int {
	var err error
	switch mode := os.Getenv(asMeasure); mode {
	case "turns":
		err = window.MeasureTurns(window.Options{Load: demo}, 40, os.Stdout)
	case "compare":
		err = window.CompareFrames(window.Options{Load: demo}, 60, os.Stdout)
	case "bare", "whole":
		err = window.Measure(window.Options{Load: crowded}, 200, mode == "bare", os.Stdout)
	default:
		err = measureCosts()
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

// BenchmarkFrame gives the times of a frame at 1280 x 800 with 60 bodies while it plays: Update, Draw (both without the
// renderer), and from frame to frame with everything, on the renderer of the display (Xvfb: software). The bare time is
// what the same renderer takes for a window of one colour.
func BenchmarkFrame(b *testing.B) {
	s := newScreen(b)
	for b.Loop() {
		_, _, bare := measured(b, s.display, "bare")
		update, draw, frame := measured(b, s.display, "whole")
		b.ReportMetric(update, "update-ms/frame")
		b.ReportMetric(draw, "draw-ms/frame")
		b.ReportMetric(frame, "ms/frame")
		b.ReportMetric(bare, "bare-ms/frame")
	}
	b.ReportMetric(0, "ns/op") // starting the window is not what is measured
}

// BenchmarkTurn gives the time from a step of a number of the demo to its new way on the screen, on average and at
// most, beside a frame of the window as it is and one of one colour.
func BenchmarkTurn(b *testing.B) {
	s := newScreen(b)
	for b.Loop() {
		_, _, bare := measured(b, s.display, "bare")
		_, _, frame := measured(b, s.display, "whole")
		var mean, most float64
		told(b, s.display, "turns", &mean, &most)
		b.ReportMetric(mean, "ms/turn")
		b.ReportMetric(most, "longest-ms/turn")
		b.ReportMetric(frame, "ms/frame")
		b.ReportMetric(bare, "bare-ms/frame")
	}
	b.ReportMetric(0, "ns/op") // starting the window is not what is measured
}

// told runs the window that times itself, and reads its numbers.
func told(b testing.TB, display, mode string, into ...any) {
	b.Helper()
	program := exec.Command(os.Args[0])
	program.Env = append(os.Environ(), asMeasure+"="+mode, "DISPLAY="+display, "WAYLAND_DISPLAY=")
	out, err := program.Output()
	if err == nil {
		_, err = fmt.Sscan(strings.TrimSpace(string(out)), into...)
	}
	if err != nil {
		b.Fatalf("%v: %s", err, out)
	}
}

func measured(b *testing.B, display, mode string) (update, draw, frame float64) {
	b.Helper()
	var bodies int
	told(b, display, mode, &update, &draw, &frame, &bodies)
	if bodies != 60 {
		b.Fatalf("%d bodies, want 60", bodies)
	}
	return update, draw, frame
}
