package report

import (
	"fmt"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/units"
)

// RuleSentence says in words what a rule counts and for which side.
func RuleSentence(f *fields.Field, r fields.Rule) string {
	if r.Foul() {
		return breach(f, r) + ": a foul, " + costs(r)
	}
	text := counted(f, r)
	if r.Kind == fields.ByFormula {
		text = formulaSentence(r)
	} else if r.Points != 0 {
		text += ", " + units.Counted(r.Points, "point") + " each"
	}
	if words := map[string]string{"each": "each side gets them", "half": "half of them"}[r.Draw]; words != "" {
		text += ", in a draw " + words
	}
	if r.Times != 0 && r.Times != 1 {
		text += fmt.Sprintf(", the pieces in it count %g times", r.Times)
	}
	if r.Count > 0 {
		text += fmt.Sprintf(", at most %d", r.Count)
	}
	if r.Credit != "" {
		text += fmt.Sprintf(", to the side of the %s", r.Credit)
	}
	return text + judged(f, r)
}

// counted says what a rule counts.
func counted(f *fields.Field, r fields.Rule) string {
	pieces, goals := kinds("any piece", r.Pieces, f.PieceKinds), kinds("any goal", r.Goals, f.GoalKinds)
	switch r.Kind {
	case fields.PieceInGoal:
		return fmt.Sprintf("%s in %s", pieces, goals)
	case fields.PieceScoredBy:
		return fmt.Sprintf("%s put in %s%s", pieces, goals, until(f, r))
	case fields.SetInGoal:
		return fmt.Sprintf("each %s in one %s", set(f, r), kinds("goal", r.Goals, f.GoalKinds))
	case fields.GoalOwned:
		return fmt.Sprintf("%s that belongs to %s", goals, owner(f, r))
	case fields.GoalLine:
		return fmt.Sprintf("each row of goals that belong to %s: %s", owner(f, r), rows(r))
	case fields.PieceInZone:
		return fmt.Sprintf("%s in %s (%s)", pieces, r.ZoneKind, r.Inside)
	case fields.PieceHeld:
		return fmt.Sprintf("%s held by a robot", pieces)
	case fields.GoalInZone:
		return fmt.Sprintf("%s in %s (%s)", goals, r.ZoneKind, r.Inside)
	case fields.RobotInZone:
		when := ""
		if r.Judged != fields.AtPhaseEnd {
			when = " at the end"
		}
		return fmt.Sprintf("robot in %s%s (%s)", r.ZoneKind, when, r.Inside)
	case fields.RobotTouches:
		return "robot that touches " + touched(f, r)
	case fields.PhaseWinner:
		return "ahead after " + phaseName(f, r.Phase)
	}
	return ""
}

// formulaSentence is a formula in its own words: they are made to be read.
func formulaSentence(r fields.Rule) string {
	text := units.Counted(r.Points, "point")
	if r.Worth.Formula != nil {
		text = r.Worth.Text + " points"
	}
	if r.When.Formula != nil {
		text += " when " + r.When.Text
	}
	return text
}

// judged says at which moments a rule is judged.
func judged(f *fields.Field, r fields.Rule) string {
	switch r.Judged {
	case fields.AtPhaseEnd:
		if r.Phase < 0 {
			return "; judged at the end of each phase, and added up"
		}
		return "; judged at the end of " + phaseName(f, r.Phase)
	case fields.AtEnd:
		return "; judged at the end of the session"
	case fields.Once:
		return "; what it is when that first comes about"
	}
	return ""
}

// until is by when a piece must be put into its goal.
func until(f *fields.Field, r fields.Rule) (text string) {
	if r.Phase >= 0 {
		text = " in " + phaseName(f, r.Phase)
	}
	if r.Before > 0 {
		text += fmt.Sprintf(" in the first %g s", r.Before)
	}
	return text
}

func set(f *fields.Field, r fields.Rule) string {
	if r.Run > 0 {
		return fmt.Sprintf("run of %d x %s of one side, one upon another,", r.Run,
			kinds("piece", r.Pieces, f.PieceKinds))
	}
	each := ""
	if r.Each > 1 {
		each = fmt.Sprintf("%d x ", r.Each)
	}
	var words []string
	for _, k := range r.Set {
		words = append(words, each+f.PieceKinds[k].Name)
	}
	return "set of " + strings.Join(words, " and ")
}

func owner(f *fields.Field, r fields.Rule) string {
	if r.By == "last" {
		return fmt.Sprintf("the side whose %s came in last", kinds("piece", r.Pieces, f.PieceKinds))
	}
	return fmt.Sprintf("the side with the most %s in it", kinds("pieces", r.Pieces, f.PieceKinds))
}

func rows(r fields.Rule) string {
	var words []string
	for _, row := range r.Rows {
		words = append(words, strings.Join(row, " - "))
	}
	return strings.Join(words, "; ")
}

// touched is what a robot touches, of its own or of nobody.
func touched(f *fields.Field, r fields.Rule) string {
	if r.With == "wall" {
		return "a wall"
	}
	return kinds("any goal", r.Goals, f.GoalKinds) + ", its own or nobody's"
}

// breach says what a robot must not do.
func breach(f *fields.Field, r fields.Rule) string {
	text := ""
	switch r.Kind {
	case fields.LineCrossed:
		text = "robot over the " + f.Lines[r.Line].Name
		if r.Inside == fields.All {
			text = "robot wholly over the " + f.Lines[r.Line].Name
		}
		if r.Side >= 0 {
			text = f.Sides[r.Side].Name + " " + text
		}
	case fields.Touched:
		if r.With == "hands" {
			text = "robot that touches a zone where a person has hands"
			break
		}
		text = "robot that touches the other side's " + map[string]string{"zone": r.ZoneKind, "robot": "robot",
			"goal": kinds("goal", r.Goals, f.GoalKinds)}[r.With]
		if r.With == "robot" && r.ZoneKind != "" {
			text += " in its " + r.ZoneKind
		}
	case fields.HeldTooMany:
		text = fmt.Sprintf("robot that holds more than %d of %s", r.Most, kinds("any piece", r.Pieces, f.PieceKinds))
	}
	return text + " in " + phaseName(f, r.Phase)
}

// costs is what comes of a foul.
func costs(r fields.Rule) string {
	if r.Lost {
		return units.Counted(r.Points, "point") + " lost"
	}
	return units.Counted(r.Points, "point") + " to the other side"
}

func phaseName(f *fields.Field, phase int) string {
	if phase < 0 {
		return "any phase"
	}
	return f.Phases[phase].Name
}

// kinds names the listed kinds; without a list, any.
func kinds[K fields.PieceKind | fields.GoalKind](every string, list []int, all []K) string {
	if len(list) == 0 {
		return every
	}
	var names []string
	for _, i := range list {
		switch kind := any(all[i]).(type) {
		case fields.PieceKind:
			names = append(names, kind.Name)
		case fields.GoalKind:
			names = append(names, kind.Name)
		}
	}
	return strings.Join(names, " or ")
}
