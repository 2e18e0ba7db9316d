package scene

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// told is how what a record has of a sensor beside its reading is told, by what its name ends in.
var told = map[string]Value{robot.OfPiece: {Scale: 1, Says: lookWords}, robot.OfRange: lengths, robot.OfBearing: angles}

// Told is how a number of a record is told that is not a sensor's reading; false: it is one, whose name has no blank.
func Told(name string) (v Value, is bool) {
	if i := strings.LastIndexByte(name, ' '); i >= 0 {
		v, is = told[name[i:]]
	}
	return v, is
}

// Looked is the piece whose look a number of the record is; false: none.
func Looked(rec *record.Record, look float64) (piece record.Body, is bool) {
	i := int(look) - 1
	if !(look >= 1) || i >= len(rec.Header.Bodies) {
		return piece, false
	}
	return rec.Header.Bodies[i], true
}

// sideName is a side's name, or else its number.
func sideName(rec *record.Record, side int) string {
	if side < len(rec.Sheet.Sides) {
		return rec.Sheet.Sides[side]
	}
	return fmt.Sprintf("side %d", side+1)
}

// lookWords is the look of a piece: "fig of rust".
func lookWords(rec *record.Record, look float64) string {
	piece, is := Looked(rec, look)
	switch {
	case !is:
		return "nothing"
	case piece.Side < 0:
		return piece.Kind
	}
	return piece.Kind + " of " + sideName(rec, piece.Side)
}

// Sorts are the sorts of a record's pieces, by kind or by side, that a look is told as: the number of a look's, 0 for
// none, and what the numbers mean.
func Sorts(rec *record.Record, bySide bool) (number func(look float64) float64, meaning string) {
	of := func(b record.Body) string {
		switch {
		case !bySide:
			return b.Kind
		case b.Side >= 0:
			return sideName(rec, b.Side)
		}
		return ""
	}
	known := map[string]float64{"": 0}
	words := []string{"0 none"}
	for _, b := range rec.Header.Bodies {
		if _, is := known[of(b)]; !is && !b.Goal {
			known[of(b)] = float64(len(known))
			words = append(words, fmt.Sprintf("%d %s", len(words), of(b)))
		}
	}
	return func(look float64) float64 {
		if math.IsNaN(look) {
			return look
		}
		piece, is := Looked(rec, look)
		if !is {
			return 0
		}
		return known[of(piece)]
	}, strings.Join(words, ", ")
}

// drawSights draws what sensors of marks see: a line to where each reading puts the mark.
func (b *Builder) drawSights(index int, pose geom.Pose, readings []float64) {
	names := b.index.Record.Header.Robots[index].Sensors
	for _, eye := range b.robots[index].mount.Eyes {
		from := pose.Compose(eye.At)
		for i, name := range names {
			if i+1 >= len(readings) || !strings.HasPrefix(name, eye.Name+" ") || !strings.HasSuffix(name, robot.OfRange) ||
				!(readings[i] > 0 && readings[i] < farthest) {
				continue
			}
			at := from.Compose(geom.Pose{Heading: readings[i+1]}).ToWorld(geom.Vec{X: readings[i]})
			b.layer(Rays).add(Item{Kind: Line, Points: b.placed(geom.Pose{}, from.At(), at),
				Pen: Pen{Width: 1, Colour: Chalk, Dash: Dotted}})
			b.layer(Rays).add(Item{Kind: Mark, Shape: Diamond, At: at, Radius: Size{Pixels: 5},
				Pen: Pen{Width: 1.5, Colour: Chalk}})
		}
	}
}
