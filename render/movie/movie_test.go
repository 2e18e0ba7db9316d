package movie

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/scenetest"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// filmed is a movie of a made-up run of 20 s.
func filmed() Movie {
	f := scenetest.Station()
	rec := scenetest.Run{Field: f, Seconds: 20, Robots: 2, Drift: 0.1, Events: 20}.Record()
	return Movie{Input: scene.Input{Field: f, Record: rec}, From: 3, To: 5, Speed: 1, Width: 300}
}

func written(t *testing.T, m Movie) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := m.Write(context.Background(), &out, func(float64) {}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// Go's own reader of GIFs is the judge of what ours writes.
func decoded(t *testing.T, data []byte) *gif.GIF {
	t.Helper()
	movie, err := gif.DecodeAll(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return movie
}

func TestTheFramesTakeTheStretchAndAHoldAtTheEnd(t *testing.T) {
	for _, c := range []struct{ from, to, speed, seconds float64 }{
		{3, 4, 1, 1}, {0, 0.5, 0.5, 1}, {4.02, 4.04, 1, 0.02}, {1, 1.1, 0.05, 2}, {0, 1.234, 1, 1.23},
	} {
		m := filmed()
		m.From, m.To, m.Speed, m.Width = c.from, c.to, c.speed, 200
		sum := 0
		for _, delay := range decoded(t, written(t, m)).Delay {
			if delay < 2 {
				t.Errorf("%+v: a frame of %d hundredths of a second, which browsers show for longer", c, delay)
			}
			sum += delay
		}
		if want := int(c.seconds*100+0.5) + holdTime; sum != want {
			t.Errorf("%+v: the frames take %d hundredths of a second, want %d", c, sum, want)
		}
	}
}

// The frames laid over each other, as a reader does it, are the still pictures of their times but for the rounding of
// colours, and the last one is that of the end.
func TestTheLastFrameIsTheStillPictureOfItsTime(t *testing.T) {
	m := filmed()
	movie := decoded(t, written(t, m))
	seen := image.NewRGBA(movie.Image[0].Rect)
	if !movie.Image[0].Rect.Eq(image.Rect(0, 0, movie.Config.Width, movie.Config.Height)) {
		t.Fatalf("the first frame is %v of %+v", movie.Image[0].Rect, movie.Config)
	}
	for i, frame := range movie.Image {
		if movie.Disposal[i] != gif.DisposalNone {
			t.Fatalf("frame %d is taken away after it was shown", i)
		}
		draw.Draw(seen, frame.Rect, frame, frame.Rect.Min, draw.Over)
	}
	m.T, m.Options = m.To, scene.Options{Show: shown}
	drawing := picture.Moment(scene.Build(m.Input), m.Width)
	board, err := picture.NewBoard(drawing, m.Width)
	if err != nil {
		t.Fatal(err)
	}
	still := board.Paint(drawing)
	if !still.Rect.Eq(seen.Rect) {
		t.Fatalf("the still picture is %v, the movie %v", still.Rect, seen.Rect)
	}
	worst, sum := 0, 0
	for i := range still.Pix {
		d := max(int(still.Pix[i])-int(seen.Pix[i]), int(seen.Pix[i])-int(still.Pix[i]))
		worst, sum = max(worst, d), sum+d
	}
	mean := float64(sum) / float64(len(still.Pix))
	t.Logf("worst channel %d, mean %.3f of 255, %d frames", worst, mean, len(movie.Image))
	// 255 colours: no pixel is farther from one than the steps by which they were chosen leave it
	if worst > 24 || mean > 0.5 {
		t.Errorf("the last frame is up to %d of 255 off in a channel, %.3f in the mean", worst, mean)
	}
}

// Whole areas have exactly the ink's colour: no pattern of dots where the palette had no place for it.
func TestTheInksAreInThePalette(t *testing.T) {
	movie := decoded(t, written(t, filmed()))
	table, is := movie.Config.ColorModel.(color.Palette)
	if !is || len(table) != 256 {
		t.Fatalf("the movie's colours are %T", movie.Config.ColorModel)
	}
	for name, ink := range map[string]scene.Colour{"slate": scene.Slate, "floor": scene.SlateTop, "chalk": scene.Chalk,
		"dust": scene.Dust, "trail": scene.TintOf(nil).Shades[2]} {
		got := color.NRGBAModel.Convert(table[1:].Convert(ink))
		if got != ink {
			t.Errorf("%s is %v in the movie, not %v", name, got, ink)
		}
	}
}

// The demo at the usual size: 15 s of it are to stay under 5 MB. Its busiest 3 s, when it hauls through the block of
// cores, are held to their share.
func TestTheDemosMovieIsSmall(t *testing.T) {
	program, err := scripting.LoadFS(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		t.Fatal(err)
	}
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	hauler, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: field, Seed: 1,
		Entrants: []rehearse.Entrant{{Robot: hauler, Routine: program}}})
	if err != nil {
		t.Fatal(err)
	}
	in := scene.Input{Field: field, Record: rec, Mounts: []scene.Mount{scene.MountOf(hauler)}}
	data := written(t, Movie{Input: in, From: 9, To: 12, Speed: 1, Width: UsualWidth})
	if most := 5_000_000 * 3 / 15; len(data) > most {
		t.Errorf("3 s have %d bytes, more than %d", len(data), most)
	}
	if frames := len(decoded(t, data).Image); frames < 70 {
		t.Errorf("3 s have %d frames", frames)
	}
}

func TestTwoMoviesOfOneRunHaveTheSameBytes(t *testing.T) {
	first, second := written(t, filmed()), written(t, filmed()) // made anew
	if !bytes.Equal(first, second) {
		t.Error("two movies of one run differ")
	}
	if !strings.Contains(string(first[:4096]), MadeBy) {
		t.Error("the movie does not say who made it")
	}
}

// Of each frame only what has changed is written: a run that stands still costs next to nothing.
func TestAStandingRunIsOneFrame(t *testing.T) {
	m := filmed()
	rec := *m.Record
	rec.Events, rec.Samples = nil, append([]record.Sample(nil), rec.Samples...)
	m.Record = &rec
	for i := range rec.Samples {
		rec.Samples[i].Robots = rec.Samples[0].Robots
		if i > 0 {
			rec.Samples[i].Bodies = nil
		}
	}
	movie := decoded(t, written(t, m))
	for i, frame := range movie.Image[1:] {
		if frame.Rect.Dy() > 20 { // the words of the time at the foot
			t.Fatalf("frame %d of a run that stands still writes %v", i+1, frame.Rect)
		}
	}
}

func TestAMovieThatIsGivenUpEnds(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	var out bytes.Buffer
	last := 0.0
	err := filmed().Write(ctx, &out, func(share float64) {
		if last = share; share > 0.2 {
			stop()
		}
	})
	if err != context.Canceled || last > 0.25 {
		t.Errorf("it ended with %v at %.0f %%", err, 100*last)
	}
}

func TestAMovieThatCannotBeIsRefused(t *testing.T) {
	for _, c := range []struct {
		change func(*Movie)
		says   string
	}{
		{func(m *Movie) { m.Width = 100 }, "write a width from 200 to 1600"},
		{func(m *Movie) { m.Width = 5000 }, "write a width from 200 to 1600"},
		{func(m *Movie) { m.Speed = 0 }, "0.5 is half as fast"},
		{func(m *Movie) { m.Speed = 2 }, "0.5 is half as fast"},
		{func(m *Movie) { m.To = m.From }, "write a later end"},
		{func(m *Movie) { m.To, m.Speed = 40, 0.05 }, "write a shorter stretch"},
	} {
		m := filmed()
		c.change(&m)
		var out bytes.Buffer
		err := m.Write(context.Background(), &out, func(float64) {})
		if err == nil || !strings.Contains(err.Error(), c.says) || out.Len() > 0 {
			t.Errorf("%+v: %v, %d bytes written", m.Width, err, out.Len())
		}
	}
}
