package window_test

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/window"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// The window and `run --picture` draw one scene description: at the same moment the same things are at the same places
// in the same colours. Both are sampled on a grid over the floor. Edges fall differently on different pixels, so a
// point agrees when the window has the picture's colour within two pixels of it. Names are off, and points where a
// goal's count may stand are left out, because the places of letters are chosen by what room there is.
func TestWindowAndPictureShowTheSame(t *testing.T) {
	s := newScreen(t)
	s.size(1280, 800)
	text := window.Ahead("700")
	s.start(s.write("mine.lua", text), "--nominal")
	s.key("space", "End", "l")
	for _, name := range []string{"names", "seconds", "events", "contacts", "belief"} {
		s.press("row " + name)
	}
	s.key("Escape")
	st := s.until("only shapes are shown", func(st state) bool {
		return st.Card == "" && !strings.Contains(st.Overlays, "labels") && !strings.Contains(st.Overlays, "belief")
	})
	s.xdotool("mousemove", "5", "5")
	s.show()
	window := s.look(0, 0, 1280, 800)
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	drawn, view := pictureOf(t, field, text)
	agree, all := 0, 0
	for x := 0.05; x < 4.2; x += 0.05 {
		for y := 0.05; y < 3.0; y += 0.05 {
			if besideACount(field, x, y) || math.Abs(x-centreLine) < 0.01 {
				continue
			}
			onPicture := view(geom.Vec{X: x, Y: y})
			r, g, b, _ := drawn.At(int(onPicture.X), int(onPicture.Y)).RGBA()
			all++
			if has(window, int(st.View[1]+st.View[0]*x), int(st.View[2]-st.View[0]*y), uint8(r>>8), uint8(g>>8), uint8(b>>8)) {
				agree++
			}
		}
	}
	share := float64(agree) / float64(all)
	t.Logf("%d of %d points agree (%.1f %%)", agree, all, 100*share)
	if share < 0.99 || all < 4000 {
		t.Errorf("only %.1f %% of the points agree", 100*share)
	}
}

// centreLine is where a line of one pixel stands, m: on one of the two pictures it may fall between two pixels.
const centreLine = 2.1

// besideACount reports whether the count of a goal's pieces may stand at a point: on a sled, or before or behind a
// rack.
func besideACount(field *fields.Field, x, y float64) bool {
	for _, goal := range field.Goals {
		room := 0.09
		if field.GoalKinds[goal.Kind].Fixed {
			room = 0.35
		}
		if math.Abs(x-goal.At.X) < 0.2 && math.Abs(y-goal.At.Y) < room {
			return true
		}
	}
	return false
}

// has reports whether a colour is at a pixel or within two of it.
func has(picture *image.NRGBA, x, y int, r, g, b uint8) bool {
	const close = 12 // of 255: two renderers round edges and opacities differently
	for dx := -2; dx <= 2; dx++ {
		for dy := -2; dy <= 2; dy++ {
			c := picture.NRGBAAt(x+dx, y+dy)
			if math.Abs(float64(c.R)-float64(r)) <= close && math.Abs(float64(c.G)-float64(g)) <= close &&
				math.Abs(float64(c.B)-float64(b)) <= close {
				return true
			}
		}
	}
	return false
}

// pictureOf rehearses the routine here and draws its end as a PNG, with the place of the field on it.
func pictureOf(t *testing.T, field *fields.Field, text string) (image.Image, func(geom.Vec) geom.Vec) {
	t.Helper()
	robot, err := robot.Find("hauler")
	if err != nil {
		t.Fatal(err)
	}
	program, err := scripting.LoadFS(fstest.MapFS{"mine.lua": {Data: []byte(text)}}, "mine.lua")
	if err != nil {
		t.Fatal(err)
	}
	rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: field, Seed: 1, Nominal: true,
		Entrants: []rehearse.Entrant{{Robot: robot, Routine: program}}})
	if err != nil {
		t.Fatal(err)
	}
	const hidden = scene.Labels | scene.Ticks | scene.Events | scene.Contacts | scene.Belief | scene.ScoreBox |
		scene.Legend
	picturedScene := scene.Build(scene.Input{Field: field, Record: rec, Mounts: []scene.Mount{scene.MountOf(robot)}, T: 20,
		Options: scene.Options{Show: scene.Usual &^ hidden}})
	const width = 1100
	var file bytes.Buffer
	if err := picture.WritePNG(&file, picture.Of(picturedScene, width), width); err != nil {
		t.Fatal(err)
	}
	drawn, err := png.Decode(&file)
	if err != nil {
		t.Fatal(err)
	}
	return drawn, picture.NewPage(picturedScene, width).View.Pixel // at this width a page's pixel is the picture's
}
