package window_test

import (
	"fmt"
	"image"
	"io/fs"
	"strings"
	"testing"
	"time"

	"github.com/BurntSushi/xgb/xproto"
	"github.com/BurntSushi/xgb/xtest"

	"chalkfield/assets"
)

// BenchmarkDrag gives the time from a movement of the pointer that turns a number of the demo by five steps until the
// display has another way, on average and at most: as a person sees it, with all that the renderer and the display
// take.
func BenchmarkDrag(b *testing.B) {
	s := newScreen(b)
	if err := xtest.Init(s.x); err != nil {
		b.Fatal(err)
	}
	s.size(1280, 800)
	text, err := fs.ReadFile(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		b.Fatal(err)
	}
	s.start(s.write("mine.lua", string(text)), "--nominal")
	s.key("space", "Home")
	before, _, _ := strings.Cut(string(text), "200, {speed")
	x, y := s.middle(fmt.Sprintf("number %d.1", 1+strings.Count(before, "\n")))
	s.to(x, y)
	s.xdotool("mousedown", "1")
	s.settle()
	d := &dragged{screen: s, at: [2]int16{int16(x), int16(y)}, frame: s.seen("field")}
	d.frame = d.changing()
	const steps = 30
	for b.Loop() {
		var sum, longest time.Duration
		for i := range steps {
			took := d.step(1 - i%2)
			sum, longest = sum+took, max(longest, took)
			time.Sleep(50 * time.Millisecond) // as hands do; and the window is not always as far with its frame
		}
		b.ReportMetric(sum.Seconds()*1000/steps, "ms/step")
		b.ReportMetric(longest.Seconds()*1000, "longest-ms/step")
	}
	b.ReportMetric(0, "ns/op") // with the pauses
	s.xdotool("mouseup", "1")
}

// dragged is a window in which a number is dragged, and where on the screen that is seen.
type dragged struct {
	*screen
	at    [2]int16 // where the number is
	frame image.Rectangle
}

// seen is where a part of the window is on the screen.
func (s *screen) seen(part string) image.Rectangle {
	st := s.now()
	r, d := st.Parts[part], st.Density
	return image.Rect(int(r.X*d), int(r.Y*d), int((r.X+r.W)*d), int((r.Y+r.H)*d))
}

// step moves the pointer there, 1, or back, 0, neither of which is the number in the file, and gives the time until the
// screen has something else.
func (d *dragged) step(there int) time.Duration {
	d.t.Helper()
	was := d.shown()
	began := time.Now()
	xtest.FakeInput(d.x, xproto.MotionNotify, 0, 0, xproto.Setup(d.x).DefaultScreen(d.x).Root,
		d.at[0]+int16(20*(1+there)), d.at[1], 0)
	for string(was) == string(d.shown()) {
		if time.Since(began) > patience {
			d.t.Fatal("the way stays as it was")
		}
	}
	return time.Since(began)
}

// changing is where the two ways differ.
func (d *dragged) changing() (where image.Rectangle) {
	for range 3 { // the first bring the way before
		d.step(1)
		time.Sleep(time.Second / 2)
		was := d.shown()
		d.step(0)
		time.Sleep(time.Second / 2)
		now, width := d.shown(), d.frame.Dx()
		where = image.Rectangle{}
		for p := 0; p < len(now); p += 4 {
			if string(now[p:p+4]) != string(was[p:p+4]) {
				x, y := p/4%width, p/4/width
				where = where.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return where.Add(d.frame.Min)
}

// shown are the pixels of the part of the screen that is looked at.
func (d *dragged) shown() []byte {
	d.t.Helper()
	r := d.frame
	got, err := xproto.GetImage(d.x, xproto.ImageFormatZPixmap, xproto.Drawable(xproto.Setup(d.x).DefaultScreen(d.x).Root),
		int16(r.Min.X), int16(r.Min.Y), uint16(r.Dx()), uint16(r.Dy()), 0xffffffff).Reply()
	if err != nil {
		d.t.Fatal(err)
	}
	return got.Data
}
