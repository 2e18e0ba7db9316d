package window

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/app/build"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"

	"gonum.org/v1/gonum/spatial/r2"
)

// showAdd lists what can be added. A choice waits for its place on the field, where it has one.
func (b *bench) showAdd() { b.showAddings("", b.model.Board().Addings()) }

// showAddings lists some of it, all of a kind.
func (b *bench) showAddings(kind string, of []build.Adding) {
	b.shared.show(&card{name: "add", title: strings.TrimSpace("Add " + kind), typed: true,
		foot: "Letters narrow the list, Enter chooses; then click, or drag, its place on the drawing. Esc closes.",
		rows: func() (rows []cardRow) {
			for _, a := range of {
				note := map[build.Gesture]string{build.OnePlace: "click its place", build.TwoPlaces: "drag its place"}[a.Gesture]
				rows = append(rows, cardRow{label: strings.TrimPrefix(a.Name, kind+": "), note: note, do: func() { b.begin(a) }})
			}
			return rows
		}})
}

// adds begins with the first thing that can be added whose name begins so; with a list where there are several.
func (b *bench) adds(begins string) func() {
	return func() {
		var fit []build.Adding
		for _, a := range b.model.Board().Addings() {
			if a.Name == begins || strings.HasPrefix(a.Name, begins+":") {
				fit = append(fit, a)
			}
		}
		switch len(fit) {
		case 0:
			kind := strings.Replace(begins, "grid", "piece", 1)
			b.model.Say(fmt.Sprintf("There is no kind of it yet: N adds a %s kind first.", kind))
		case 1:
			b.begin(fit[0])
		default:
			b.showAddings(begins, fit)
		}
	}
}

// begin waits for the place of a thing to add, or adds it where it has none.
func (b *bench) begin(a build.Adding) {
	b.give()
	if a.Name == "picture" {
		b.showPictures(a)
		return
	}
	switch a.Gesture {
	case build.NoPlace:
		_, err := b.model.Board().Insert(a)
		b.do("added a "+a.Name, err)
		if err == nil {
			b.values(b.model.Board().Chosen() + ".name")
		}
	case build.OnePlace:
		b.adding = &a
		b.model.Say("Click where the " + a.Name + " is to be (Alt: onto no line), or go there by arrows and Enter. " +
			"Esc gives it up.")
	default:
		b.adding = &a
		b.model.Say("Drag from one corner or end of the " + a.Name + " to the other (Alt: onto no line), or take both by " +
			"arrows and Enter. Esc gives it up.")
	}
}

// give gives up what is under way. It reports whether anything was.
func (b *bench) give() bool {
	b.leaving = false
	had := b.adding != nil || b.ruler != nil || b.took.shape != nil
	if b.took.shape != nil {
		b.model.Board().Drop()
	}
	b.adding, b.first, b.ruler, b.took = nil, nil, nil, grasp{}
	return had
}

// show takes a place of what is being added. With Shift another like it can be put at once.
func (b *bench) show() {
	at := b.snapped(b.aim.at, "")
	if b.adding.Gesture == build.TwoPlaces && b.first == nil {
		b.first = &at
		return
	}
	b.put(at)
}

// put adds what is being added, where its last place is.
func (b *bench) put(at geom.Vec) {
	points := []geom.Vec{at}
	if b.first != nil {
		points = []geom.Vec{*b.first, at}
	}
	a, again := b.adding, b.hand.Shift
	b.adding, b.first = nil, nil
	_, err := b.model.Board().Insert(*a, points...)
	b.do("added a "+a.Name, err)
	if again && err == nil {
		b.adding = a
	}
}

// endPlace takes the second place where the button was let go after a drag.
func (b *bench) endPlace() {
	if b.adding == nil || b.first == nil || !b.aim.valid {
		return
	}
	at := b.snapped(b.aim.at, "")
	if far := r2.Sub(at, *b.first); geom.Norm(far)*b.view.Scale >= leastScrub {
		b.put(at)
	}
}

// stillThere gives up what waits for its place where there is no such thing any more, and takes it as it is now.
func (b *bench) stillThere() {
	if b.adding == nil {
		return
	}
	addings := b.model.Board().Addings()
	at := slices.IndexFunc(addings, func(a build.Adding) bool { return a.Name == b.adding.Name })
	if at >= 0 {
		b.adding = &addings[at]
		return
	}
	b.model.Say("There is no " + strings.Replace(b.adding.Name, ": ", " called ", 1) +
		" any more, so none is added: choose again.")
	b.adding, b.first = nil, nil
}

// drawAdding shows what the pointer would add, and beside the field what waits for its place.
func (b *bench) drawAdding() {
	switch {
	case b.adding != nil && !b.aim.valid:
		area := b.frame.Field
		b.plate("add "+b.adding.Name+": where?", geom.Vec{X: area.X + area.W/2, Y: area.Y + 18})
	case b.ruler != nil:
		b.drawRuler()
	case b.adding != nil && b.aim.valid:
		at := b.snapped(b.aim.at, "")
		pixel := b.view.Pixel(at)
		b.pen.Segment(pixel.X-9, pixel.Y, pixel.X+9, pixel.Y, 1.5, b.accent)
		b.pen.Segment(pixel.X, pixel.Y-9, pixel.X, pixel.Y+9, 1.5, b.accent)
		words := b.adding.Name + ": " + b.placeWords(at)
		if b.first != nil {
			from := b.view.Pixel(*b.first)
			if b.adding.Name == "line" {
				b.pen.Segment(from.X, from.Y, pixel.X, pixel.Y, 2, b.accent)
			} else {
				b.pen.Stroke([][]geom.Vec{{from, {X: pixel.X, Y: from.Y}, pixel, {X: from.X, Y: pixel.Y}}}, true, 2, b.accent)
			}
			by := r2.Sub(at, *b.first)
			words += " (" + b.model.Units.Number("%+.0f mm", by.X) + ", " + b.model.Units.Number("%+.0f mm", by.Y) + ")"
		}
		b.plate(words, geom.Vec{X: pixel.X, Y: pixel.Y - 24})
	}
}

// showPictures lists the pictures in the file's folder, one of which is laid under the field.
func (b *bench) showPictures(a build.Adding) {
	folder := filepath.Dir(b.model.Board().Path())
	entries, err := os.ReadDir(folder)
	if err != nil {
		b.model.Warn("The folder cannot be read: " + err.Error())
		return
	}
	var names []string
	for _, e := range entries {
		if slices.Contains([]string{".png", ".jpg", ".jpeg"}, strings.ToLower(filepath.Ext(e.Name()))) {
			names = append(names, e.Name())
		}
	}
	b.shared.show(&card{name: "pictures", title: "Lay a picture under the field", typed: true,
		foot: "It is traced, and changes nothing. Put it into the folder of the field first. Esc closes.",
		rows: func() (rows []cardRow) {
			for _, name := range names {
				rows = append(rows, cardRow{label: name, do: func() { b.layPicture(a, name) }})
			}
			if rows == nil {
				rows = []cardRow{{label: "There is no PNG or JPEG picture in " + folder}}
			}
			return rows
		}})
}

// layPicture lays a picture over the whole floor, as wide as that is.
func (b *bench) layPicture(a build.Adding, name string) {
	sheet := b.model.Board().Sheet()
	edits, err := build.LayPicture(filepath.Join(filepath.Dir(b.model.Board().Path()), name), sheet)
	if err == nil {
		err = b.model.Board().Do("laid "+name+" under the field", edits...)
	}
	if err == nil {
		b.choose("picture")
		b.watch()
	}
	if b.do("laid "+name+" under the field", err); err == nil {
		b.model.Say("Laid " + name + " under the field. M scales it: click two places that you know the distance of.")
	}
}

// beginRuler asks for two places of the picture.
func (b *bench) beginRuler() {
	b.give()
	if b.model.Board().Sheet().Picture == nil {
		b.model.Say("There is no picture under the field yet: N adds one.")
		return
	}
	b.ruler = []geom.Vec{}
	b.model.Say("Click two places on the picture that you know the distance of, far apart. Esc gives it up.")
}

// rule takes a place for the scale, and with the second asks for the distance.
func (b *bench) rule() {
	if b.ruler = append(b.ruler, b.aim.at); len(b.ruler) < 2 {
		return
	}
	from, to := b.ruler[0], b.ruler[1]
	b.ruler = nil
	b.shared.show(&card{name: "distance", title: "How far apart are the two places in truth?", typed: true,
		foot: "Type it, such as 1200 mm or 4 ft, and press Enter. Esc leaves the picture as it is.",
		rows: func() []cardRow {
			return []cardRow{{label: b.model.Units.Sprintf("now: %.0f mm", geom.Norm(r2.Sub(to, from)))}}
		},
		entry: func(typed string) error { return b.scale(from, to, typed) }})
}

func (b *bench) scale(from, to geom.Vec, typed string) error {
	distance, _, err := units.Parse("m", withUnit(typed, b.model.Units.Name("mm")))
	if err != nil {
		return err
	}
	board := b.model.Board()
	edits, err := board.Sheet().Scaled(from, to, distance)
	if err == nil {
		err = board.Do("scaled the picture", edits...)
	}
	if err != nil {
		return err
	}
	b.closeCard()
	b.choose("picture")
	b.model.Say("Scaled the picture. Drag it to where it belongs: it is taken while it is chosen.")
	return nil
}

// withUnit is a typed number with a unit.
func withUnit(typed, unit string) string {
	if strings.ContainsFunc(typed, func(r rune) bool { return r >= 'a' && r <= 'z' }) {
		return typed
	}
	return typed + " " + unit
}

func (b *bench) drawRuler() {
	for _, v := range b.ruler {
		at := b.view.Pixel(v)
		b.pen.Ring(at, 6, 2, b.accent)
		if b.aim.valid {
			b.pen.Segment(at.X, at.Y, b.hand.X, b.hand.Y, 1.5, b.accent)
		}
	}
}

// showBuildCopy offers to write the field of the run, as a file of the person's own, to build it.
func (g *game) showBuildCopy() {
	f := g.model.Setup.Field
	if g.model.Files.Record != "" || f == nil {
		g.model.Say("There is no field of your own here to build: `chalkfield new my_game --field` begins one.")
		return
	}
	g.offerCopy(f.Name, f.Title, f.Text)
}

// showRobotCopy does so with the robot.
func (g *game) showRobotCopy() {
	entrants := g.model.Setup.Entrants
	if g.model.Files.Record != "" || len(entrants) == 0 {
		g.model.Say("There is no robot of your own here to build: `chalkfield new my_robot` begins one.")
		return
	}
	r := entrants[0].Robot
	g.offerCopy(r.Name, r.Title, r.Text)
}

// offerCopy offers to write what comes with the program as a file of the person's own, to build it.
func (g *game) offerCopy(name, title, text string) {
	path := g.disk.newName(strings.TrimSuffix(name, ".toml")+"_", ".toml")
	if path == "" {
		return
	}
	g.show(&card{name: "copy to build", title: title + " comes with the program. Write it as a file of your own?",
		foot: "Enter chooses, Esc leaves it.", rows: func() []cardRow {
			return []cardRow{
				{label: "folder: " + filepath.Dir(path)},
				{label: "Write " + filepath.Base(path) + ", and build it", note: "a new file", do: func() {
					if g.disk.writeNamed(path, writes(text)) {
						g.beginBuild(path)
					}
				}},
				{label: "Leave it", do: func() {}},
			}
		}})
}

// toggleBuild begins to build the field that is open, or ends it; toggleBuildRobot the robot.
func (g *game) toggleBuild()      { g.toggle(g.model.FieldFile, g.showBuildCopy) }
func (g *game) toggleBuildRobot() { g.toggle(g.model.RobotFile, g.showRobotCopy) }

func (g *game) toggle(own func() string, copied func()) {
	if g.model.Board() != nil {
		g.endBuild()
		return
	}
	if g.model.Driving() {
		g.model.Say("End the drive first.")
		return
	}
	if path := own(); path != "" {
		g.beginBuild(path)
		return
	}
	copied()
}

// buildHint is what the line at the bottom says when building begins.
const buildHint = "N adds a thing. Drag things and their grips (Alt: onto no line, Shift: turns); Enter types the " +
	"values of what is chosen. Each change is written at once; Ctrl+Z takes it back."

func (g *game) beginBuild(path string) {
	if err := g.model.BeginBuild(path); err != nil {
		g.model.Warn(err.Error())
		return
	}
	g.closeCard()
	if g.buildTools.names = fieldTools; g.buildsRobot() {
		g.buildTools.names = robotTools
	}
	g.bench.showWhole()
	g.bench.give()
	g.bench.note()
	g.bench.watch()
	g.model.Say(buildHint)
}

func (g *game) endBuild() {
	g.bench.give()
	g.model.EndBuild()
	g.disk.reload()
	g.disk.opened(g.model.Files)
	g.field.showAll()
}

// placeWords is a place while it is made.
func (b *bench) placeWords(at geom.Vec) string {
	in := b.model.Units
	return in.Number("%.0f mm", at.X) + ", " + in.Sprintf("%.0f mm", at.Y)
}
