package results

// AsPlanned are the words where nothing is to blame.
const AsPlanned = "every step and every rule as planned"

// nothingNew are the words where the plan itself failed and this rehearsal had no other trouble.
const nothingNew = "no trouble that the nominal rehearsal did not have"

// Nothing reports whether a rehearsal's blame names no cause.
func (d Departure) Nothing() bool { return d.Words == AsPlanned || d.Words == nothingNew }

// Blame says why a rehearsal was worth less than it should have been: its first departure from the plan, or, when all
// went as planned and points are lacking all the same, the first rule that gave fewer. rules names the score sheet's
// rows.
func Blame(plan, got Result, rules []string, seconds float64) Departure {
	if first, found := Depart(plan, got, seconds); found {
		return first
	}
	if plan.Failed() != nil {
		return Departure{Words: nothingNew, T: seconds, At: at(got)}
	}
	for i, rule := range rules {
		if got.Points[i] < plan.Points[i] {
			return Departure{Words: "every step as planned, but fewer points for " + rule, T: seconds, At: at(got)}
		}
	}
	return Departure{Words: AsPlanned, T: seconds, At: at(got)}
}

func at(r Result) *[2]float64 { return &[2]float64{r.Pose[0], r.Pose[1]} }
