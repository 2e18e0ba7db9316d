package report

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/units"
)

// Field says what a field file means, rule by rule.
func Field(in units.System, f *fields.Field) *Document {
	t, play := facts(in), facts(in)
	low, high := f.Floor.Bounds()
	t.fact("Floor", "%.2f m x %.2f m, %d corners, %.2f m^2, tile %.0f mm, symmetry: %s",
		high.X-low.X, high.Y-low.Y, len(f.Floor), f.Floor.Area(), f.Tile, f.Symmetry)
	t.fact("Surface", "grip %.2f of the tyres' values; walls: friction %.2f, restitution %.2f; in a contact "+
		"both surfaces' values are multiplied", f.Surface.Grip, f.Surface.WallFriction, f.Surface.WallRestitution)
	for _, s := range f.Sides {
		t.fact("Side", "%s (%s, %s)", s.Name, s.Colour, s.Mark)
	}
	for _, s := range f.Starts {
		t.fact("Start", "%s: %s", s.Name, Place(in, s.At))
	}
	t.things(f)
	play.play(f)
	return &Document{Title: f.Title, Head: append([]string{heading(f.Title, f.Name)}, lines(f.About)...),
		Sections: []Section{{Table: t}, places(in, f), {Table: play, Below: []string{
			"What each thing is worth to a robot, in points a second: chalkfield worth FIELD --robot robot.toml"}}}}
}

// things says how many pieces and goals of each kind there are, and what they are like.
func (t *Table) things(f *fields.Field) {
	for i, kind := range f.PieceKinds {
		n := 0
		for _, p := range f.Pieces {
			if p.Kind == i {
				n++
			}
		}
		t.fact("Piece", "%d x %s: %s, %.3g kg", n, kind.Name, across(t.in, kind), kind.Mass)
	}
	for i, kind := range f.GoalKinds {
		n := 0
		for _, g := range f.Goals {
			if g.Kind == i {
				n++
			}
		}
		how := t.in.Sprintf("pushable, %.3g kg", kind.Mass)
		if kind.Fixed {
			how = "fixed, served from where it faces"
			if kind.Around {
				how = "fixed, served from all around"
			}
			how += t.in.Sprintf(" to %.0f mm from its centre", kind.Reach)
		}
		if kind.Height != "" {
			how += fmt.Sprintf(", needs the lift at %q", kind.Height)
		}
		how += fmt.Sprintf(", room for %d of %s", kind.Room, takes(f, kind))
		if kind.Open {
			how += ", open: the last piece in is taken out first"
		}
		if kind.Spills > 0 {
			how += fmt.Sprintf(", spills when it is hit faster than %s", units.Text(kind.Spills, "m/s"))
		}
		t.fact("Goal", "%d x %s: %s", n, kind.Name, how)
	}
}

// takes are the kinds of pieces that a goal takes.
func takes(f *fields.Field, kind fields.GoalKind) string {
	var names []string
	for _, k := range kind.Takes {
		names = append(names, f.PieceKinds[k].Name)
	}
	return strings.Join(names, ", ")
}

// across is a piece's size as the file gives it: of a polygon, twice the way from the centre to a flat.
func across(in units.System, kind fields.PieceKind) string {
	if kind.Corners == 0 {
		return in.Sprintf("%.0f mm across", 2*kind.Radius)
	}
	return in.Sprintf("%.0f mm across the flats, %d corners", 2*kind.Radius*math.Cos(math.Pi/float64(kind.Corners)),
		kind.Corners)
}

func ownerName(f *fields.Field, side int) string {
	if side < 0 {
		return "nobody's"
	}
	return f.Sides[side].Name
}

// play says when is played and what counts.
func (t *Table) play(f *fields.Field) {
	for _, p := range f.Phases {
		t.fact("Phase", "%s: %g s, %s", p.Name, p.Seconds, p.Control)
	}
	for _, s := range f.Sessions {
		var names []string
		for _, p := range s.Phases {
			names = append(names, f.Phases[p].Name)
		}
		t.fact("Session", "%s: %s", s.Name, strings.Join(names, ", then "))
	}
	for _, r := range f.Rules {
		t.fact("Rule", "%s: %s", r.Name, RuleSentence(f, r))
	}
	var ties []string
	for _, i := range f.TieBreak {
		ties = append(ties, f.Rules[i].Name)
	}
	if len(ties) > 0 {
		t.fact("Tie", "broken by the count of %s", strings.Join(ties, ", then "))
	}
}

// heading is a file's title with its name, or the name alone.
func heading(title, name string) string {
	if title == "" {
		return name
	}
	return fmt.Sprintf("%s (%s)", title, name)
}
