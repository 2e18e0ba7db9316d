package webpage

import (
	"fmt"
	"html/template"
	"math"

	"chalkfield/internal/study/findings"
	"chalkfield/internal/study/part"
	"chalkfield/render/scene"
)

func sweepPage(f *part.File) (*page, error) {
	s, err := findings.OfSweep(f)
	if err != nil {
		return nil, err
	}
	p := &page{
		Title:    fmt.Sprintf("%s over %s", s.Name, s.Axes[0].Name),
		Subtitle: fmt.Sprintf("%d rehearsals at %d points on %s, %s; every point meets the same seeds", s.Have, len(s.Points), s.Field, s.Session),
		Lead:     []string{s.Sentence()},
		Made:     madeFrom(&f.Header),
	}
	if len(s.Axes) == 2 {
		p.Title += " and " + s.Axes[1].Name
		p.Sections = append(p.Sections, mapSection(s))
	}
	p.Lead = append(sentences(s.Notes), p.Lead...)
	if s.Caution != "" {
		p.Lead = append(p.Lead, s.Caution)
	}
	if due := s.Count * len(s.Points); s.Have < due {
		p.Unfinished = fmt.Sprintf("Not finished: %d of %d rehearsals are done.", s.Have, due)
	}
	p.Sections = append(p.Sections, pointsSection(s))
	return p, nil
}

// One of black and white has a contrast of 4.58 or more on any colour (the geometric mean of 21).
var (
	white = scene.Colour{R: 0xff, G: 0xff, B: 0xff, A: 0xff}
	black = scene.Colour{A: 0xff}
)

// mapSection shows the mean score over both axes, one hue from light to dark, the number in every cell.
func mapSection(s findings.Sweep) section {
	low, high := scoreRange(s)
	g := &grid{Columns: s.Axes[1].Labels}
	columns := len(s.Axes[1].Values)
	for r, label := range s.Axes[0].Labels {
		row := gridRow{Label: label}
		for c := range columns {
			row.Cells = append(row.Cells, mapCell(s, r*columns+c, low, high))
		}
		g.Rows = append(g.Rows, row)
	}
	return section{Title: "Map of the mean score", Grid: g, Note: fmt.Sprintf("Down: %s; across: %s. From %.1f points (light) to %.1f (dark). Framed: the best. With a dot: not shown to be worse than the best.", s.Axes[0].Name, s.Axes[1].Name, low, high)}
}

func mapCell(s findings.Sweep, i int, low, high float64) gridCell {
	p := &s.Points[i]
	if p.Score.N == 0 {
		return gridCell{Words: "-", Background: "#fff", Ink: "#1b2126"}
	}
	share := 0.0
	if high > low {
		share = (p.Score.Mean - low) / (high - low)
	}
	shade := scene.Mix(scene.Colour{R: 0xf1, G: 0xee, B: 0xfb}, scene.Colour{R: 0x3d, G: 0x2f, B: 0x8f}, share)
	cell := gridCell{
		Words: fmt.Sprintf("%.1f", p.Score.Mean), Best: i == s.Best, Ink: "#000000",
		Background: template.CSS(fmt.Sprintf("#%02x%02x%02x", shade.R, shade.G, shade.B)),
	}
	if scene.Contrast(white, shade) > scene.Contrast(black, shade) {
		cell.Ink = "#ffffff"
	}
	if s.NotWorse(i) && i != s.Best {
		cell.Words += " \u2022"
	}
	return cell
}

func scoreRange(s findings.Sweep) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i := range s.Points {
		if p := &s.Points[i]; p.Score.N > 0 {
			low, high = math.Min(low, p.Score.Mean), math.Max(high, p.Score.Mean)
		}
	}
	return low, high
}

// pointsSection lists every point with its mean score and interval.
func pointsSection(s findings.Sweep) section {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range s.Points {
		if p := &s.Points[i]; p.Score.N > 0 {
			half := findings.HalfWidth(p.Score)
			low, high = math.Min(low, p.Score.Mean-half), math.Max(high, p.Score.Mean+half)
		}
	}
	if !(high > low) {
		high = low + 1
	}
	low, high = low-0.05*(high-low), high+0.05*(high-low)
	out := section{Title: "Every point", Note: fmt.Sprintf("Line: mean score; band: its 95 %% interval (Student's t); the scale runs from %.1f to %.1f points. Good: %g points or more.", low, high, s.Need)}
	names := []string{}
	for _, a := range s.Axes {
		names = append(names, "#"+a.Name)
	}
	out.Table = &table{Stack: true, Head: heads(append(names, "#mean score", "", "#good", "against the best")...)}
	for i := range s.Points {
		out.Table.Rows = append(out.Table.Rows, pointRow(s, i, low, high))
	}
	return out
}

func pointRow(s findings.Sweep, i int, low, high float64) []cell {
	p := &s.Points[i]
	var row []cell
	for k, a := range s.Axes {
		row = append(row, cell{Words: a.Labels[p.At[k]]})
	}
	if p.Score.N == 0 {
		return append(row, cell{Words: "-"}, cell{}, cell{}, cell{Words: "not done yet"})
	}
	at := func(x float64) percent { return percent(100 * (x - low) / (high - low)) }
	half := findings.HalfWidth(p.Score)
	bar := track{Label: fmt.Sprintf("mean %.2f, 95 %% from %.2f to %.2f", p.Score.Mean, p.Score.Mean-half, p.Score.Mean+half), Ticks: []percent{at(p.Score.Mean)}}
	if half > 0 {
		bar.Bars = []span{{"range", at(p.Score.Mean - half), at(p.Score.Mean+half) - at(p.Score.Mean-half)}}
	}
	return append(row, cell{Words: fmt.Sprintf("%.2f", p.Score.Mean)}, cell{Track: &bar}, cell{Words: fmt.Sprintf("%.0f %%", 100*p.Good.Portion())}, cell{Words: s.Verdict(i)})
}
