package window

import (
	"math"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// field is the field with what moves on it.
type field struct {
	*fieldView
	facts    *facts
	studies  *studies
	handles  *handles
	builder  scene.Builder
	paler    scene.Builder // of the run before
	arranger scene.Builder // of the whole way while things are arranged
	kept     still         // ground, goals and pieces
	axes     axes
	mounts   []scene.Mount
	mountsOf *viewmodel.Run
	grip     *[2]float64 // where the pointer holds the floor; nil: it does not
	dragged  bool        // it has gone on from there
}

func (f *field) place() { f.fit() }

func (f *field) draw() {
	run := f.model.Now
	if run == nil {
		f.drawGround()
		f.drawNothing()
		return
	}
	f.buildScene(run)
	f.fit()
	f.drawScene(run)
}

func (f *field) drawGround() {
	area := f.frame.Field
	f.fill(area, scene.Slate)
}

// drawNothing says on the empty field why there is nothing to show. The line at the bottom may have other news since.
func (f *field) drawNothing() {
	area := f.frame.Field
	if f.model.Fault == nil {
		words := viewmodel.Cancelled
		if f.model.Learns() && f.model.Lesson() == nil {
			words = f.say("panel_choose")
		}
		if _, busy := f.model.Busy(); busy {
			words = "rehearsing ..."
		}
		f.centred(words, area, large, false, scene.Dust)
		return
	}
	page := area.Inset(24)
	lines := f.nothingLines(page.W)
	row := Rect{X: page.X, Y: page.Y + max(0, (page.H-float64(len(lines)+2)*noteRow)/2), W: page.W, H: noteRow}
	f.words("Nothing to show yet", row, large, true, scene.Chalk)
	row.Y += noteRow
	for _, line := range lines {
		if row.Y += noteRow; row.Bottom() > page.Bottom() {
			return // a very low field
		}
		f.words(line, row, normal, false, scene.Chalk)
	}
}

// nothingLines are the fault's whole message and the way on, wrapped.
func (f *field) nothingLines(width float64) []string {
	var lines []string
	for _, line := range strings.Split(f.model.Fault.Text, "\n") {
		lines = append(lines, paint.Wrap(line, width, normal, false, noteMost)...)
	}
	return append(lines, "",
		"O opens another file, R reads this one again. Shift+B builds the field, Ctrl+Shift+M the robot.")
}

// buildScene makes the scene of this moment.
func (f *field) buildScene(run *viewmodel.Run) { f.drawn = f.builder.Build(f.input(run)) }

// input is what of a run is shown now.
func (f *field) input(run *viewmodel.Run) scene.Input {
	if f.mountsOf != run {
		f.mountsOf, f.mounts = run, nil
		for _, e := range run.Setup.Entrants {
			if e.Robot != nil {
				f.mounts = append(f.mounts, scene.MountOf(e.Robot))
			}
		}
		if len(f.mounts) != len(run.Record.Header.Robots) {
			f.mounts = nil
		}
	}
	return scene.Input{
		Field: run.Setup.Field, Record: run.Record, Index: run.Index, Mounts: f.mounts, T: f.model.Time, Units: f.model.Units,
		Log: run.RealTrace(), LogDeparts: run.RealDeparts(), Setpoints: run.Setpoints.Trace(),
		Options: scene.Options{Show: f.model.Overlays &^ scene.ScoreBox, Focus: f.model.Robot, Parts: f.named()},
	}
}

// largeRobot is how wide a robot is on the screen, points, from which on its mechanisms are named.
const largeRobot = 200.0

// named is the robot, from 1, whose mechanisms are named: the one asked after, or the one spoken of where it is seen
// large; 0: none.
func (f *field) named() int {
	thing, _ := f.facts.asked()
	switch run := f.model.Now; {
	case f.model.Mode == viewmodel.Drive || f.model.Tries():
		return 0
	case thing.Kind == viewmodel.RobotThing:
		return thing.Index + 1
	case run.Extent(viewmodel.Thing{Kind: viewmodel.RobotThing, Index: f.model.Robot})*2*f.view.Scale >= largeRobot:
		return f.model.Robot + 1
	}
	return 0
}

// drawScene draws the ground, then what belongs to other moments or runs, then all the rest with every label.
func (f *field) drawScene(run *viewmodel.Run) {
	ground, rest := f.split()
	v, area := f.view, f.frame.Field
	axes := f.axesOf(area)
	rest.Layers[0].Labels = append(rest.Layers[0].Labels, axes.labels...)
	content := noPrint.items(ground.Layers).numbers(v.Scale, v.Origin.X, v.Origin.Y).rect(area)
	content = f.studies.print(content)
	f.drawStill(&f.kept, content, func() {
		f.drawGround()
		f.clip(area)
		f.drawer.Draw(f.pen, &ground, v)
		f.drawItems(f.studies.ways()...)
		f.pen.Unclip()
	})
	f.clip(area)
	f.drawBefore()
	f.drawGhost(run)
	if f.wholeWay() {
		f.drawItems(wayOf(&f.arranger, run, f.model.Robot, math.Inf(1), scene.Pen{Width: 2, Colour: f.accent})...)
	}
	f.drawTicks(axes)
	f.drawer.Items(f.pen, &rest, v)
	f.drawSelection() // under the labels: its corners must not strike words through
	f.drawer.Covered = append(f.facts.cover(), f.handles.cover()...)
	f.drawer.Labels(f.pen, &rest, v)
	f.drawer.Covered = nil
	f.pen.Unclip()
}

// split parts the scene into what seldom changes (ground, goals and pieces) and the rest. The labels all go with the
// rest, because they keep off each other, and so do unseen copies of what they keep off.
func (f *field) split() (ground, rest scene.Scene) {
	ground, rest = *f.drawn, *f.drawn
	first := len(f.drawn.Layers)
	var unseen scene.Layer
	for i, layer := range f.drawn.Layers {
		if layer.Overlay >= scene.Plan {
			first = i
			break
		}
		unseen.Labels = withoutAxes(unseen.Labels, layer.Labels)
		for _, item := range layer.Items {
			if item.Avoid {
				item.Fill, item.Pen, item.Shades = scene.Colour{}, scene.Pen{}, nil
				unseen.Items = append(unseen.Items, item)
			}
		}
	}
	ground.Layers = make([]scene.Layer, first)
	for i, layer := range f.drawn.Layers[:first] {
		ground.Layers[i] = scene.Layer{Overlay: layer.Overlay, Items: layer.Items}
	}
	rest.Layers = append([]scene.Layer{unseen}, f.drawn.Layers[first:]...)
	return ground, rest
}

// wholeWay reports whether the whole way is shown, whatever the time: while things are arranged or values turned.
func (f *field) wholeWay() bool {
	return f.model.Mode == viewmodel.Arrange || f.focus && f.beside != nil && f.beside.name == "values" ||
		f.model.Tries()
}

// drawBefore draws the way of the run before, and where its robot was at this time, faintly. While things are arranged
// or values turned the whole way is shown.
func (f *field) drawBefore() {
	until := f.model.Time
	if f.wholeWay() {
		until = math.Inf(1)
	}
	f.drawItems(f.behind(&f.paler).items(f.model.Time, until)...)
}

// drawGhost draws where the best drive was at this time, faintly.
func (f *field) drawGhost(run *viewmodel.Run) {
	ghost := f.model.Ghost()
	if ghost == nil {
		return
	}
	pose := ghost.At(f.model.Time)
	thing := viewmodel.Thing{Kind: viewmodel.RobotThing}
	front := pose.ToWorld(geom.Vec{X: run.Extent(thing)})
	f.drawItems(
		scene.Item{Kind: scene.Area, Points: run.Outline(thing).Placed(pose),
			Pen: scene.Pen{Width: 1.5, Colour: f.pale, Dash: scene.Dashed}},
		scene.Item{Kind: scene.Line, Points: []geom.Vec{pose.At(), front}, Pen: scene.Pen{Width: 1.5, Colour: f.pale}})
}

func (f *field) drawItems(items ...scene.Item) {
	f.drawer.Draw(f.pen, &scene.Scene{Layers: []scene.Layer{{Items: items}}}, f.view)
}

// drawSelection draws corners about the thing selected, and in arranging about every thing that can be moved.
func (f *field) drawSelection() {
	if thing := f.model.Selected; thing != viewmodel.Nothing && f.model.Now != nil {
		if pose, ok := f.model.Now.PoseOf(thing, f.model.Time); ok {
			f.drawCorners(pose.At(), f.model.Now.Extent(thing)+0.02, f.accent, 2)
		}
	}
	if f.model.Mode != viewmodel.Arrange || f.model.Now == nil {
		return
	}
	for _, thing := range f.model.MovableThings() {
		if pose, ok := f.model.Now.PoseOf(thing, f.model.Time); ok && thing != f.model.Selected {
			f.drawCorners(pose.At(), f.model.Now.Extent(thing)+0.012, scene.Dust, 1)
		}
	}
}

func (f *field) drawCorners(at geom.Vec, half float64, c scene.Colour, width float64) {
	v := f.view
	p, d := v.Pixel(at), math.Max(half*v.Scale, 8)
	arm := math.Min(d*0.4, 14)
	for _, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		x, y := p.X+s[0]*d, p.Y+s[1]*d
		f.pen.Stroke([][]geom.Vec{{{X: x - s[0]*arm, Y: y}, {X: x, Y: y}, {X: x, Y: y - s[1]*arm}}}, false, width, c)
	}
}

// mayDrag reports whether a press takes the view along: on the floor, where no mode of the pointer wants it.
func (f *field) mayDrag() bool {
	switch f.aim.thing.Kind {
	case viewmodel.RobotThing, viewmodel.PieceThing, viewmodel.GoalThing:
		return false
	}
	return f.model.Mode == viewmodel.Watch || f.model.Mode == viewmodel.Arrange || f.model.Mode == viewmodel.Drive
}

// dragView moves the view with the pointer that has taken the floor, once it has gone far enough for no click.
func (f *field) dragView() {
	if !f.hand.Down || f.card != nil {
		f.grip, f.dragged = nil, false
		return
	}
	if f.grip == nil {
		return
	}
	if !f.dragged && math.Hypot(f.hand.X-f.grip[0], f.hand.Y-f.grip[1]) < leastScrub {
		return
	}
	f.dragged = true
	f.panBy(f.hand.X-f.grip[0], f.hand.Y-f.grip[1])
	f.grip = &[2]float64{f.hand.X, f.hand.Y}
}

// point lets the wheel zoom and a held button or the floor itself move the view; a click selects.
func (f *field) point() {
	f.dragView()
	if !f.onField() {
		return
	}
	f.moveView()
	if f.hand.Pressed && f.mayDrag() {
		f.grip = &[2]float64{f.hand.X, f.hand.Y}
	}
	if !f.clicked(viewmodel.Watch) {
		return
	}
	f.model.Select(viewmodel.Nothing)
	switch f.aim.thing.Kind {
	case viewmodel.RobotThing, viewmodel.PieceThing, viewmodel.GoalThing:
		f.model.Select(f.aim.thing)
	}
}
