package window

import (
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// The card of facts keeps its place clear of labels, and only while it is there.
func TestTheCardOfFactsKeepsLabelsOff(t *testing.T) {
	g := handed(t)
	for _, size := range [][2]float64{{960, 600}, {1280, 800}} {
		g.width, g.height = size[0], size[1]
		g.step(hand{})
		g.model.Selected = viewmodel.Nothing
		if cover := g.facts.cover(); len(cover) != 0 {
			t.Errorf("nothing is asked after, yet %v is covered", cover)
		}
		g.model.Selected = viewmodel.Thing{Kind: viewmodel.RobotThing}
		c, ok := g.facts.now()
		cover := g.facts.cover()
		if !ok || len(c.facts) == 0 || len(cover) != 1 {
			t.Fatalf("card %v, cover %v", c, cover)
		}
		if b := cover[0]; b.Left != c.box.X || b.Top != c.box.Y || b.Right != c.box.Right() || b.Bottom != c.box.Bottom() {
			t.Errorf("the card lies at %+v, labels keep off %+v", c.box, b)
		}
	}
}

// The number stops where the letters do, and what is asked for beyond that is refused in words.
func TestLettersGrowAsFarAsTheWindowLets(t *testing.T) {
	for _, c := range []struct {
		width, height, zoom, most float64
	}{
		{960, 600, 1, 1}, {1280, 800, 1, 4.0 / 3}, {1920, 1080, 1, 1.8 / 1.05}, {960, 600, 1.77, 1.77},
	} {
		g := handed(t)
		g.size.width, g.size.height, g.disk.memory.Zoom = c.width, c.height, c.zoom
		shown := 0.0
		for range 20 {
			was := g.disk.memory.Zoom
			g.enlarge(1.1)
			if now := g.fittingZoom(c.width, c.height); g.disk.memory.Zoom > was && now <= shown {
				t.Errorf("%gx%g: %q, but the letters are the same", c.width, c.height, g.model.Notice.Text)
			} else {
				shown = now
			}
		}
		if g.disk.memory.Zoom > c.most+1e-9 || g.disk.memory.Zoom < c.most-0.005 {
			t.Errorf("%gx%g: the number ran to %g, want %g", c.width, c.height, g.disk.memory.Zoom, c.most)
		}
		if g.model.Notice.Text != "The window is too small for larger letters." {
			t.Errorf("%gx%g: it says %q", c.width, c.height, g.model.Notice.Text)
		}
		if g.enlarge(1 / 1.1); g.fittingZoom(c.width, c.height) >= shown {
			t.Errorf("%gx%g: smaller ones are as large: %q", c.width, c.height, g.model.Notice.Text)
		}
	}
}

// A long title is shortened before what it runs on is; either way it keeps half.
func TestALongTitleLeavesRoomForFieldAndSeed(t *testing.T) {
	about := "Core Haul, autonomous, seed 1"
	for _, width := range []float64{900, 500, 300, 100} {
		room := titleRoom(width, about)
		rest := width - room - titleGap
		if room < width/2 || room > width/2 && rest < paint.Width(about, normal, false) {
			t.Errorf("of %g points the title has %g", width, room)
		}
	}
	if titleRoom(400, "") != 400 {
		t.Error("a title alone has not all the room")
	}
}

// The field of a drive keeps its size however many tasks, marks and lines of news come.
func TestTheFieldOfADriveKeepsItsSize(t *testing.T) {
	g := handed(t)
	g.step(hand{Keys: []ebiten.Key{ebiten.KeyD}})
	g.step(hand{Keys: []ebiten.Key{ebiten.KeyEnter}})
	if !g.model.Driving() {
		t.Fatal("no drive began")
	}
	g.draws(t, "driving")
	field := g.frame.Field
	g.model.Now.Lanes = [][]viewmodel.Lane{make([]viewmodel.Lane, 6)}
	g.model.Say("a line")
	if g.step(hand{}); g.frame.Field != field || g.strip.hidden() == "" {
		t.Errorf("with more tasks the field changes from %+v to %+v; %d lanes, hidden %q", field, g.frame.Field,
			len(g.strip.shownLanes()), g.strip.hidden())
	}
	row := scene.LegendRow{Words: strings.Repeat("word ", 8)}
	for range 12 {
		g.drawn.Furniture.Legend = append(g.drawn.Furniture.Legend, row)
		if g.draws(t, "driving with more marks"); g.frame.Field != field {
			t.Errorf("%d rows: the field changes from %+v to %+v", len(g.drawn.Furniture.Legend), field, g.frame.Field)
		}
	}
}

// At the start, where nothing runs yet, the routine's page shows where it will begin.
func TestTheRoutinesPageGoesToItsBeginning(t *testing.T) {
	g := handed(t)
	text := strings.Repeat("-- a line\n", 90)
	g.model.Text = viewmodel.SourceOf("mine.lua", "", text)
	g.model.Now.Source = g.model.Text
	for i := range g.model.Now.Record.Samples {
		robots := append([]record.RobotSample(nil), g.model.Now.Record.Samples[i].Robots...)
		robots[0].Lines = []int{0}
		if i > 1 {
			robots[0].Lines[0] = 24
		}
		if i > 100 {
			robots[0].Lines[0] = 64
		}
		g.model.Now.Record.Samples[i].Robots = robots
	}
	page, s := Rect{W: 400, H: 20 * codeRow}, &scroll{}
	seen := func(line float64) bool { return s.at <= (line-1)*codeRow && line*codeRow <= s.at+page.H }
	g.model.Playing = false
	for _, c := range []struct{ t, line float64 }{{10, 64}, {0, 24}, {0.04, 24}, {10, 64}} {
		g.model.Seek(c.t)
		g.notebook.routine.follow(page, s)
		if !seen(c.line) {
			t.Errorf("at %g s line %g is out of view: the page is at line %.0f", c.t, c.line, s.at/codeRow+1)
		}
	}
}
