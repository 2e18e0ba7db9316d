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
			p.Below = append(p.Below, driveFigure(&r.Drives[i]))
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

func driveFigure(d *fit.Drive) *figure {
	out := &picture.SVG{}
	for _, size := range []struct {
		class string
		width float64
	}{{"field wide", widePicture}, {"field narrow", narrowPicture}} {
		one := picture.FitDrive(d, size.width)
		out.Begin(one.Width, one.Height, `class="`+size.class+`"`, one.Title, one.Ground)
		one.Draw(out)
		out.End()
	}
	return &figure{Pictures: []panel{{Title: fmt.Sprintf("%s: %s, %.1f to %.1f s", d.Log, d.What, d.From, d.To),
		SVG: template.HTML(out.String())}}} // its words are escaped
}

// penSwatch is a line as the picture draws it.
func penSwatch(pen scene.Pen) template.HTML {
	out, drawer := &picture.SVG{}, paint.Drawer{}
	out.WriteString(`<svg viewBox="0 0 40 14" aria-hidden="true">`)
	drawer.Swatch(out, scene.LegendRow{Line: pen}, paint.Box{Left: 3, Right: 37, Bottom: 14})
	out.End()
	return template.HTML(out.String())
}
