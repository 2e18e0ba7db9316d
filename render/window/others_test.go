package window

import (
	"bytes"
	"image/gif"
	"image/png"
	"os"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"
)

// chooses opens the card of what can be shown to others and presses Enter on the row that begins so.
func (h *hands) chooses(begins string) {
	h.t.Helper()
	h.ctrl(ebiten.KeyE)
	if h.card == nil || h.card.name != "others" {
		h.t.Fatalf("the card is %+v", h.card)
	}
	for range h.card.list() {
		if strings.HasPrefix(h.card.list()[h.card.cursor].label, begins) {
			h.key(ebiten.KeyEnter)
			return
		}
		h.key(ebiten.KeyArrowDown)
	}
	h.t.Fatalf("no row begins with %q", begins)
}

func (h *hands) reads(path string) []byte {
	h.t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		h.t.Fatal(err)
	}
	return data
}

func TestARunIsShownToOthersFromTheWindow(t *testing.T) {
	h := atFile(t, Ahead("300"))
	t.Setenv("PATH", "")
	wrote := func(name string) func(*state) bool {
		return func(st *state) bool {
			return strings.HasSuffix(st.Notice, name) && strings.HasPrefix(st.Notice, "Wrote ")
		}
	}
	h.chooses("Write a replay")
	h.until("the replay is there", wrote("replay_1.html"))
	if page := h.reads("replay_1.html"); !bytes.Contains(page, []byte("bot.drive:ahead(300)")) {
		t.Error("the replay does not have the routine")
	}

	h.chooses("Write a picture of the field")
	h.until("the picture is there", wrote("field_1.png"))
	if img, err := png.Decode(bytes.NewReader(h.reads("field_1.png"))); err != nil || img.Bounds().Dx() != fieldWidth {
		t.Errorf("the picture: %v", err)
	}

	h.chooses("Put that picture")
	h.until("there is no clipboard here", func(st *state) bool {
		return strings.HasPrefix(st.Notice, "Not on the clipboard: ")
	})
	script := "#!/bin/sh\necho \"$@\" > told\nexec /bin/cat > held\n"
	if err := os.WriteFile("xclip", []byte(script), 0o755); err != nil {
		t.Fatal(err)
	}
	folder, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", folder)
	h.chooses("Put that picture")
	h.until("it is on the clipboard", func(st *state) bool { return strings.HasSuffix(st.Notice, "is on the clipboard.") })
	if told := string(h.reads("told")); told != "-selection clipboard -t image/png\n" ||
		!bytes.Equal(h.reads("held"), h.reads("field_1.png")) {
		t.Errorf("the clipboard was told %q", told)
	}

	h.model.Seek(1.5)
	h.chooses("to") // the moment shown
	if h.key(ebiten.KeyArrowLeft); h.others.film.To != 1 {
		t.Errorf("the movie goes to %g s", h.others.film.To)
	}
	for range 4 {
		h.key(ebiten.KeyArrowLeft)
	}
	if h.others.film.To != shortestFilm {
		t.Errorf("the movie goes to %g s", h.others.film.To)
	}
	h.key(ebiten.KeyEscape)
	h.chooses("Write the movie")
	h.until("the movie is there", wrote("movie_1.gif"))
	movie, err := gif.DecodeAll(bytes.NewReader(h.reads("movie_1.gif")))
	if err != nil || len(movie.Image) > 4 {
		t.Errorf("the movie: %v, %+v", err, movie)
	}

	h.chooses("Write a replay") // under the next name
	h.until("another replay is there", wrote("replay_2.html"))
}

func TestAMovieBeingMadeIsGivenUp(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.chooses("Write the movie")
	if h.others.work == nil {
		t.Fatal("nothing is being made")
	}
	h.chooses("Write a replay")
	if !strings.HasPrefix(h.model.Notice.Text, "movie_1.gif is being written") {
		t.Errorf("a second work: %q", h.model.Notice.Text)
	}
	h.key(ebiten.KeyEscape)
	if h.others.work != nil || h.model.Notice.Text != "Given up: nothing was written." {
		t.Errorf("given up: %q", h.model.Notice.Text)
	}
	if _, err := os.Stat("movie_1.gif"); err == nil {
		t.Error("it was written")
	}
	h.model.Now = nil
	h.ctrl(ebiten.KeyE)
	if h.card != nil {
		t.Error("it offers to show nothing")
	}
}
