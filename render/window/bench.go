package window

import (
	"fmt"
	"math"
	"path/filepath"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/fields"
	"chalkfield/internal/app/build"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"

	"gonum.org/v1/gonum/spatial/r2"
)

// bench is the field while it is built: what is drawn of it, and the hands on it. Everything that is done goes to the
// board.
type bench struct {
	*fieldView
	disk    *disk
	builder scene.Builder
	took    grasp
	adding  *build.Adding // what the next place is for; nil: nothing
	first   *geom.Vec     // its first place; nil: not shown yet
	leaving bool          // Esc was pressed, with nothing to give up: once more ends building
	ruler   []geom.Vec    // places clicked for the picture's scale; nil: none is asked for
	grip    *[2]float64   // where the pointer holds the floor; nil: it does not
	photo   photo
	values  func(path string) // gives the keys to the value of a path
	known   map[string]bool   // what was wrong when it was told last
	seen    [2]geom.Vec       // of a robot: what is to be seen, while it is built
}

// grasp is what is being dragged: a shape as a whole, or one of its grips.
type grasp struct {
	shape  *build.Shape // nil: nothing
	grip   *build.Grip  // nil: the whole
	number int          // of the grip
	copied bool         // the copy was taken
	from   geom.Vec     // m: where, of a grip from its place
	press  geom.Vec     // points: where the pointer went down
	moved  bool
}

// photo is the picture to be traced, as it was read last.
type photo struct {
	path   string
	stamp  stamp
	image  *ebiten.Image // nil: there is none
	number int
}

// extent is what is to be seen: the floor, and a margin of it for what stands on its walls.
func (b *bench) extent() (low, high geom.Vec) {
	board := b.model.Board()
	if board == nil {
		return low, high
	}
	if board.Sheet().Robot != nil {
		return b.widened(board.Sheet())
	}
	low, high = board.Sheet().Low, board.Sheet().High
	margin := 0.02 * math.Max(high.X-low.X, high.Y-low.Y)
	return geom.Vec{X: low.X - margin, Y: low.Y - margin}, geom.Vec{X: high.X + margin, Y: high.Y + margin}
}

// widened is what is to be seen of a robot. It holds what it held before, so that the drawing does not slip away under
// the pointer, and grows between drags.
func (b *bench) widened(s *build.Sheet) (low, high geom.Vec) {
	const step = 0.1 // m
	least, most := &b.seen[0], &b.seen[1]
	if b.took.shape == nil || *least == *most {
		least.X, least.Y = min(least.X, math.Floor(s.Low.X/step)*step), min(least.Y, math.Floor(s.Low.Y/step)*step)
		most.X, most.Y = max(most.X, math.Ceil(s.High.X/step)*step), max(most.Y, math.Ceil(s.High.Y/step)*step)
	}
	return *least, *most
}

// axis is where the numbers beside the floor end, points.
func (b *bench) axis() float64 {
	low, _ := b.extent()
	if sheet := b.model.Board().Sheet(); sheet.Robot == nil {
		low = sheet.Low
	}
	return b.view.Pixel(low).X
}

// showWhole shows all there is now.
func (b *bench) showWhole() {
	b.seen = [2]geom.Vec{}
	b.showAll()
}

func (b *bench) want(w *wants) {
	low, high := b.extent()
	w.Build, w.Aspect = true, (high.X-low.X)/math.Max(high.Y-low.Y, 0.01)
}

func (b *bench) place() {
	b.stillThere()
	b.fit()
	for i, p := range b.model.Board().Sheet().Problems {
		shape := b.problemShape(p)
		if shape == nil {
			continue
		}
		at := b.problemPlace(shape)
		if !b.frame.Field.Contains(at.X, at.Y) {
			continue
		}
		words := p.What
		if p.Doubtful {
			words = "doubtful: " + words
		}
		b.add(element{Name: fmt.Sprintf("problem %d", i+1), Rect: Rect{X: at.X - 9, Y: at.Y - 9, W: 18, H: 18}, Tip: words,
			Bare: true, Do: func() { b.values(p.Path); b.model.Say(capital(words) + ".") }})
	}
}

// problemShape is the shape that a problem is marked at; nil: it has none on the field.
func (b *bench) problemShape(p build.Problem) *build.Shape {
	sheet := b.model.Board().Sheet()
	for i := range sheet.Shapes {
		if s := &sheet.Shapes[i]; p.Of(s.Path) || s.Path == "" && p.Of(s.Edges) {
			return s
		}
	}
	return nil
}

// problemPlace is where its mark stands: beside the middle of the shape, so that this can be taken.
func (b *bench) problemPlace(s *build.Shape) geom.Vec {
	at := b.view.Pixel(s.At)
	return geom.Vec{X: at.X + 14, Y: at.Y - 14}
}

// boardWords tell how the file stands.
func boardWords(s *build.Sheet) string {
	doubts, what := len(s.Problems)-s.Errors(), "played"
	if s.Robot != nil {
		what = "driven"
	}
	switch {
	case s.Errors() > 0:
		return units.Counted(s.Errors(), "problem") + ": it cannot be " + what + " yet"
	case doubts > 0:
		return "can be " + what + "; " + units.Counted(doubts, "doubtful thing")
	}
	return "can be " + what
}

// choose makes the values beside the field those of a table.
func (b *bench) choose(path string) { b.model.Board().Choose(path) }

// snapped is a place on lines that are near, unless Alt is held.
func (b *bench) snapped(v geom.Vec, but string) geom.Vec {
	if b.hand.Alt || b.aim.keyed {
		return v
	}
	return b.model.Board().Sheet().Snap(v, handleReach/b.view.Scale, but)
}

func (b *bench) point() {
	if !b.hand.Down {
		b.letGo()
	}
	b.follow()
	b.dragFloor()
	if !b.onField() {
		return
	}
	b.moveView()
	if b.hand.Pressed && b.aim.valid {
		b.press()
	}
}

// press takes what is under the pointer, or shows a place.
func (b *bench) press() {
	switch {
	case b.ruler != nil:
		b.rule()
	case b.adding != nil:
		b.show()
	default:
		b.take()
	}
}

// take takes a grip of what is chosen, else the thing under the pointer, else the floor.
func (b *bench) take() {
	sheet, at := b.model.Board().Sheet(), b.aim.at
	if b.takeGrip(sheet.Shape(b.model.Board().Chosen())) {
		return
	}
	shape, copied := b.under()
	if shape == nil {
		b.choose("")
		b.grip = &[2]float64{b.hand.X, b.hand.Y}
		return
	}
	b.choose(shape.Path)
	if shape.Move == nil && b.takeGrip(shape) {
		return
	}
	b.took = grasp{shape: shape, copied: copied, from: at, press: b.pointer()}
	for i := range shape.Grips {
		if b.hand.Shift && shape.Grips[i].About != nil {
			b.took.grip, b.took.number, b.took.from = &shape.Grips[i], i, geom.Vec{}
		}
	}
}

// takeGrip takes the grip of a shape that is at the pointer, if one is.
func (b *bench) takeGrip(shape *build.Shape) bool {
	if shape == nil {
		return false
	}
	for i := range shape.Grips {
		if g := &shape.Grips[i]; geom.Norm(r2.Sub(g.At, b.aim.at)) <= handleReach/b.view.Scale {
			b.took = grasp{shape: shape, grip: g, number: i, from: r2.Sub(b.aim.at, g.At), press: b.pointer()}
			return true
		}
	}
	return false
}

// under is the shape at the pointer that can be taken: not the floor, and the picture only while it is chosen.
func (b *bench) under() (*build.Shape, bool) {
	if !b.aim.valid {
		return nil, false
	}
	board := b.model.Board()
	return board.Sheet().At(b.aim.at, handleReach/b.view.Scale, func(path string) bool {
		return path != "" && (path != "picture" || board.Chosen() == path)
	})
}

// follow moves what is dragged with the pointer: the board shows it, the file stays.
func (b *bench) follow() {
	t, board := &b.took, b.model.Board()
	if t.shape == nil || !b.hand.Down || b.hand.X == b.hand.lastX && b.hand.Y == b.hand.lastY {
		return
	}
	if !t.moved && geom.Norm(r2.Sub(b.pointer(), t.press)) < leastScrub {
		return
	}
	at := b.view.Place(b.pointer())
	t.moved = true
	var edits []build.Edit
	switch to := r2.Sub(at, t.from); {
	case t.grip == nil && t.shape.Move == nil:
		return
	case t.grip == nil:
		if t.copied {
			to = board.Sheet().Mirrored(to)
		}
		if !b.hand.Alt {
			to = board.Sheet().SnapBy(t.shape, to, handleReach/b.view.Scale)
		}
		edits = t.shape.Move(to)
	case t.grip.About != nil:
		if !b.hand.Alt {
			to = viewmodel.SnapTurn(*t.grip.About, to)
		}
		edits = t.grip.Drag(to)
	default:
		edits = t.grip.Drag(b.snapped(to, t.shape.Path))
	}
	if err := board.Try(edits...); err != nil {
		b.model.Warn("Not moved: " + err.Error() + ".")
	}
}

// letGo writes what was dragged.
func (b *bench) letGo() {
	t := b.took
	b.took = grasp{}
	if t.shape == nil || !t.moved {
		return
	}
	words := "moved " + t.shape.Words
	if t.grip != nil {
		words = "dragged " + t.grip.Words
	}
	b.keep(words)
}

// keep writes what is tried, and says so.
func (b *bench) keep(words string) {
	if !b.model.Board().Trying() {
		b.model.Board().Drop()
		return
	}
	if err := b.model.Board().Keep(words); err != nil {
		b.model.Warn("Not written: " + err.Error() + ".")
		return
	}
	b.told(words)
}

// told says what was done and written, and what is wrong now that was not before.
func (b *bench) told(words string) {
	before := b.known
	b.note()
	for _, p := range b.model.Board().Sheet().Problems {
		if !p.Doubtful && !before[p.What] {
			b.model.Warn(capital(words) + ". Now " + p.What + ".")
			return
		}
	}
	b.model.Say(capital(words) + ": written. Undo with Ctrl+Z.")
	for _, p := range b.model.Board().Sheet().Problems {
		if !before[p.What] {
			b.model.Also("Doubtful now: " + p.What + ".")
			return
		}
	}
}

// note keeps what is wrong, so that what comes to be wrong can be told.
func (b *bench) note() {
	b.known = map[string]bool{}
	for _, p := range b.model.Board().Sheet().Problems {
		b.known[p.What] = true
	}
}

// places are the shapes on the screen, for tests.
func (b *bench) places() (list []place) {
	for _, s := range b.model.Board().Sheet().Shapes {
		at := b.view.Pixel(s.At)
		list = append(list, place{s.Words, at.X, at.Y})
		for i, g := range s.Grips {
			at := b.view.Pixel(g.At)
			list = append(list, place{fmt.Sprintf("%s, grip %d", s.Words, i), at.X, at.Y})
		}
	}
	return list
}

// do does something on the board.
func (b *bench) do(words string, err error) {
	if err != nil {
		b.model.Warn("Not done: " + err.Error() + ".")
		return
	}
	b.told(words)
}

// dragFloor moves the view with the floor that was taken.
func (b *bench) dragFloor() {
	if b.grip == nil {
		return
	}
	if !b.hand.Down {
		b.grip = nil
		return
	}
	b.panBy(b.hand.X-b.grip[0], b.hand.Y-b.grip[1])
	b.grip = &[2]float64{b.hand.X, b.hand.Y}
}

// takeSave takes the file as somebody else wrote it.
func (b *bench) takeSave() {
	board := b.model.Board()
	if board == nil {
		return
	}
	changed, err := board.Look()
	switch {
	case err != nil:
		b.model.Warn("The file was changed outside, and cannot be shown: " + err.Error())
	case changed:
		b.took = grasp{}
		b.model.Say("Took the file as it was changed outside. Undo with Ctrl+Z.")
	}
	b.watch()
}

// watch looks after the file and the picture.
func (b *bench) watch() {
	board := b.model.Board()
	files := []string{board.Path()}
	if p := board.Sheet().Picture; p != nil && p.File != "" {
		files = append(files, b.picturePath(p))
	}
	b.disk.watch.follow(files)
}

func (b *bench) picturePath(p *fields.Picture) string {
	return filepath.Join(filepath.Dir(b.model.Board().Path()), filepath.FromSlash(p.File))
}

func (b *bench) draw() {
	board := b.model.Board()
	sheet := board.Sheet()
	area := b.frame.Field
	b.fill(area, scene.Slate)
	b.clip(area)
	if sheet.Robot != nil {
		b.drawer.Draw(b.pen, scene.Drawing(b.model.Units, sheet.Robot), b.view)
	} else {
		b.drawFloor(sheet)
		drawn := b.builder.Build(scene.Input{Field: sheet.Field, Units: b.model.Units})
		b.drawer.Draw(b.pen, withoutFloor(drawn), b.view)
	}
	b.drawShapes(sheet)
	b.drawAdding()
	b.drawProblems(sheet)
	b.pen.Unclip()
}

// withoutFloor leaves out the fill of the floor, which lies under the picture.
func withoutFloor(s *scene.Scene) *scene.Scene {
	out := *s
	out.Layers = nil
	for _, layer := range s.Layers {
		if layer.Overlay == scene.Floor && len(layer.Items) > 0 {
			layer.Items = layer.Items[1:]
		}
		out.Layers = append(out.Layers, layer)
	}
	return &out
}

// drawFloor paints the floor, and the picture on it.
func (b *bench) drawFloor(sheet *build.Sheet) {
	corners := make([]geom.Vec, len(sheet.Field.Floor))
	for i, v := range sheet.Field.Floor {
		corners[i] = b.view.Pixel(v)
	}
	b.pen.Fill(corners, scene.SlateTop)
	p := sheet.Picture
	if p == nil || p.File == "" {
		return
	}
	if b.photo.read(b.picturePath(p)); b.photo.image == nil {
		return
	}
	box := geom.Rect(p.Box[0], p.Box[1])
	top, bottom := b.view.Pixel(box[3]), b.view.Pixel(box[1])
	if bottom.X > top.X && bottom.Y > top.Y {
		b.pen.Photo(b.photo.image, b.photo.number, top.X, top.Y, bottom.X-top.X, bottom.Y-top.Y, 1-geom.Clamp(p.Fade, 0, 1))
	}
}

// read reads the picture, where it is another than before. What is wrong with it is a problem of the board's.
func (p *photo) read(path string) {
	now := stampOf(path)
	if path == p.path && now == p.stamp {
		return
	}
	if p.image != nil {
		p.image.Deallocate()
	}
	*p = photo{path: path, stamp: now, number: p.number + 1}
	if picture, err := fields.ReadPicture(path); err == nil {
		p.image = ebiten.NewImageFromImage(picture)
	}
}

// drawShapes draws what is pointed at and what is chosen, with its copy and its grips.
func (b *bench) drawShapes(sheet *build.Sheet) {
	if shape, _ := b.under(); shape != nil && b.took.shape == nil && b.adding == nil {
		b.outline(shape.Lines, 1.5, scene.Chalk)
		b.outline(shape.Copies, 1, scene.Dust)
	}
	shape := sheet.Shape(b.model.Board().Chosen())
	if shape == nil {
		return
	}
	if shape.Path != "" {
		b.outline(shape.Copies, 1.5, b.pale)
		b.outline(shape.Lines, 2.5, b.accent)
	}
	for i := range shape.Grips {
		b.drawGrip(&shape.Grips[i])
	}
	if b.took.moved {
		b.drawPlate(shape)
	}
}

func (b *bench) outline(lines []build.Outline, width float64, c scene.Colour) {
	for _, line := range lines {
		points := make([]geom.Vec, len(line.Points))
		for i, v := range line.Points {
			points[i] = b.view.Pixel(v)
		}
		b.pen.Stroke([][]geom.Vec{points}, line.Closed, width, c)
	}
}

func (b *bench) drawGrip(g *build.Grip) {
	at := b.view.Pixel(g.At)
	size := 5.5
	if math.Hypot(b.hand.X-at.X, b.hand.Y-at.Y) <= handleReach {
		size = 7.5
	}
	if g.About != nil {
		about := b.view.Pixel(*g.About)
		b.pen.Segment(about.X, about.Y, at.X, at.Y, 1.5, b.accent)
	}
	b.pen.Disc(at, size+2, scene.Slate)
	b.pen.Disc(at, size, b.accent)
	b.pen.Disc(at, size-2.5, scene.Slate)
}

// drawPlate tells where what is dragged is.
func (b *bench) drawPlate(shape *build.Shape) {
	words, at := "", shape.At
	if b.took.grip != nil && b.took.number < len(shape.Grips) {
		g := &shape.Grips[b.took.number]
		if at = g.At; g.About != nil {
			words = fmt.Sprintf("%.1f deg", geom.Degrees(math.Atan2(g.At.Y-g.About.Y, g.At.X-g.About.X)))
		}
	}
	if words == "" {
		words = b.placeWords(at)
	}
	pixel := b.view.Pixel(at)
	b.plate(words, geom.Vec{X: pixel.X, Y: pixel.Y - 26})
}

// drawProblems marks what is wrong, by a cross, and what is doubtful, by a triangle.
func (b *bench) drawProblems(sheet *build.Sheet) {
	for _, p := range sheet.Problems {
		shape := b.problemShape(p)
		if shape == nil {
			continue
		}
		at, mark := b.problemPlace(shape), scene.Cross
		if p.Doubtful {
			mark = scene.Triangle
		}
		b.pen.Disc(at, 9, scene.Chalk)
		b.drawer.Mark(b.pen, mark, at, 5, scene.Plate, scene.Pen{})
	}
}
