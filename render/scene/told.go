package scene

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// column is the column that a number of the record is which stands behind the sensors' readings.
func column(spec *robot.Robot, number int) (c robot.Column, is bool) {
	if spec == nil || number < len(spec.Sensors) {
		return c, false
	}
	columns := spec.Columns()
	if number -= len(spec.Sensors); number >= len(columns) {
		return c, false
	}
	return columns[number], true
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
