package scripting

import (
	"slices"

	"chalkfield/internal/base/wording"
	"chalkfield/scripting/talk"

	lua "github.com/yuin/gopher-lua"
)

var markCalls = []partCall{
	{"see(name)", "range in mm and bearing in degrees of a mark, nil while it is not seen", seeMark},
	{"seen()", "the marks that it sees, nearest first: a list of {name, range, bearing, x, y}", seenMarks},
}

// sightings are what a mark sensor sees, nearest first. In a mirror, left and right change places as headings do.
func (h *Host) sightings(sensor int) []talk.Sighting {
	list := []talk.Sighting{}
	toward := deg
	if h.env.Frame.Flips() {
		toward = -deg
	}
	for i, s := range h.machine.Sights(sensor) {
		if s.Range > 0 && i < len(h.env.Marks) {
			m := h.env.Marks[i]
			list = append(list, talk.Sighting{
				Mark:  talk.Mark{Name: m.Name, X: m.At.X / mm, Y: m.At.Y / mm},
				Range: s.Range / mm, Bearing: s.Bearing / toward})
		}
	}
	slices.SortStableFunc(list, func(a, b talk.Sighting) int {
		switch {
		case a.Range < b.Range:
			return -1
		case a.Range > b.Range:
			return 1
		}
		return 0
	})
	return list
}

// seeMark gives range and bearing of a mark by its name.
func seeMark(c call) int {
	name, h := c.text(2, "the mark's name"), c.host
	known := make([]string, len(h.env.Marks))
	for i, m := range h.env.Marks {
		known[i] = m.Name
	}
	switch {
	case len(known) == 0:
		c.fail("the field has no marks: write [[marks]] into its file, each with a name and at = [x, y]")
	case !slices.Contains(known, name):
		c.fail("the field has no mark %q: %s", name, wording.Instead(name, known))
	}
	for _, s := range h.sightings(c.object.index) {
		if s.Name == name {
			c.Push(lua.LNumber(s.Range))
			c.Push(lua.LNumber(s.Bearing))
			return 2
		}
	}
	c.Push(lua.LNil)
	return 1
}

func seenMarks(c call) int {
	seen := c.host.sightings(c.object.index)
	list := c.CreateTable(len(seen), 0)
	for i, s := range seen {
		one := c.CreateTable(0, 5)
		one.RawSetString("name", lua.LString(s.Name))
		for name, value := range map[string]float64{"range": s.Range, "bearing": s.Bearing, "x": s.X, "y": s.Y} {
			one.RawSetString(name, lua.LNumber(value))
		}
		list.RawSetInt(i+1, one)
	}
	c.Push(list)
	return 1
}
