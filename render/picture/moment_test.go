package picture

import (
	"bytes"
	"testing"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/scene/scenetest"
)

// What never changes is painted once: the pictures are the same as if all were painted each time.
func TestMomentsPaintedOneAfterAnotherAreThoseOfTheirTimes(t *testing.T) {
	f := scenetest.Station()
	in := scene.Input{Field: f, Record: scenetest.Run{Field: f, Seconds: 20, Robots: 2, Drift: 0.15, Events: 20}.Record(),
		Options: scene.Options{Show: scene.Usual &^ scene.Labels}}
	for _, theme := range paint.Themes {
		t.Run(theme.Words, func(t *testing.T) { momentsAreThoseOfTheirTimes(t, in, theme) })
	}
}

func momentsAreThoseOfTheirTimes(t *testing.T, in scene.Input, theme paint.Theme) {
	const width = 520
	var b scene.Builder
	moments, err := NewMoments(b.Build(in), width, theme)
	if err != nil {
		t.Fatal(err)
	}
	for _, in.T = range []float64{0, 7.3, 2, 20} {
		drawing := Moment(b.Build(in), width).In(theme)
		board, err := NewBoard(drawing, width)
		if err != nil {
			t.Fatal(err)
		}
		want := board.Paint(drawing)
		if got := moments.Paint(b.Build(in)); !bytes.Equal(got.Pix, want.Pix) {
			t.Errorf("the picture at %g s is another after the ones before", in.T)
		}
	}
}
