package canvas

import "github.com/hajimehoshi/ebiten/v2"

// photo is a picture that is drawn, ready.
type photo struct {
	picture *ebiten.Image
	options ebiten.DrawImageOptions
}

// Photo draws a picture into a rectangle, between BeginAgain and End, with a share of its opacity. Its number tells it
// from other pictures.
func (p *Pen) Photo(picture *ebiten.Image, number int, x, y, width, height, opacity float64) {
	size := picture.Bounds().Size()
	x, y, width, height = x*p.Scale, y*p.Scale, width*p.Scale, height*p.Scale
	drawn := &photo{picture: picture}
	drawn.options.GeoM.Scale(width/float64(size.X), height/float64(size.Y))
	drawn.options.GeoM.Translate(x, y)
	drawn.options.ColorScale.ScaleAlpha(float32(opacity))
	drawn.options.Filter = ebiten.FilterLinear
	m := mark(number).floats(float32(x), float32(y)).floats(float32(width), float32(height)).floats(float32(opacity), 0)
	p.add(deed{clip: p.target.Bounds(), box: pixelBox(x, y, x+width, y+height), writing: -1, photo: drawn}, m)
}
