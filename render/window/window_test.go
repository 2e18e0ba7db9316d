package window_test

import (
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"chalkfield/render/scene"
	"chalkfield/render/window"
)

func TestWindowOpensTheDemoAndPlays(t *testing.T) {
	s := newScreen(t)
	st := s.start()
	if st.Runs != 1 || st.Fault != "" || len(st.Events) == 0 {
		t.Fatalf("runs %d, fault %q, %d events", st.Runs, st.Fault, len(st.Events))
	}
	if !strings.Contains(st.Notice, "F1") {
		t.Errorf("the hint says %q", st.Notice)
	}
	first := s.until("it plays", func(st state) bool { return st.Playing && st.Time > 0 })
	s.until("time goes on", func(st state) bool { return st.Time > first.Time+0.2 })
	s.key("space")
	st = s.until("it pauses", func(st state) bool { return !st.Playing })
	s.untilSeen("the floor and the walls are drawn", func() bool {
		field := s.lookAt(st.Parts["field"])
		return count(field, scene.SlateTop) > 20000 && count(field, scene.Chalk) > 500
	})
	s.key("Home")
	s.until("it is at the start", func(st state) bool { return st.Time == 0 })
	s.key("Right", "Right", "Right")
	s.until("three samples on", func(st state) bool { return math.Abs(st.Time-0.06) < 1e-6 })
	s.key("Left")
	s.until("one back", func(st state) bool { return math.Abs(st.Time-0.04) < 1e-6 })
}

func TestWindowScrubsAndGoesToAnEvent(t *testing.T) {
	s := newScreen(t)
	s.start("--nominal")
	s.key("space")
	st := s.until("it pauses", func(st state) bool { return !st.Playing })
	timeX := func(t float64) float64 {
		return (st.Strip.X + (t-st.Span[0])/(st.Span[1]-st.Span[0])*st.Strip.W) * st.Density
	}
	ruler := (st.Parts["strip"].Y + 8) * st.Density
	s.drag(timeX(2), ruler, timeX(7), ruler)
	st = s.until("the drag ends at 7 s", func(st state) bool { return math.Abs(st.Time-7) < 0.05 })
	there := st.Robot
	s.key("Home")
	s.until("the robot is back at the start", func(st state) bool { return st.Time == 0 && st.Robot != there })
	s.click(timeX(7), ruler)
	again := s.until("it is there again", func(st state) bool { return math.Abs(st.Time-7) < 0.05 })
	if again.Time == st.Time && again.Robot != there {
		t.Errorf("at %g s the robot was at %s, after rewinding at %s", st.Time, there, again.Robot)
	}
	// The last event of the field's row, so that a neighbour cannot be meant.
	event := st.Events[0]
	for _, e := range st.Events {
		if e.Row == 0 {
			event = e
		}
	}
	row := (st.Parts["strip"].Y + 16 + 7) * st.Density
	s.click(timeX(event.T), row)
	st = s.until("the event's time", func(st state) bool { return st.Time == event.T })
	if st.Selected != event.Kind {
		t.Errorf("selected is %q, want the event %q", st.Selected, event.Kind)
	}
	s.untilSeen("the hand stands at the event", func() bool {
		return count(s.look(timeX(event.T)-3, (st.Parts["strip"].Y+50)*st.Density, 6, 4), scene.Accent) >= 4
	})
}

func TestWindowRehearsesAgainWhenTheFileIsSaved(t *testing.T) {
	s := newScreen(t)
	path := s.write("mine.lua", window.Ahead("300"))
	st := s.start(path, "--nominal")
	s.key("space")
	s.key("Home", "shift+Right")
	before := s.until("it stands at 1 s", func(st state) bool { return !st.Playing && math.Abs(st.Time-1) < 1e-6 })
	s.write("mine.lua", window.Ahead("900"))
	st = s.until("a second run", func(st state) bool { return st.Runs == 2 })
	if st.Time != before.Time {
		t.Errorf("the time moved from %g to %g", before.Time, st.Time)
	}
	if !st.HasPale || !strings.Contains(st.Notice, "later") {
		t.Errorf("no pale trace or no difference: %v, %q", st.HasPale, st.Notice)
	}
	s.key("End")
	s.until("the end", func(st state) bool { return st.Time == st.End })

	// A mistake: the message stands at its line, the run stays; saving again recovers.
	s.write("mine.lua", strings.Replace(window.Ahead("900"), "wait(0.2)", "wait(0.2", 1))
	st = s.until("the mistake is told", func(st state) bool { return st.Fault != "" })
	if st.Line < 5 || st.Line > 6 || st.Runs != 2 || !st.Bad {
		t.Errorf("line %d, runs %d, notice %q", st.Line, st.Runs, st.Notice)
	}
	s.untilSeen("the line is dark on light", func() bool {
		return count(s.lookAt(s.now().Parts["notebook"]), scene.Chalk) > 2000
	})
	// A mistake while it runs: a run all the same, with the line.
	s.write("mine.lua", strings.Replace(window.Ahead("900"), "wait(0.2)", "local a = nil + 1", 1))
	st = s.until("the failure is told", func(st state) bool { return st.Runs == 3 })
	if st.Line != 5 || st.Fault == "" {
		t.Errorf("line %d, fault %q", st.Line, st.Fault)
	}
	s.write("mine.lua", window.Ahead("600"))
	st = s.until("it recovers", func(st state) bool { return st.Runs == 4 && st.Fault == "" })
	if st.Bad {
		t.Errorf("the notice still warns: %q", st.Notice)
	}
}

func TestWindowLightsTheLineThatRuns(t *testing.T) {
	s := newScreen(t)
	st := s.start(s.write("mine.lua", window.Ahead("900")), "--nominal")
	s.key("space")
	s.key("Home", "shift+Right")
	st = s.until("line 6 is lit at 1 s", func(st state) bool { return !st.Playing && len(st.Lit) > 0 && st.Lit[0] == 6 })
	notebook := st.Parts["notebook"]
	s.untilSeen("a bar is lit", func() bool {
		return count(s.lookAt(notebook), scene.Mix(scene.Plate, scene.Accent, 0.25)) > 1500
	})
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestWindowDrivesAndKeepsTheDrive(t *testing.T) {
	s := newScreen(t)
	path := s.write("mine.lua", window.Ahead("300"))
	s.start(path, "--nominal")
	s.key("d")
	st := s.until("the card asks for a session", func(st state) bool { return st.Card == "drive" })
	for name := range st.Buttons {
		if strings.Contains(name, "solo") {
			s.press(name)
			break
		}
	}
	st = s.until("it waits for the first move", func(st state) bool { return st.Driving && !st.Begun })
	start := st.Robot
	s.xdotool("keydown", "w")
	s.until("the clock runs", func(st state) bool { return st.Begun && st.Time > 0.3 })
	st = s.until("it has moved and touched something", func(st state) bool {
		return st.Robot != start && len(st.Events) > 0
	})
	s.xdotool("keyup", "w")
	stick := st.Buttons["stick"]
	s.xdotool("mousemove", pixels(stick.X+stick.W/2), pixels(stick.Y+stick.H/2), "mousedown", "1")
	s.xdotool("mousemove", pixels(stick.X+stick.W/2), pixels(stick.Y+stick.H))
	there := st.Robot
	s.until("the pointer's stick drives", func(st state) bool { return st.Robot != there && st.Time > 0.6 })
	s.xdotool("mouseup", "1")
	s.key("Escape")
	st = s.until("it asks what to do with the drive", func(st state) bool { return !st.Driving && st.Card == "driven" })
	s.press("row Keep it as a record")
	s.until("the record is there", func(st state) bool { return strings.HasSuffix(st.Notice, "record_1.jsonl") })
	if text := read(t, s.path("record_1.jsonl")); !strings.Contains(text, "\"sheet\":{\"sides\":[\"ochre\"") {
		t.Error("the record of a drive ended with Esc has no score sheet")
	}
	s.key("d")
	st = s.until("it offers the drive again", func(st state) bool { return st.Card == "drive" })
	for name := range st.Buttons {
		if strings.HasPrefix(name, "row The last drive") {
			s.press(name)
			break
		}
	}
	s.until("it asks again", func(st state) bool { return st.Card == "driven" })
	s.press("row Make a draft routine of it")
	s.until("the draft is open", func(st state) bool {
		return strings.Contains(st.Notice, "draft_1.lua, the draft of the drive") && st.Title == "draft from a drive"
	})
	if text := read(t, s.path("draft_1.lua")); !strings.Contains(text, "bot.drive:") {
		t.Errorf("the draft drives nothing:\n%s", text)
	}
}

func TestWindowOpensWhatIsEmbeddedAndARecord(t *testing.T) {
	s := newScreen(t)
	s.start("--nominal")
	s.key("o")
	s.types("z", "z", "z")
	s.key("Return")
	st := s.until("nothing matches, and the card stays", func(st state) bool {
		return st.Card == "open" &&
			st.Filter == "zzz"
	})
	s.key("Escape", "o")
	s.types("k", "i", "l", "n", "underscore", "y", "a", "r", "d", "underscore", "b")
	s.key("Return")
	st = s.until("the embedded routine runs on its own field", func(st state) bool {
		return st.Runs == 2 &&
			st.Fault == "" && st.Card == ""
	})
	s.key("s", "Return")
	s.until("its record is there", func(st state) bool { return strings.HasSuffix(st.Notice, "record_1.jsonl") })
	title := st.Title
	s.quit()
	if err := os.Remove(s.path("state.json")); err != nil {
		t.Fatal(err)
	}
	st = s.start("record_1.jsonl")
	if st.Title != title || !strings.Contains(st.Notice, "Shows the record record_1.jsonl") {
		t.Errorf("opened %q: %q", st.Title, st.Notice)
	}
}

func TestWindowKeepsAFaultInSightWhileThereIsNothingToShow(t *testing.T) {
	s := newScreen(t)
	st := s.start("nothing.lua")
	s.key("ctrl+y")
	s.until("the line below has other news", func(st state) bool { return st.Notice == "Nothing to redo." })
	s.untilSeen("the message stands in the field", func() bool {
		return count(s.lookAt(st.Parts["field"]),
			scene.Chalk) > 300
	})
}

func TestWindowShowsSignalsLayersAndKeysByKeyboard(t *testing.T) {
	s := newScreen(t)
	st := s.start("--nominal")
	s.key("space", "End") // what is still to come is pale on the pages
	s.key("g", "g", "g")
	s.types("b", "a", "t", "t")
	s.key("Return", "Escape")
	s.until("the battery is charted", func(st state) bool {
		return len(st.Signals) == 2 && st.Signals[1] == "battery" &&
			st.Card == ""
	})
	s.key("l")
	s.until("layers", func(st state) bool { return st.Card == "layers" })
	s.key("space", "Escape")
	s.until("the belief is off", func(st state) bool { return !strings.Contains(st.Overlays, "belief") && st.Card == "" })
	s.key("F1")
	st = s.until("the sheet", func(st state) bool { return st.Card == "keys" })
	s.untilSeen("the sheet covers the middle", func() bool {
		return count(s.look(st.Width/2-100, 60, 200, 200), scene.Plate) > 20000
	})
	s.key("Escape")
	s.until("closed", func(st state) bool { return st.Card == "" })
	for _, tab := range []string{"robot", "score", "events", "routine"} {
		s.press("tab " + tab)
		st = s.until("the page "+tab, func(st state) bool { return st.Tab == tab })
		s.untilSeen("the page has words", func() bool { return count(s.lookAt(st.Parts["notebook"]), scene.Chalk) > 150 })
	}
}

func TestWindowResizes(t *testing.T) {
	s := newScreen(t)
	s.start("--nominal")
	s.key("space")
	for _, size := range [][2]string{{"960", "600"}, {"1600", "1000"}, {"1280", "800"}} {
		s.xdotool("search", "--class", "chalkfield", "windowsize", size[0], size[1])
		st := s.until("the size "+size[0], func(st state) bool {
			return pixels(st.Width*st.Density) == size[0] && pixels(st.Height*st.Density) == size[1]
		})
		s.untilSeen("the note's line is at the bottom", func() bool {
			return count(s.lookAt(st.Parts["note"]), scene.Plate) > 1000
		})
		for name, button := range st.Buttons {
			if button.X < 0 || button.Y < 0 || button.X+button.W > st.Width+0.5 || button.Y+button.H > st.Height+0.5 {
				t.Errorf("%s: %s leaves the window: %+v", size[0], name, button)
			}
		}
		s.until("no text is cut", func(st state) bool { return len(st.Cut) == 0 })
	}
}

func TestWindowTakesAPictureOfItself(t *testing.T) {
	s := newScreen(t)
	s.start(s.write("mine.lua", window.Ahead("300")), "--nominal")
	s.key("space", "F12")
	s.until("it says where", func(st state) bool { return strings.Contains(st.Notice, "chalkfield_1.png") })
	if info, err := os.Stat(s.path("chalkfield_1.png")); err != nil || info.Size() < 10000 {
		t.Errorf("picture: %v, %v", info, err)
	}
}

func TestWindowRemembersFilesAndSurvivesABrokenMemory(t *testing.T) {
	s := newScreen(t)
	if err := os.MkdirAll(s.path("config/chalkfield"), 0o700); err != nil {
		t.Fatal(err)
	}
	memory := filepath.Join("config", "chalkfield", "window.json")
	s.write(memory, "{broken")
	s.start(s.write("mine.lua", window.Ahead("300")), "--nominal")
	if !strings.Contains(s.output.String(), "window.json") {
		t.Errorf("no note about the broken file: %q", s.output.String())
	}
	s.xdotool("search", "--class", "chalkfield", "windowsize", "1100", "700")
	s.until("it has another size", func(st state) bool {
		return pixels(st.Width*st.Density) == "1100" && pixels(st.Height*st.Density) == "700"
	})
	s.quit()
	text := read(t, s.path(memory))
	for _, want := range []string{"mine.lua", `"width": 1100`, `"height": 700`} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is not remembered: %s", want, text)
		}
	}
}

func TestWithoutADisplayTheWindowSaysSoInOneLine(t *testing.T) {
	ctx, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	program := exec.CommandContext(ctx, os.Args[0], "open")
	covered := t.TempDir() // else a binary built for coverage warns of a missing folder
	program.Env = []string{asProgram + "=1", "HOME=" + t.TempDir(), "PATH=" + os.Getenv("PATH"), "GOCOVERDIR=" + covered}
	program.WaitDelay = time.Second
	out, err := program.CombinedOutput()
	if program.ProcessState.ExitCode() != 2 {
		t.Errorf("exit %v, want 2", err)
	}
	text := strings.TrimSpace(string(out))
	if strings.Count(text, "\n") != 0 || !strings.Contains(text, "chalkfield run") {
		t.Errorf("it says %q", text)
	}
}
