package paint

import (
	"math"
	"strconv"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// group is events whose marks lie on top of each other: they share one label.
type group struct {
	label   *scene.Label
	at      geom.Vec
	clear   float64
	numbers []int // rising
}

// together is how near two marks are that share a label, pixels.
const together = 13.0

// join adds a number to the group at its place, or begins one.
func (p *placer) join(label *scene.Label, at geom.Vec, v View) {
	for i := range p.groups {
		g := &p.groups[i]
		if math.Hypot(g.at.X-at.X, g.at.Y-at.Y) < together {
			g.insert(label.Number)
			if label.Rank < g.label.Rank {
				g.label = label
			}
			return
		}
	}
	if n := len(p.groups); n < cap(p.groups) { // keep the numbers' buffer of a former frame
		p.groups = p.groups[:n+1]
		p.groups[n].numbers = p.groups[n].numbers[:0]
	} else {
		p.groups = append(p.groups, group{})
	}
	g := &p.groups[len(p.groups)-1]
	g.label, g.at, g.clear = label, at, v.Length(label.Clear)
	g.numbers = append(g.numbers, label.Number)
}

func (g *group) insert(number int) {
	g.numbers = append(g.numbers, number)
	for i := len(g.numbers) - 1; i > 0 && g.numbers[i] < g.numbers[i-1]; i-- {
		g.numbers[i], g.numbers[i-1] = g.numbers[i-1], g.numbers[i]
	}
}

// mostRuns is how many runs of numbers a label names before it counts the rest.
const mostRuns = 3

// words names the numbers: "4", "4-7", "4-7, 9", or "4-7, 9, 12 +5" when there are more runs than a label has room for.
func (g *group) words() string {
	var out []byte
	runs, named := 0, 0
	for i := 0; i < len(g.numbers) && runs < mostRuns; runs++ {
		end := i
		for end+1 < len(g.numbers) && g.numbers[end+1] == g.numbers[end]+1 {
			end++
		}
		if runs > 0 {
			out = append(out, ", "...)
		}
		out = strconv.AppendInt(out, int64(g.numbers[i]), 10)
		if end == i+1 {
			out = strconv.AppendInt(append(out, ", "...), int64(g.numbers[end]), 10)
		} else if end > i {
			out = strconv.AppendInt(append(out, '-'), int64(g.numbers[end]), 10)
		}
		named, i = end+1, end+1
	}
	if rest := len(g.numbers) - named; rest > 0 {
		out = strconv.AppendInt(append(out, " +"...), int64(rest), 10)
	}
	return string(out)
}
