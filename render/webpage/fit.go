package webpage

import (
	"fmt"
	"html/template"
	"io"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// mostDrives is how many drives are drawn: a page of more is slow.
const mostDrives = 60

// WriteFit writes what a fit tells, with a picture of every drive.
func WriteFit(w io.Writer, told *report.Document, r *fit.Result) error {
	p := page{Document: told}
	for i := range r.Drives {
		if i == mostDrives {
			last := p.Below[i-1]
			last.Caption = fmt.Sprintf("%s more are not drawn.", units.Counted(len(r.Drives)-i, "drive"))
			break
		}
		if len(r.Drives[i].Traces) > 0 {
			p.Below = append(p.Below, driveFigure(told.In, &r.Drives[i]))
		}
	}
	if len(p.Below) > 0 {
		p.Below[0].Title = "Measured and predicted, drive by drive"
		p.Below[0].Key = []keyRow{{Swatch: penSwatch(picture.Measured), Words: "measured"},
			{Swatch: penSwatch(picture.Predicted), Words: "predicted with the new file"},
			{Swatch: penSwatch(picture.Formerly), Words: "predicted with the file as it was"}}
		p.Below[0].Caption = "Below each: what is left between measured and predicted. Nineteen of twenty values lie in " +
			"the lighter band where nothing but the sensors' noise is left. What goes beyond the scale is cut."
	}
	return p.write(w)
}

func driveFigure(in units.System, d *fit.Drive) *figure {
	return &figure{Pictures: []panel{{Title: fmt.Sprintf("%s: %s, %.1f to %.1f s", d.Log, d.What, d.From, d.To),
		SVG: inBothSizes(func(width float64) picture.Drawing { return picture.FitDrive(in, d, width) })}}}
}

// penSwatch is a line as the picture draws it.
func penSwatch(pen scene.Pen) template.HTML {
	return legendSwatch(scene.LegendRow{Line: pen}, paint.Slate)
}
