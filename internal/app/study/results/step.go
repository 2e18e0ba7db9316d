package results

import "fmt"

// Step is an achievement of a plan. Pieces of a kind are alike: the second pickup of a core is a step, whichever core
// it is.
type Step struct {
	Moment
	Nth   int    // of its kind and thing, from 0
	Words string // "sled 1 clamped", "second core picked up"
}

// Steps lists a plan's achievements.
func (r Result) Steps() []Step {
	var steps []Step
	counted := map[string]int{}
	for _, m := range r.Did {
		done := m.Kind.Traits().Done
		if done == "" {
			continue
		}
		nth := counted[step(m)]
		counted[step(m)]++
		told := about(m, nth, done)
		if m.Piece != "" {
			told = ordinal(nth+1) + " " + m.Piece + " " + done
		}
		steps = append(steps, Step{m, nth, told})
	}
	return steps
}

// When is the time at which a rehearsal came to a step of the plan.
func (r Result) When(s Step) (t float64, found bool) {
	nth := s.Nth
	for _, m := range r.Did {
		if step(m) != step(s.Moment) {
			continue
		}
		if nth == 0 {
			return m.T, true
		}
		nth--
	}
	return 0, false
}

// step names what an achievement counts as: like name, but for a piece by its kind.
func step(m Moment) string {
	if m.Piece != "" {
		return string(m.Kind) + " any " + m.Piece
	}
	return name(m)
}

func ordinal(n int) string {
	words := []string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}
	switch {
	case n <= len(words):
		return words[n-1]
	case n%100 >= 11 && n%100 <= 13:
		return fmt.Sprintf("%dth", n)
	}
	switch n % 10 {
	case 1:
		return fmt.Sprintf("%dst", n)
	case 2:
		return fmt.Sprintf("%dnd", n)
	case 3:
		return fmt.Sprintf("%drd", n)
	}
	return fmt.Sprintf("%dth", n)
}
