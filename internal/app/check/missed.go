package check

import "fmt"

// missed is the expectation that most of a case's rehearsals did not meet, and how most of those left the plan first.
type missed struct {
	wish  Wish
	times int    // rehearsals that missed it
	cause string // "": none of them has a first departure that says why
	so    int    // of them, rehearsals with that cause
	nth   int    // the first rehearsal that missed it, by that cause if there is one
	one   Shortfall
}

// mostMissed finds it; of equals, what was met first in the order of seeds and expectations.
func mostMissed(verdicts []verdict) (m missed) {
	m.wish, m.times = mostOf(verdicts, func(v verdict) []Wish {
		var wishes []Wish
		for _, s := range v.short {
			wishes = append(wishes, s.wish)
		}
		return wishes
	})
	m.cause, m.so = mostOf(verdicts, func(v verdict) []string {
		if v.cause == "" || v.missing(m.wish) == nil {
			return nil
		}
		return []string{v.cause}
	})
	for i, v := range verdicts {
		if s := v.missing(m.wish); s != nil && (m.cause == "" || v.cause == m.cause) {
			m.nth, m.one = i, *s
			break
		}
	}
	return m
}

// mostOf is the word that most verdicts have, and how many have it.
func mostOf[T comparable](verdicts []verdict, words func(verdict) []T) (most T, count int) {
	counts := map[T]int{}
	var met []T
	for _, v := range verdicts {
		seen := map[T]bool{}
		for _, word := range words(v) {
			if seen[word] {
				continue
			}
			seen[word] = true
			if counts[word] == 0 {
				met = append(met, word)
			}
			counts[word]++
		}
	}
	for _, word := range met {
		if counts[word] > count {
			most, count = word, counts[word]
		}
	}
	return most, count
}

// missing is the shortfall of an expectation, nil if it was met.
func (v *verdict) missing(wish Wish) *Shortfall {
	for i := range v.short {
		if v.short[i].wish == wish {
			return &v.short[i]
		}
	}
	return nil
}

// String is "missed most often (25 times): score at least 12; first departure in 20 of them: clamp misses (line 20)".
func (m missed) String() string {
	text := fmt.Sprintf("missed most often (%s): %s", times(m.times), m.wish.Text)
	if m.cause != "" {
		text += fmt.Sprintf("; first departure in %d of them: %s", m.so, m.cause)
	}
	return text
}
