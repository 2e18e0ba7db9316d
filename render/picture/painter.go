package picture

import (
	"github.com/tdewolff/canvas"

	"chalkfield/internal/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// painter draws on a canvas, whose y is up and whose unit is an everyday pixel. A canvas draws both PNG and SVG.
type painter struct {
	to      *canvas.Canvas
	context *canvas.Context
	letters *letters
}

func newPainter(to *canvas.Canvas) *painter {
	context := canvas.NewContext(to)
	context.SetStrokeCapper(canvas.RoundCap)
	context.SetStrokeJoiner(canvas.BevelJoin) // the canvas's round joins leave a spike on a hexagon's tips (seen at 1600 px)
	return &painter{to, context, newLetters()}
}

// chunk is how many stretches of a polyline are stroked at a time. The canvas finds a stroke's outline in time that grows
// with the square of their number (measured: 3000 at once 1.9 s, in parts of 32 0.06 s); round ends hide the joints.
const chunk = 32

func (p *painter) Fill(corners []geom.Vec, c scene.Colour) {
	path := &canvas.Path{}
	p.add(path, corners)
	path.Close()
	p.fill(path, c)
}

func (p *painter) Stroke(lines [][]geom.Vec, closed bool, width float64, c scene.Colour) {
	p.context.SetFillColor(canvas.Transparent)
	p.context.SetStrokeColor(c)
	p.context.SetStrokeWidth(width)
	path := &canvas.Path{}
	for _, line := range lines {
		if closed && len(line) <= chunk {
			p.add(path, line)
			path.Close()
			p.flush(path)
			continue
		}
		if closed {
			line = append(append([]geom.Vec(nil), line...), line[0])
		}
		for from := 0; from+1 < len(line); from += chunk {
			p.add(path, line[from:min(from+chunk+1, len(line))])
			p.flush(path)
		}
	}
}

func (p *painter) flush(path *canvas.Path) {
	p.context.DrawPath(0, 0, path.Copy())
	path.Reset()
}

func (p *painter) Disc(at geom.Vec, radius float64, c scene.Colour) {
	p.fill(canvas.Circle(radius).Translate(at.X, p.to.H-at.Y), c)
}

func (p *painter) Ring(at geom.Vec, radius, width float64, c scene.Colour) {
	p.context.SetFillColor(canvas.Transparent)
	p.context.SetStrokeColor(c)
	p.context.SetStrokeWidth(width)
	p.context.DrawPath(at.X, p.to.H-at.Y, canvas.Circle(radius))
}

func (p *painter) Text(t paint.Text) {
	p.fill(p.letters.outline(t, p.to.H), t.Colour)
}

func (p *painter) fill(path *canvas.Path, c scene.Colour) {
	p.context.SetFillColor(c)
	p.context.SetStrokeColor(canvas.Transparent)
	p.context.DrawPath(0, 0, path)
}

func (p *painter) add(path *canvas.Path, points []geom.Vec) {
	for i, v := range points {
		if i == 0 {
			path.MoveTo(v.X, p.to.H-v.Y)
		} else {
			path.LineTo(v.X, p.to.H-v.Y)
		}
	}
}
