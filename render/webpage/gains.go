package webpage

import (
	"io"

	"chalkfield/internal/app/gains"
	"chalkfield/internal/app/report"
	"chalkfield/render/picture"
)

// WriteGains writes what gains do, with the steps and ramps drawn.
func WriteGains(w io.Writer, told *report.Document, r *gains.Result) error {
	f := &figure{Title: "Steps and ramps", Pictures: []panel{{SVG: inBothSizes(func(width float64) picture.Drawing {
		return picture.Gains(told.In, r, width)
	})}}, Caption: "Off: what was wanted less where it ends. Behind: how far a ramp is behind, while it moves at its " +
		"full rate. Low battery: run down as the file has it; loaded: a quarter more mass to drive, half more on a " +
		"lift, of which the controllers do not know."}
	for _, s := range gains.Sets {
		f.Key = append(f.Key, keyRow{Swatch: penSwatch(picture.GainPen(s)), Words: "gains " + report.GainsOf(s)})
	}
	f.Key = append(f.Key, keyRow{Swatch: penSwatch(picture.WantedPen), Words: "what was wanted"})
	return page{Document: told, Figures: []*figure{f}}.write(w)
}
