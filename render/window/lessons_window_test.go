package window_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/render/scene"
	"chalkfield/render/window"
)

// learn opens the window with lessons, and waits for what it begins with.
func (s *screen) learn(what string, is func(state) bool, args ...string) state {
	s.t.Helper()
	s.launch(append([]string{"learn"}, args...)...)
	st := s.until(what, func(st state) bool { return st.Drawn > 1 && is(st) })
	s.xdotool("search", "--sync", "--onlyvisible", "--class", "chalkfield", "windowmove", "--sync", "0", "0",
		"windowfocus", "--sync")
	s.settle()
	return st
}

// number clicks a number of the routine's page and writes another.
func (s *screen) number(name, value string) {
	s.t.Helper()
	s.press(name)
	for _, letter := range value {
		s.types(map[rune]string{'.': "period"}[letter] + strings.Trim(string(letter), "."))
	}
	s.key("Return")
}

// goOn reads a step to its end and opens the next.
func (s *screen) goOn() {
	s.t.Helper()
	for range 9 {
		if _, seen := s.now().Buttons["read on"]; seen {
			break
		}
		s.key("alt+Next")
		s.settle()
	}
	s.press("read on")
	s.settle()
}

// The first lesson from `chalkfield learn` alone, with the mouse and the keys, to its end and the next.
func TestWindowLearnsTheFirstLesson(t *testing.T) {
	s := newScreen(t)
	s.learn("the list", func(st state) bool { return st.Card == "lessons" })
	s.key("Return") // on the one that comes next
	st := s.until("the first lesson is judged", func(st state) bool {
		return st.Lesson.Name == "volts_and_time" && st.Lesson.Judged
	})
	if st.Lesson.Passed || st.Lesson.Done != 0 || len(st.Cut) > 0 {
		t.Fatalf("at the start: %+v, cut %v", st.Lesson, st.Cut)
	}
	s.untilSeen("the lesson has words", func() bool { return count(s.lookAt(st.Parts["lesson"]), scene.Chalk) > 1000 })
	s.goOn()
	s.goOn()
	s.number("number 6.1", "3.1")
	s.until("the robot stops on the mark", func(st state) bool { return st.Lesson.Judged && st.Lesson.Done >= 3 })
	s.number("number 5.1", "9")
	s.number("number 5.2", "9")
	s.until("both are written", func(state) bool {
		return strings.Contains(read(t, s.path("my_lessons/volts_and_time/routine.lua")), "volts(9, 9)")
	})
	s.number("number 6.1", "1.94")
	st = s.until("it is passed", func(st state) bool { return st.Lesson.Judged && st.Lesson.Passed })
	if st.Lesson.Done != 5 || st.Lesson.Stars < 1 {
		t.Errorf("passed with %+v", st.Lesson)
	}
	s.press("next lesson")
	s.until("the next lesson", func(st state) bool { return st.Lesson.Name == "encoders" && st.Lesson.Judged })
	s.quit()
	if text := read(t, s.path("config/chalkfield/lessons.json")); !strings.Contains(text, `"passed": true`) {
		t.Errorf("what was reached is not kept: %s", text)
	}
}

// A lesson about code, followed with an editor: a try, a hint, a mistake, the solution.
func TestWindowLearnsACodingLesson(t *testing.T) {
	s := newScreen(t)
	s.learn("it is judged", func(st state) bool { return st.Lesson.Judged }, "encoders")
	answer := "my_lessons/encoders/routine.lua"
	begun := read(t, s.path(answer))
	for i, mm := range []string{"1100", "1200"} {
		s.write(answer, strings.Replace(begun, "< 1000", "< "+mm, 1))
		s.until("it is rehearsed and judged", func(st state) bool { return st.Runs == i+2 && st.Lesson.Judged })
	}
	s.press("hint")
	s.until("the hint is open", func(st state) bool { return st.Lesson.Hints == 1 })
	s.write(answer, strings.Replace(begun, "while", "whle", 1))
	s.until("the mistake is told at its line", func(st state) bool { return st.Fault != "" && st.Line > 0 })
	solution, err := os.ReadFile(filepath.Join("..", "..", "assets", "lessons", "encoders", "solution.lua"))
	if err != nil {
		t.Fatal(err)
	}
	s.write(answer, string(solution))
	st := s.until("it is passed", func(st state) bool { return st.Lesson.Judged && st.Lesson.Passed })
	if st.Fault != "" || st.Lesson.Done != 4 {
		t.Errorf("passed with %+v, fault %q", st.Lesson, st.Fault)
	}
}

// A course for a driver, from opening to a medal.
func TestWindowDrivesACourse(t *testing.T) {
	s := newScreen(t)
	if err := os.MkdirAll(s.path("class/ahead"), 0o700); err != nil {
		t.Fatal(err)
	}
	window.WriteCourse(func(name, text string) { s.write(name, text) }, "class/ahead")
	s.learn("the list", func(st state) bool { return st.Card == "lessons" }, "class")
	s.key("Return")
	s.until("the course is open", func(st state) bool { return st.Lesson.Name == "ahead" && st.Runs == 1 })
	s.press("drive course")
	s.until("it waits for the first move", func(st state) bool { return st.Driving && !st.Begun })
	s.xdotool("keydown", "w")
	s.until("it is through both gates", func(st state) bool { return st.Lesson.Gates == 2 })
	s.xdotool("keyup", "w")
	st := s.until("it has come to rest, and the drive is over", func(st state) bool {
		return !st.Driving && st.Card == "driven"
	})
	if !st.Lesson.Passed || st.Lesson.Best == 0 {
		t.Errorf("the drive is not passed: %+v", st.Lesson)
	}
	s.key("Return")
	s.until("it drives again", func(st state) bool { return st.Driving && !st.Begun && st.Card == "" })
}
