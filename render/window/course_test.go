package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/lesson"
	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
)

// writeCourse writes a course straight ahead: through two gates, to rest beyond them.
func writeCourse(write func(name, text string), folder string) {
	for name, text := range map[string]string{
		"lesson.toml": `title = "Ahead"
learn = "To drive ahead"
minutes = 2
kind = "course"
nominal = true

[[steps]]
picture = "end"

[[steps]]
done = { end = { at = ["2.6 m", "900 mm"], within = "700 mm" } }

[[hints]]
after = 1
wrong = "wrong_1.csv"
fails = "far enough"
missing = "end"

[course]
gates = [{ from = ["1.2 m", "300 mm"], to = ["1.2 m", "1.5 m"] }, { from = ["1.8 m", "300 mm"], to = ["1.8 m", "1.5 m"] }]
finish = { end = { at = ["2.6 m", "900 mm"], within = "700 mm" } }
medals = { clay = "30 s", chalk = "20 s", quartz = "0.5 s" }
`,
		"text.md": "# Ahead\n\nThrough two gates.\n\n## Drive\n\nThe left stick drives.\n\n## Stop\n\nLet go.\n\n" +
			"## Where this comes from\n\nCommon practice, no source.\n",
		"hints.md": "## Farther\n\nDrive on.\n",
		"start.lua": "return routine {\n  start = {x = 600, y = 900, heading = 0},\n  auto = function() end,\n" +
			"  driver = function(bot, pad)\n    while true do\n      bot.drive:arcade(pad.left_y, pad.right_x)\n      wait()\n" +
			"    end\n  end,\n}\n",
		"pass.check.toml": "title = \"Ahead\"\nroutine = \"start.lua\"\nrobot = \"hauler\"\nfield = \"field.toml\"\n\n" +
			"[[cases]]\nname = \"far enough\"\nnominal = true\nend = { at = [\"2.6 m\", \"900 mm\"], within = \"700 mm\" }\n",
		"solution.csv": "time,left_x,left_y,right_x,right_y,buttons\n0,0,0.5,0,0,\n2.5,0,0,0,0,\n",
		"wrong_1.csv":  "time,left_x,left_y,right_x,right_y,buttons\n0,0,0.5,0,0,\n0.5,0,0,0,0,\n",
		"field.toml": `title = "Long Lane"
tile = "600 mm"
size = ["4.2 m", "1.8 m"]

[[sides]]
name = "chalk"
colour = "#e8e4d8"
mark = "square"

[[phases]]
name = "driver"
length = "30 s"
control = "driver"

[[sessions]]
name = "driver"
phases = ["driver"]
`,
	} {
		write(filepath.Join(folder, name), text)
	}
}

// atCourse opens that course.
func atCourse(t *testing.T) *hands {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("DISPLAY", "")
	h := &hands{t: t}
	if err := os.MkdirAll("class/ahead", 0o700); err != nil {
		t.Fatal(err)
	}
	writeCourse(h.write, "class/ahead")
	h.game = h.learn("ahead")
	h.disk.path = filepath.Join(t.TempDir(), "window.json") // beside which the ghosts are
	return h
}

// ahead drives ahead for so many Updates, lets go, and waits for the end of the drive or as many as that takes.
func (h *hands) ahead(updates int) {
	h.held = []ebiten.Key{ebiten.KeyW}
	for range updates {
		h.do(hand{})
	}
	h.held = nil
	for range 600 {
		if h.do(hand{}); !h.model.Driving() {
			return
		}
	}
}

func TestACourseIsDriven(t *testing.T) {
	h := atCourse(t)
	h.held = []ebiten.Key{ebiten.KeyD} // held for a while, as people do: it is no move of a stick
	h.do(hand{Keys: h.held})
	for range 20 {
		h.do(hand{})
	}
	if h.held = nil; h.model.Begun() {
		t.Fatal("the key that begins the drive starts its clock")
	}
	if st := h.do(hand{}); !st.Driving || st.Card != "" {
		t.Fatalf("D does not begin the drive: %+v, card %q", st.State, st.Card)
	}
	h.ahead(25) // not far enough
	h.key(ebiten.KeyEscape)
	p := h.model.Lesson()
	driven, _ := h.model.Course()
	if p.Passed || driven.Finished || h.card == nil || h.card.title != "Not finished" || p.ToGo != 0 {
		t.Fatalf("a drive that ends too soon: %+v, %d tries to go", driven, p.ToGo)
	}
	h.key(ebiten.KeyEnter) // again
	h.ahead(110)
	driven, _ = h.model.Course()
	if h.model.Driving() || !driven.Finished || driven.Crossed != 2 || driven.Touches > 0 || driven.Medal != "chalk" {
		t.Fatalf("the drive is not finished: %+v", driven)
	}
	if !p.Passed || p.Current() != 2 || p.Before.Best != driven.Seconds || !strings.HasSuffix(h.card.title, "chalk") {
		t.Errorf("passed %v, step %d, best %g of %g, card %q", p.Passed, p.Current(), p.Before.Best, driven.Seconds,
			h.card.title)
	}
	h.key(ebiten.KeyEnter)
	if ghost := h.model.Ghost(); ghost == nil || ghost.Seconds != driven.Seconds || len(ghost.Path) < 20 {
		t.Errorf("the best drive does not drive along: %+v", ghost)
	}
	h.key(ebiten.KeyEscape)
}

// What was driven best lies where a terminal finds it, and is the same drive there.
func TestTheBestDriveIsWritten(t *testing.T) {
	h := atCourse(t)
	h.key(ebiten.KeyD)
	h.ahead(110)
	driven, _ := h.model.Course()
	l := h.model.Lesson().Lesson
	file, err := os.Open(lesson.Desk{Folder: "mine"}.Answer(l))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	pad, err := rehearse.ReadInputScript("drive.csv", file)
	if err != nil {
		t.Fatal(err)
	}
	routine, err := scripting.Load("mine/ahead/routine.lua")
	if err != nil {
		t.Fatal(err)
	}
	_, again, err := l.Show(t.Context(), lesson.Answer{Routine: routine, Pad: pad})
	if err != nil || *again != driven {
		t.Errorf("read again it comes to %+v, %v; it was %+v", again, err, driven)
	}
}
