package viewmodel

import (
	"fmt"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/record"
)

// What pieces and what goals bring points for.
var (
	ofPieces = []fields.RuleKind{fields.PieceInGoal, fields.PieceScoredBy, fields.SetInGoal, fields.PieceInZone,
		fields.PieceHeld}
	ofGoals = []fields.RuleKind{fields.PieceInGoal, fields.PieceScoredBy, fields.SetInGoal, fields.GoalOwned,
		fields.GoalInZone}
)

// brings are what a piece or goal of the run brings points by.
func (r *Run) brings(body record.Body) string {
	f := r.Setup.Field
	if f == nil {
		return ""
	}
	kind := slices.IndexFunc(f.PieceKinds, func(k fields.PieceKind) bool { return k.Name == body.Kind })
	if body.Goal {
		kind = slices.IndexFunc(f.GoalKinds, func(k fields.GoalKind) bool { return k.Name == body.Kind })
	}
	return brings(f, kind, body.Goal)
}

// brings are the rules that a kind of piece or goal brings points by, with these: "core in sled 2, core on rack 5".
func brings(f *fields.Field, kind int, goal bool) string {
	var words []string
	for _, r := range f.Rules {
		if r.Foul() || !concerns(r, kind, goal) {
			continue
		}
		points := fmt.Sprintf(" %g", r.Points)
		switch {
		case r.Worth.Formula != nil:
			points = " " + r.Worth.Text
		case r.Points == 0:
			points = fmt.Sprintf(" x%g", r.Times)
		}
		words = append(words, r.Name+points)
	}
	return strings.Join(words, ", ")
}

// concerns reports whether a rule counts a kind of piece or goal.
func concerns(r fields.Rule, kind int, goal bool) bool {
	of, list := ofPieces, r.Pieces
	switch {
	case goal:
		of, list = ofGoals, r.Goals
	case r.Kind == fields.SetInGoal && r.Run == 0:
		list = r.Set
	}
	return slices.Contains(of, r.Kind) && (len(list) == 0 || slices.Contains(list, kind))
}
