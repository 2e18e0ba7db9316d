package window_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"io"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/BurntSushi/xgb"
	"github.com/BurntSushi/xgb/xproto"

	"chalkfield/internal/app/command"
	"chalkfield/render/window"
	"chalkfield/render/window/viewmodel"
)

// asProgram makes this test binary behave as the program itself: a window test starts it again with this set.
const asProgram = "CHALKFIELD_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	xgb.Logger = log.New(io.Discard, "", 0) // it tells of every display's end
	if os.Getenv(asMeasure) != "" {
		os.Exit(measure())
	}
	if os.Getenv(asProgram) != "" {
		os.Exit(command.Main(os.Args[1:], os.Stdout, os.Stderr))
	}
	code := m.Run()
	for _, process := range servers.all {
		_ = process.Kill()
		_, _ = process.Wait()
	}
	os.Exit(code)
}

// state is what the tests read of the window's state file (see dump.go and viewmodel/state.go).
type state struct {
	Time     float64
	End      float64
	Playing  bool
	Mode     string
	Runs     int
	Busy     bool
	Title    string
	Fault    string
	Line     int `json:"fault_line"`
	Notice   string
	Bad      bool
	Selected string
	Overlays string
	HasPale  bool `json:"has_pale"`
	Signals  []string
	Totals   []string
	Final    []string
	Start    string
	Robot    string
	Measured string
	Undo     int
	Driving  bool
	Begun    bool
	Events   []struct {
		T    float64
		Kind string
		Row  int
	}
	Width, Height, Density float64
	Parts, Buttons         map[string]window.Rect
	Card, Filter, Tab      string
	Lit                    []int
	Cut                    []string
	Hidden                 string
	Places                 []struct {
		Name string
		X, Y float64
	}
	Lesson         viewmodel.LessonState
	Span           [2]float64
	Strip          window.Rect
	View           [3]float64
	Updates, Drawn int64
	Frames         int64
}

// String is what a failed test prints.
func (st state) String() string {
	return fmt.Sprintf("time %g of %g, playing %v, mode %s, runs %d, busy %v, card %q filter %q, tab %s, fault %q, "+
		"notice %q, signals %v, lit %v, start %s, robot %s, window %gx%g",
		st.Time, st.End, st.Playing, st.Mode, st.Runs, st.Busy, st.Card, st.Filter, st.Tab, st.Fault, st.Notice, st.Signals,
		st.Lit, st.Start, st.Robot, st.Width, st.Height)
}

// screen is a display of its own with one window of the program on it.
type screen struct {
	t       testing.TB
	display string
	dir     string
	x       *xgb.Conn
	program *exec.Cmd
	output  strings.Builder
	ended   chan error
}

// patience is how long anything may take on a busy machine with two cores and a software renderer.
const patience = time.Minute

// servers are the X servers of all tests: one for each test that runs at a time, which has its window alone on it. free
// are the displays that no test has now.
var servers struct {
	sync.Mutex
	all  []*os.Process
	free []string
}

// aDisplay gives a display that is free, with a new server if there is none, until the test ends.
func aDisplay(t testing.TB) (display string) {
	t.Helper()
	servers.Lock()
	defer servers.Unlock()
	if last := len(servers.free) - 1; last >= 0 {
		display, servers.free = servers.free[last], servers.free[:last]
	} else {
		display = serve(t)
	}
	t.Cleanup(func() {
		servers.Lock()
		defer servers.Unlock()
		servers.free = append(servers.free, display)
	})
	return display
}

// serve starts an X server on a display that no other has.
func serve(t testing.TB) (display string) {
	t.Helper()
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer write.Close()
	command := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1600x1000x24", "-nolisten", "tcp", "-noreset")
	command.ExtraFiles = []*os.File{write}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	servers.all = append(servers.all, command.Process)
	write.Close()
	line, err := bufio.NewReader(read).ReadString('\n')
	if err != nil {
		t.Fatalf("Xvfb did not start: %v", err)
	}
	return ":" + strings.TrimSpace(line)
}

// newScreen gives a display, emptied, or skips the test, loudly. A window waits for frames most of the time, so such
// tests run side by side, each on its display.
func newScreen(t testing.TB) *screen {
	t.Helper()
	if testing.Short() {
		t.Skip("WINDOW TEST SKIPPED: -short")
	}
	for _, tool := range []string{"Xvfb", "xdotool"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("WINDOW TEST SKIPPED: %s is not installed", tool)
		}
	}
	if test, is := t.(*testing.T); is {
		test.Parallel()
	}
	s := &screen{t: t, display: aDisplay(t), dir: t.TempDir()}
	var err error
	if s.x, err = xgb.NewConnDisplay(s.display); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.hangUp)
	s.xdotool("mousemove", "480", "300") // where the test before left it does not matter
	return s
}

// hangUp ends the test's own connection. The library panics when its server goes first, so this waits for the end.
func (s *screen) hangUp() {
	s.x.Close()
	for {
		if event, err := s.x.WaitForEvent(); event == nil && err == nil {
			return
		}
	}
}

// start opens the window and waits until it has drawn a run, or a fault.
func (s *screen) start(args ...string) state {
	s.t.Helper()
	s.launch(args...)
	st := s.until("the window has drawn a run or a fault", func(st state) bool {
		return st.Drawn > 1 &&
			(st.Runs > 0 || st.Fault != "")
	})
	s.xdotool("search", "--sync", "--onlyvisible", "--class", "chalkfield", "windowmove", "--sync", "0", "0",
		"windowfocus", "--sync")
	s.settle()
	return st
}

// launch starts the program, with `open` unless the first argument is `learn`, its settings and state file in the
// test's own folder. The window is the smallest there is, unless the test has put down another size: a software
// renderer takes its time for every pixel.
func (s *screen) launch(args ...string) {
	s.t.Helper()
	if _, err := os.Stat(s.path(memoryFile)); err != nil {
		s.size(viewmodel.LeastWidth, viewmodel.LeastHeight)
	}
	verb := "open"
	if len(args) > 0 && args[0] == "learn" {
		verb, args = args[0], args[1:]
	}
	s.program = exec.Command(os.Args[0], append([]string{verb, "--state-file", s.path("state.json")}, args...)...)
	s.program.Env = append(os.Environ(), asProgram+"=1", "DISPLAY="+s.display, "XDG_CONFIG_HOME="+s.path("config"),
		"WAYLAND_DISPLAY=")
	s.program.Dir = s.dir
	s.program.Stdout, s.program.Stderr = &s.output, &s.output
	if err := s.program.Start(); err != nil {
		s.t.Fatal(err)
	}
	s.ended = make(chan error, 1)
	go func() { s.ended <- s.program.Wait() }()
	s.t.Cleanup(s.stop)
}

// memoryFile is where the window keeps its size, in the test's folder.
const memoryFile = "config/chalkfield/window.json"

// size is what the window will open with.
func (s *screen) size(width, height int) {
	s.t.Helper()
	if err := os.MkdirAll(filepath.Dir(s.path(memoryFile)), 0o700); err != nil {
		s.t.Fatal(err)
	}
	s.write(memoryFile, fmt.Sprintf(`{"width": %d, "height": %d, "zoom": 1}`, width, height))
}

// quit closes the window by its key and waits for the end.
func (s *screen) quit() {
	s.t.Helper()
	s.xdotool("keydown", "ctrl")
	s.settle()
	s.xdotool("key", "q")
	s.gone()
	s.xdotool("keyup", "ctrl")
}

// gone waits for the end of the program, which must be a good one.
func (s *screen) gone() {
	s.t.Helper()
	select {
	case err := <-s.ended:
		s.ended <- nil // it may be asked again
		if err != nil {
			s.t.Fatalf("closing it gave %v: %s", err, s.output.String())
		}
	case <-time.After(patience):
		s.t.Fatal("the window does not close")
	}
}

func (s *screen) stop() {
	_ = s.program.Process.Kill()
	<-s.ended
	s.ended <- nil // it may be asked again
}

func (s *screen) path(name string) string { return filepath.Join(s.dir, name) }

// write puts a file into the test's folder, whole, as an editor does.
func (s *screen) write(name, text string) string {
	s.t.Helper()
	path := s.path(name)
	if err := os.WriteFile(path+"~", []byte(text), 0o600); err != nil {
		s.t.Fatal(err)
	}
	if err := os.Rename(path+"~", path); err != nil {
		s.t.Fatal(err)
	}
	return path
}

// now is the window's state.
func (s *screen) now() state {
	s.t.Helper()
	var st state
	data, err := os.ReadFile(s.path("state.json"))
	if err == nil {
		err = json.Unmarshal(data, &st)
	}
	if err != nil {
		s.t.Fatal(err)
	}
	return st
}

// until waits for a state of the window.
func (s *screen) until(what string, is func(state) bool) state {
	s.t.Helper()
	var st state
	var last []byte
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(4 * time.Millisecond) {
		select {
		case err := <-s.ended:
			s.ended <- err
			s.t.Fatalf("the window closed while the test waited until %s: %v\n%s", what, err, s.output.String())
		default:
		}
		data, err := os.ReadFile(s.path("state.json"))
		if err != nil || bytes.Equal(data, last) {
			continue
		}
		last, st = data, state{}
		if json.Unmarshal(data, &st) == nil && is(st) {
			return st
		}
	}
	s.t.Fatalf("not within %v: %s. Last state: %v\n%s", patience, what, st, s.output.String())
	return st
}

func (s *screen) xdotool(args ...string) string {
	s.t.Helper()
	command := exec.Command("xdotool", args...)
	command.Env = append(os.Environ(), "DISPLAY="+s.display)
	out, err := command.CombinedOutput()
	if err != nil {
		s.t.Fatalf("xdotool %v: %v: %s", args, err, out)
	}
	return strings.TrimSpace(string(out))
}

// types presses the keys of a text at once.
func (s *screen) types(keys ...string) {
	s.t.Helper()
	s.xdotool(append([]string{"key"}, keys...)...)
	s.settle()
}

// key presses keys one after the other, each after the window has taken up the one before. What is held beside a key
// (shift+Right) is held before it and after: pressed and let go within a frame it would be as if it never was.
func (s *screen) key(keys ...string) {
	s.t.Helper()
	for _, key := range keys {
		beside, key, both := strings.Cut(key, "+")
		if !both {
			s.types(beside)
			continue
		}
		s.xdotool("keydown", beside)
		s.settle()
		s.types(key)
		s.xdotool("keyup", beside)
		s.settle()
	}
}

// settle waits until the window has taken up what was done before. Of the frame that the state was written in and of
// the next the input may have been read already; on a busy machine a frame has many updates, so they tell nothing.
func (s *screen) settle() {
	s.t.Helper()
	from := s.now().Frames + 2
	s.until("the window goes on", func(st state) bool { return st.Frames >= from })
}

// show waits until a frame is on the screen that has all that was done before.
func (s *screen) show() {
	s.t.Helper()
	from := s.now().Frames + 3
	s.until("the window is drawn", func(st state) bool { return st.Frames >= from })
}

func pixels(x float64) string { return strconv.Itoa(int(x + 0.5)) }

func (s *screen) click(x, y float64) {
	s.t.Helper()
	s.xdotool("mousemove", pixels(x), pixels(y), "click", "1")
	s.settle()
}

// press clicks a button by its name in the state.
func (s *screen) press(name string) {
	s.t.Helper()
	st := s.until("there is a button "+name, func(st state) bool { _, ok := st.Buttons[name]; return ok })
	r := st.Buttons[name]
	s.click((r.X+r.W/2)*st.Density, (r.Y+r.H/2)*st.Density)
}

// drag goes from one place to another in steps, as a hand does.
func (s *screen) drag(x0, y0, x1, y1 float64) {
	s.t.Helper()
	s.xdotool("mousemove", pixels(x0), pixels(y0))
	s.settle()
	s.xdotool("mousedown", "1")
	s.settle()
	for _, share := range []float64{0.5, 1} {
		s.xdotool("mousemove", pixels(x0+(x1-x0)*share), pixels(y0+(y1-y0)*share))
		s.settle()
	}
	s.xdotool("mouseup", "1")
	s.settle()
}

// place is where a thing is on the screen, pixels.
func (st state) place(t *testing.T, name string) (x, y float64) {
	t.Helper()
	for _, p := range st.Places {
		if p.Name == name {
			return p.X * st.Density, p.Y * st.Density
		}
	}
	t.Fatalf("nothing is called %q: %v", name, st.Places)
	return 0, 0
}

// look reads a part of the screen back from the X server.
func (s *screen) look(x, y, width, height float64) *image.NRGBA {
	s.t.Helper()
	root := xproto.Setup(s.x).DefaultScreen(s.x).Root
	got, err := xproto.GetImage(s.x, xproto.ImageFormatZPixmap, xproto.Drawable(root), int16(x), int16(y), uint16(width),
		uint16(height), 0xffffffff).Reply()
	if err != nil {
		s.t.Fatal(err)
	}
	out := image.NewNRGBA(image.Rect(0, 0, int(width), int(height)))
	for i := 0; i+3 < len(got.Data) && i+3 < len(out.Pix); i += 4 { // 24 bits in 32, blue first
		out.Pix[i], out.Pix[i+1], out.Pix[i+2], out.Pix[i+3] = got.Data[i+2], got.Data[i+1], got.Data[i], 0xff
	}
	return out
}

func (s *screen) lookAt(r window.Rect) *image.NRGBA {
	d := s.now().Density
	return s.look(r.X*d, r.Y*d, r.W*d, r.H*d)
}

// count is how many pixels are near a colour.
func count(picture *image.NRGBA, c color.NRGBA) int {
	n := 0
	for i := 0; i+3 < len(picture.Pix); i += 4 {
		if near(picture.Pix[i], c.R) && near(picture.Pix[i+1], c.G) && near(picture.Pix[i+2], c.B) {
			n++
		}
	}
	return n
}

func near(a, b uint8) bool { return max(a, b)-min(a, b) <= 6 }

// different is how many pixels of two pictures of one size differ.
func different(a, b *image.NRGBA) int {
	n := 0
	for i := 0; i+3 < min(len(a.Pix), len(b.Pix)); i += 4 {
		if !near(a.Pix[i], b.Pix[i]) || !near(a.Pix[i+1], b.Pix[i+1]) || !near(a.Pix[i+2], b.Pix[i+2]) {
			n++
		}
	}
	return n
}

// untilSeen waits for pixels: the state is written before the frame that shows it.
func (s *screen) untilSeen(what string, is func() bool) {
	s.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if is() {
			return
		}
	}
	s.t.Fatalf("not seen within %v: %s. State: %v", patience, what, s.now())
}
