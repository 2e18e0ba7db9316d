package fields_test

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/tomlfile"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite the expected errors")

// base is a sound field; each case below breaks it in one way.
const base = `title = "Base"
tile = "600 mm"
size = ["4 m", "3 m"]
symmetry = "half turn"
tie_break = ["ball in pot"]
[[sides]]
name = "red"
colour = "#ff0000"
[[sides]]
name = "blue"
colour = "#0000ff"
[[lines]]
name = "middle"
from = ["2 m", "0 m"]
to = ["2 m", "3 m"]
[[zones]]
name = "red den"
kind = "den"
side = "red"
box = [["0 m", "0 m"], ["1 m", "1 m"]]
copy = true
[[zones]]
name = "pool"
kind = "pool"
box = [["1 m", "1 m"], ["3 m", "2 m"]]
[[piece_kinds]]
name = "ball"
across = "100 mm"
mass = "100 g"
[[piece_kinds]]
name = "block"
corners = 4
across = "100 mm"
mass = "100 g"
[[goal_kinds]]
name = "pot"
corners = 6
across = "300 mm"
mass = "1 kg"
room = 2
takes = ["ball"]
[[goal_kinds]]
name = "shelf"
fixed = true
size = ["100 mm", "300 mm"]
room = 2
takes = ["block"]
[[goals]]
kind = "pot"
name = "red pot"
at = ["1 m", "2.5 m"]
copy = true
[[pieces]]
kind = "ball"
at = ["1 m", "500 mm"]
copy = true
[[pieces]]
kind = "ball"
in = "red pot"
copy = true
[[phases]]
name = "first"
length = "10 s"
control = "autonomous"
[[phases]]
name = "second"
length = "1 min"
control = "driver"
[[sessions]]
name = "both"
phases = ["first", "second"]
[[rules]]
name = "ball in pot"
kind = "piece in goal"
goals = ["pot"]
points = 2
[spread]
piece_at = "5 mm"
`

func TestBaseIsSound(t *testing.T) {
	f, err := fields.Parse("base.toml", []byte(base))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Pieces) != 4 || f.Pieces[3].Goal != 1 || f.Pieces[3].At != f.Goals[1].At || f.Pieces[0].Goal != -1 ||
		f.Pieces[0].Robot != -1 {
		t.Errorf("pieces %+v", f.Pieces)
	}
	if r := f.Rules[0]; r.Credit != fields.ByScorer || r.Times != 1 || r.Phase != -1 || r.Line != -1 {
		t.Errorf("rule defaults %+v", r)
	}
	if k := f.PieceKinds[1]; math.Abs(k.Radius-0.05*math.Sqrt2) > 1e-12 || len(k.Outline()) != 4 ||
		math.Abs(k.Outline().Distance(geom.Vec{})-0.05) > 1e-12 {
		t.Errorf("a block 100 mm across has radius %g", k.Radius)
	}
}

// what replaces a text of base by another.
type change struct{ old, new string }

func TestErrorsNamePlaceAndRemedy(t *testing.T) {
	add := func(text string) change { return change{"[spread]\n", text + "\n[spread]\n"} }
	rule := func(text string) change { return add("[[rules]]\nname = \"new\"\n" + text) }
	load := func(text string) change {
		return add("[[loads]]\nkind = \"ball\"\nat = [\"2 m\", \"500 mm\"]\n" + text)
	}
	for _, c := range []struct {
		name string
		change
		want string
	}{
		// The floor.
		{"no floor", change{"size = [\"4 m\", \"3 m\"]\n", ""}, `:1:1: the floor is missing: write size = ["4.2 m", "3 m"]`},
		{"two floors", change{"symmetry", "floor = [[\"0 m\", \"0 m\"]]\nsymmetry"}, `:3:8: size: size and floor both say`},
		{"tiny floor", change{`"4 m", "3 m"`, `"4 mm", "3 m"`},
			`:3:9: size[0]: 4 mm is out of range: write a value from "500 mm" to "50 m"`},
		{"huge floor", change{`"4 m", "3 m"`, `"4 m", "3000 m"`}, `size[1]: 3000 m is out of range`},
		{"negative floor", change{`"4 m", "3 m"`, `"-4 m", "3 m"`},
			`:3:9: size[0]: -4 m is out of range: write a value from "500 mm" to "50 m"`},
		{"self-crossing floor", change{`size = ["4 m", "3 m"]`,
			`floor = [["0 m", "0 m"], ["4 m", "3 m"], ["4 m", "0 m"], ["0 m", "3 m"]]`},
			`:3:9: floor: the outline crosses or touches itself: list the corners in order`},
		{"two corners", change{`size = ["4 m", "3 m"]`, `floor = [["0 m", "0 m"], ["4 m", "3 m"]]`},
			`floor: an outline of 2 corners: write from 3 to 100`},
		{"huge outline", change{`size = ["4 m", "3 m"]`,
			`floor = [["0 m", "0 m"], ["60 m", "0 m"], ["60 m", "3 m"], ["0 m", "3 m"]]`},
			`floor: the floor spans 60000 mm in x: write from 500 mm to 50000 mm`},
		{"floor off the origin", change{`size = ["4 m", "3 m"]`,
			`floor = [["1 m", "0 m"], ["5 m", "0 m"], ["5 m", "3 m"], ["1 m", "3 m"]]`},
			`floor: the floor's lower left is at x 1000 mm, y 0 mm: subtract that`},
		{"floor not symmetric", change{`size = ["4 m", "3 m"]`,
			`floor = [["0 m", "0 m"], ["4 m", "0 m"], ["4 m", "3 m"], ["1 m", "3 m"], ["0 m", "2 m"]]`},
			`floor: the floor is not symmetric by "half turn": its corner at [4000 mm, 0 mm] has no counterpart at [0 mm, ` +
				`3000 mm]`},
		{"unknown symmetry", change{`"half turn"`, `"half-turn"`},
			`:4:12: symmetry: "half-turn" is no symmetry: write "half turn" (known: none, half turn, left-right, up-down)`},
		{"tile without a unit", change{`tile = "600 mm"`, `tile = 600`},
			`:2:8: tile: 600 has no unit: for a length write "600 mm" or "600 in"`},
		{"tile of no size", change{`tile = "600 mm"`, `tile = "0 mm"`},
			`tile: 0 mm is out of range: write a value from "10 mm" to "5 m"`},
		{"no friction at all", add("[surface]\ngrip = 0"), `surface.grip: 0 is out of range: write a number from 0.05 to 3`},
		{"nan", add("[surface]\ngrip = nan"), `surface.grip: nan is no usable number`},
		{"walls that add energy", add("[surface]\nwall_restitution = 1.1"),
			`surface.wall_restitution: 1.1 is out of range: write a number from 0 to 1`},
		// Names and sides.
		{"empty title", change{`"Base"`, `" "`}, `title: the title is empty`},
		{"side of two words", change{`name = "red"`, `name = "dark red"`},
			`sides[0].name: a side's name is one word: write "dark-red"`},
		{"sides of one name", change{`name = "blue"`, `name = "red"`},
			`:10:8: sides[1].name: there is another side called "red"`},
		{"sides of one mark", change{`colour = "#0000ff"`, "colour = \"#0000ff\"\nmark = \"disc\""},
			`there is another mark called "disc"`},
		{"unknown mark", change{`colour = "#0000ff"`, "colour = \"#0000ff\"\nmark = \"star\""},
			`sides[1].mark: "star" is no mark: write one of disc, square, triangle, cross`},
		{"unknown mark of a kind", change{`corners = 4`, "corners = 4\nmark = \"rings\""},
			`piece_kinds[1].mark: "rings" is no mark: write "ring" (known: none, ring, star, runners)`},
		{"no colour", change{`"#0000ff"`, `"blue"`}, `:11:10: sides[1].colour: "blue" is no colour: write # and six digits`},
		{"side missing", change{"[[sides]]\nname = \"red\"\ncolour = \"#ff0000\"\n[[sides]]\nname = \"blue\"\ncolour = " +
			"\"#0000ff\"\n", ""}, `the key "sides" is missing: write, for example, [[sides]]`},
		{"unprintable name", change{`name = "pool"`, `name = "po\u0007ol"`}, `holds characters that cannot be printed`},
		{"long name", change{`name = "pool"`, `name = "` + strings.Repeat("o", 41) + `"`},
			`zones[1].name: a name of 41 characters is too long: write at most 40`},
		{"long about", change{`title = "Base"`, `title = "Base"` + "\nabout = \"" + strings.Repeat("o", 4001) + `"`},
			`about: a text of 4001 characters is too long`},
		// Zones and lines.
		{"zone off the floor", change{`[["1 m", "1 m"], ["3 m", "2 m"]]`, `[["1 m", "1 m"], ["5 m", "2 m"]]`},
			`:25:7: zones[1].box: the zone "pool" reaches off the floor, which spans [0 mm, 0 mm] to [4000 mm, 3000 mm]`},
		{"empty box", change{`[["1 m", "1 m"], ["3 m", "2 m"]]`, `[["1 m", "1 m"], ["1 m", "2 m"]]`},
			`:25:7: zones[1].box: the box is empty`},
		{"box and shape", change{`box = [["1 m", "1 m"], ["3 m", "2 m"]]`, `box = [["1 m", "1 m"], ["3 m", "2 m"]]` +
			"\nshape = []"}, `zones[1]: a zone has either a box or a shape`},
		{"crossing zone", change{`box = [["1 m", "1 m"], ["3 m", "2 m"]]`,
			`shape = [["1 m", "1 m"], ["2 m", "2 m"], ["2 m", "1 m"], ["1 m", "2 m"]]`},
			`:25:9: zones[1].shape: the outline crosses`},
		{"unknown side", change{`side = "red"`, `side = "rde"`},
			`:19:8: zones[0].side: "rde" is no side: write "red" (known: red, blue)`},
		{"zones of one name", change{`name = "pool"`, `name = "blue den"`}, `there is another zone called "blue den"`},
		{"line off the floor", change{`to = ["2 m", "3 m"]`, `to = ["2 m", "3.1 m"]`},
			`:15:6: lines[0].to: [2000 mm, 3100 mm] is off the floor`},
		{"line of no length", change{`to = ["2 m", "3 m"]`, `to = ["2 m", "0 m"]`},
			`lines[0].to: the line is shorter than 10 mm`},
		{"line of no width", change{`to = ["2 m", "3 m"]`, "to = [\"2 m\", \"3 m\"]\nwidth = \"0 mm\""},
			`lines[0].width: 0 mm is out of range: write a value from "1 mm" to "1 m"`},
		{"mark off the floor", change{"[[zones]]", "[[marks]]\nname = \"post\"\nat = [\"9 m\", \"0 m\"]\n\n[[zones]]"},
			`marks[0].at: [9000 mm, 0 mm] is off the floor: write a place on it`},
		{"mark without a place", change{"[[zones]]", "[[marks]]\nname = \"post\"\n\n[[zones]]"},
			`the key "at" is missing: write, for example, at = ["1.8 m", "2.4 m"]`},
		{"marks of one name", change{"[[zones]]",
			strings.Repeat("[[marks]]\nname = \"post\"\nat = [\"1 m\", \"0 m\"]\n\n", 2) + "[[zones]]"},
			`there is another mark called "post": give each a name of its own`},
		{"too many marks", change{"[[zones]]", strings.Repeat("[[marks]]\nname = \"post\"\nat = [\"1 m\", \"0 m\"]\n\n", 33) +
			"[[zones]]"}, `marks: 33 are too many: write at most 32`},
		{"copy without symmetry", change{`symmetry = "half turn"`, `symmetry = "none"`},
			`zones[0].copy: there is no symmetry to copy by: write symmetry = "half turn"`},
		// Kinds.
		{"negative mass", change{`mass = "100 g"`, `mass = "-100 g"`},
			`:29:8: piece_kinds[0].mass: -100 g is out of range: write a value from "1 g" to "100 kg"`},
		{"no radius", change{`across = "100 mm"`, `across = "0 mm"`},
			`:28:10: piece_kinds[0].across: 0 mm is out of range: write a value from "10 mm" to "2 m"`},
		{"two corners of a piece", change{`corners = 4`, `corners = 2`},
			`piece_kinds[1].corners: 2 is out of range: write a whole number from 3 to 12, or 0 for a disc`},
		{"restitution above 1", change{`corners = 4`, "corners = 4\nrestitution = 2"},
			`piece_kinds[1].restitution: 2 is out of range`},
		{"no floor friction", change{`corners = 4`, "corners = 4\nfloor_friction = 0"},
			`piece_kinds[1].floor_friction: 0 is out of range`},
		{"kinds of one name", change{`name = "block"`, `name = "ball"`}, `there is another piece kind called "ball"`},
		{"pot without mass", change{"mass = \"1 kg\"\n", ""},
			`goal_kinds[0].mass: the key "mass" is missing: write, for example, mass = "1.6 kg", or fixed = true`},
		{"shelf with mass", change{`fixed = true`, "fixed = true\nmass = \"1 kg\""},
			`goal_kinds[1].mass: a fixed goal does not move: leave its mass out`},
		{"pot with a reach", change{`mass = "1 kg"`, "mass = \"1 kg\"\nreach = \"1 m\""},
			`goal_kinds[0].reach: only a fixed goal has a reach`},
		{"two shapes", change{`size = ["100 mm", "300 mm"]`, "size = [\"100 mm\", \"300 mm\"]\ncorners = 3"},
			`goal_kinds[1]: a goal has one shape`},
		{"no shape", change{"size = [\"100 mm\", \"300 mm\"]\n", ""},
			`goal_kinds[1]: a goal has one shape: write corners = 6 and across = "280 mm"`},
		{"across without corners", change{`size = ["100 mm", "300 mm"]`,
			"size = [\"100 mm\", \"300 mm\"]\nacross = \"1 m\""}, `goal_kinds[1].across: across goes with corners`},
		{"concave goal", change{`size = ["100 mm", "300 mm"]`,
			`shape = [["-1 m", "-1 m"], ["0 m", "-0.5 m"], ["1 m", "-1 m"], ["0 m", "1 m"]]`},
			`goal_kinds[1].shape: the outline has an inward corner`},
		{"goal beside its centre", change{`size = ["100 mm", "300 mm"]`,
			`shape = [["1 m", "1 m"], ["2 m", "1 m"], ["2 m", "2 m"]]`},
			`goal_kinds[1].shape: the outline does not hold its own centre`},
		{"takes an unknown piece", change{`takes = ["block"]`, `takes = ["blok"]`},
			`goal_kinds[1].takes[0]: "blok" is no piece kind: write "block"`},
		{"takes nothing", change{`takes = ["block"]`, `takes = []`}, `goal_kinds[1].takes: the goal takes nothing`},
		{"takes one twice", change{`takes = ["block"]`, `takes = ["block", "block"]`},
			`goal_kinds[1].takes[1]: "block" is named twice`},
		{"no room", change{`room = 2`, `room = 0`}, `goal_kinds[0].room: 0 is out of range: write a whole number from 1 ` +
			`to 1000`},
		// What stands on the floor.
		{"unknown kind of piece", change{"kind = \"ball\"\nat", "kind = \"bal\"\nat"},
			`:54:8: pieces[0].kind: "bal" is no piece kind: write "ball" (known: ball, block)`},
		{"unknown kind of goal", change{"kind = \"pot\"\nname", "kind = \"pott\"\nname"},
			`goals[0].kind: "pott" is no goal kind: write "pot"`},
		{"piece without a place", change{"at = [\"1 m\", \"500 mm\"]\n", ""}, `:53:3: pieces[0].at: the key "at" is missing`},
		{"piece outside", change{`["1 m", "500 mm"]`, `["1 m", "20 mm"]`},
			`:55:6: pieces[0].at: "ball 1" at [1000 mm, 20 mm] reaches off the floor, which spans [0 mm, 0 mm] to [4000 mm, ` +
				`3000 mm]: move it inside, its centre 50 mm or more from the walls`},
		{"turned goal outside", add("[[goals]]\nkind = \"shelf\"\nname = \"turned\"\nheading = \"90 deg\"\n" +
			"at = [\"110 mm\", \"1 m\"]\ncopy = true"),
			`move it inside, its centre 150 mm or more from the walls along x, and 50 mm along y`},
		{"piece far outside", change{`["1 m", "500 mm"]`, `["100 m", "-20 m"]`}, `reaches off the floor`},
		{"goal outside", change{`["1 m", "2.5 m"]`, `["1 m", "2.9 m"]`},
			`goals[0].at: "red pot" at [1000 mm, 2900 mm] reaches off the floor`},
		{"piece in a goal's place", change{`["1 m", "500 mm"]`, `["1 m", "2.32 m"]`},
			`:55:6: pieces[0].at: "ball 1" at [1000 mm, 2320 mm] overlaps "red pot" at [1000 mm, 2500 mm] by `},
		{"pieces in one place", add("[[pieces]]\nkind = \"ball\"\nat = [\"1.07 m\", \"500 mm\"]"),
			`pieces[2].at: "ball 5" at [1070 mm, 500 mm] overlaps "ball 1" at [1000 mm, 500 mm] by 30 mm: move one of them`},
		{"turned blocks that meet", add("[[pieces]]\nkind = \"block\"\nat = [\"2 m\", \"1.8 m\"]\n[[pieces]]\nkind = " +
			"\"block\"\nheading = \"45 deg\"\nat = [\"2.11 m\", \"1.8 m\"]"),
			`"block 2" at [2110 mm, 1800 mm] overlaps "block 1"`},
		{"grid too tight", add("[[pieces]]\nkind = \"ball\"\nat = [\"2.5 m\", \"500 mm\"]\ngrid = [2, 1]\nstep = [\"90 " +
			"mm\", \"0 mm\"]"), `"ball 5" and "ball 6", both from here, overlap by 10 mm: widen the step`},
		{"copy on itself", add("[[pieces]]\nkind = \"ball\"\nat = [\"2 m\", \"1.5 m\"]\ncopy = true"),
			`"ball 5" and "ball 6", both from here, overlap by 100 mm: widen the step, move it off the centre, or leave ` +
				`copy out`},
		{"grid without a step", add("[[pieces]]\nkind = \"ball\"\nat = [\"2.5 m\", \"500 mm\"]\ngrid = [2, 1]"),
			`pieces[2]: a grid has a count and a step in x and y`},
		{"empty grid", add("[[pieces]]\nkind = \"ball\"\nat = [\"2.5 m\", \"500 mm\"]\ngrid = [0, 1]\nstep = [\"1 " +
			"m\", \"1 m\"]"), `pieces[2].grid[0]: 0 is out of range: write a whole number from 1 to 1000`},
		{"endless grid", add("[[pieces]]\nkind = \"ball\"\nat = [\"2.5 m\", \"500 mm\"]\ngrid = [1000, 1000]\nstep = [\"1 " +
			"m\", \"1 m\"]"), `pieces[2]: with this there are more than 1000 pieces and goals: write fewer`},
		{"named grid", add("[[pieces]]\nkind = \"ball\"\nname = \"a\"\nat = [\"2.5 m\", \"500 mm\"]\ngrid = [2, 1]\nstep = " +
			"[\"1 m\", \"1 m\"]"), `pieces[2].name: the pieces of a grid are numbered`},
		{"too many goals", add(strings.Repeat("[[goals]]\nkind = \"shelf\"\nat = [\"2 m\", \"2 m\"]\n", 1001)),
			`more than 1000 pieces and goals`},
		{"in an unknown goal", change{`in = "red pot"`, `in = "rad pot"`},
			`pieces[1].in: "rad pot" is no goal: write "red pot" (known: red pot, blue pot)`},
		{"in a goal and on the floor", change{`in = "red pot"`, "in = \"red pot\"\nat = [\"1 m\", \"1 m\"]"},
			`pieces[1].at: a piece that starts in a goal is there: leave at out`},
		{"in a goal that does not take it", change{"kind = \"ball\"\nin", "kind = \"block\"\nin"},
			`pieces[1].in: "red pot" takes no block: name another goal, or add it to the takes of "pot"`},
		{"in a full goal", add(strings.Repeat("[[pieces]]\nkind = \"ball\"\nin = \"red pot\"\n", 2)),
			`pieces[3].in: "red pot" has room for 2: name another goal`},
		{"goal without a copy", change{"at = [\"1 m\", \"2.5 m\"]\ncopy = true", "at = [\"1 m\", \"2.5 m\"]"},
			`pieces[1].copy: the goal "red pot" has no copy for this piece's copy to start in`},
		{"preload for nobody", add("[[pieces]]\nkind = \"ball\"\nat = [\"2.5 m\", \"500 mm\"]\npreload = \"green\""),
			`pieces[2].preload: "green" is no side: write one of red, blue`},
		{"names twice", add("[[goals]]\nkind = \"shelf\"\nname = \"blue pot\"\nat = [\"2 m\", \"2.8 m\"]"),
			`there is another goal called "blue pot"`},
		// Phases and sessions.
		{"phase of no length", change{`length = "10 s"`, `length = "0 s"`},
			`phases[0].length: 0 s is out of range: write a value from "0.1 s" to "3600 s"`},
		{"phases of more than an hour", change{`length = "1 min"`, `length = "60 min"`},
			`phases[1].length: all phases together last 3610 s: write at most 3600 s`},
		{"unknown control", change{`control = "driver"`, `control = "drivers"`},
			`phases[1].control: "drivers" is no control: write "driver" (known: autonomous, driver)`},
		{"phases of one name", change{`name = "second"`, `name = "first"`}, `there is another phase called "first"`},
		{"session of an unknown phase", change{`phases = ["first", "second"]`, `phases = ["first", "secnod"]`},
			`:71:20: sessions[0].phases[1]: "secnod" is no phase: write "second"`},
		{"session of nothing", change{`phases = ["first", "second"]`, `phases = []`},
			`sessions[0].phases: a session plays at least one phase`},
		{"no session", change{"[[sessions]]\nname = \"both\"\nphases = [\"first\", \"second\"]\n", ""},
			`the key "sessions" is missing: write, for example, [[sessions]]`},
		// Rules.
		{"unknown kind of rule", change{`kind = "piece in goal"`, `kind = "pieces in goal"`},
			`rules[0].kind: "pieces in goal" is no kind of rule: write "piece in goal"`},
		{"rule with a key of another kind", change{`goals = ["pot"]`, "goals = [\"pot\"]\nzone = \"den\""},
			`:76:1: rules[0].zone: a rule of the kind "piece in goal" does not use zone: leave it out (it uses points, ` +
				`pieces, goals, credit, count, judged, phase)`},
		{"rule without points", change{"points = 2\n", ""},
			`rules[0].points: a rule of the kind "piece in goal" needs the key "points": write, for example, points = 2`},
		{"rule of absurd points", change{"points = 2\n", "points = 1e9\n"}, `rules[0].points: 1e9 is out of range`},
		{"rule about an unknown goal", change{`goals = ["pot"]`, `goals = ["pto"]`},
			`rules[0].goals[0]: "pto" is no goal kind: write "pot"`},
		{"rule about no goal", change{`goals = ["pot"]`, `goals = []`}, `rules[0].goals: the list is empty`},
		{"rule about goals that are not there", change{`goals = ["pot"]`, `goals = ["shelf"]`},
			`rules[0]: the field has no goal that this rule counts: place one, or leave the rule out`},
		{"rule about pieces that are not there", change{`goals = ["pot"]`, `pieces = ["block"]`},
			`rules[0]: the field has no piece that this rule counts`},
		{"rule of what no goal takes", change{`goals = ["pot"]`,
			"goals = [\"shelf\"]\npoints = 1\n[[goals]]\nkind = \"shelf\"\nat = [\"2 m\", \"2.8 m\"]\n[[rules]]\nname = " +
				"\"second\"\nkind = \"piece in goal\"\ngoals = [\"shelf\"]"}, `no goal of this rule takes a piece of it`},
		{"unknown zone", rule("kind = \"robot in zone\"\npoints = 1\nzone = \"camp\""),
			`rules[1].zone: "camp" is no kind of zone: write one of den, pool`},
		{"zone missing", rule("kind = \"robot in zone\"\npoints = 1"),
			`rules[1].zone: a rule of the kind "robot in zone" needs the key "zone": write, for example, zone = "camp"`},
		{"unknown inside", rule("kind = \"robot in zone\"\npoints = 1\nzone = \"den\"\ninside = \"half\""),
			`rules[1].inside: "half" is no inside: write one of centre, all, any`},
		{"credit of another kind", rule("kind = \"goal in zone\"\npoints = 1\nzone = \"den\"\ncredit = \"scorer\""),
			`rules[1].credit: "scorer" is no credit: write one of zone, goal`},
		{"credit to nobody's pieces", rule("kind = \"piece in goal\"\npoints = 1\ncredit = \"piece\""),
			`rules[1].credit: none of the pieces has a side`},
		{"credit to nobody's goals", rule("kind = \"piece in goal\"\npoints = 1\ncredit = \"goal\""),
			`rules[1].credit: none of the goals has a side`},
		{"credit to nobody's zone", rule("kind = \"goal in zone\"\npoints = 1\nzone = \"pool\""),
			`rules[1].zone: none of these zones has a side`},
		{"rule that gives nothing", rule("kind = \"goal in zone\"\nzone = \"den\""),
			`rules[1]: the rule gives nothing: write points, or times`},
		{"times nothing", change{"[[rules]]\nname = \"ball in pot\"\nkind = \"piece in goal\"\ngoals = " +
			"[\"pot\"]\npoints = 2\n", "[[rules]]\nname = \"ball in pot\"\nkind = \"goal in zone\"\nzone = " +
			"\"den\"\ntimes = 2\n"}, `rules[0].times: no rule counts pieces in this goal`},
		{"negative times", rule("kind = \"goal in zone\"\nzone = \"den\"\ntimes = -1"), `rules[1].times: -1 is out of range`},
		{"negative count", rule("kind = \"piece in goal\"\npoints = 1\ncount = -1"),
			`rules[1].count: -1 is out of range: write a whole number from 1 to 1000, or 0 for all`},
		{"unknown line", rule("kind = \"line crossed\"\npoints = 1\nline = \"midle\""),
			`rules[1].line: "midle" is no line: write "middle"`},
		{"unknown phase", rule("kind = \"phase winner\"\npoints = 1\nphase = \"third\""),
			`rules[1].phase: "third" is no phase: `},
		{"unknown draw", rule("kind = \"phase winner\"\npoints = 1\ndraw = \"both\""),
			`rules[1].draw: "both" is no draw: write one of none, each, half`},
		{"rules of one name", rule("kind = \"phase winner\"\npoints = 1\n[[rules]]\nname = \"new\"\nkind = \"phase " +
			"winner\"\npoints = 1"), `there is another rule called "new"`},
		{"points in quotes", change{"points = 2\n", "points = \"2\"\n"},
			`rules[0].points: a number without quotes belongs here: write points = 2, or kind = "formula"`},
		{"formula that is none", rule("kind = \"formula\"\npoints = \"2 * \""),
			`rules[1].points: the formula ends too early: something is missing`},
		{"formula of nothing", rule("kind = \"formula\"\npoints = \"\""),
			`rules[1].points: the formula ends too early: something is missing`},
		{"formula about no rule", rule("kind = \"formula\"\npoints = \"2 * count('ball in pto')\""),
			`:80:21: rules[1].points: "ball in pto" is no rule: write "ball in pot" (known: ball in pot, new)`},
		{"formula about no zone", rule("kind = \"formula\"\npoints = 3\nwhen = '''robots_in(\"dn\") > 1'''"),
			`:81:21: rules[1].when: "dn" is no kind of zone: write "den" (known: den, pool)`},
		{"formula of another kind", rule("kind = \"formula\"\npoints = \"robots() > 1\""),
			`rules[1].points: the formula comes to a condition, but a number is needed`},
		{"condition that is a number", rule("kind = \"formula\"\npoints = 1\nwhen = \"robots()\""),
			`rules[1].when: the formula comes to a number, but a condition is needed`},
		{"condition without quotes", rule("kind = \"formula\"\npoints = 1\nwhen = true"),
			`rules[1].when: a text belongs here: write "true"`},
		{"condition of another kind", rule("kind = \"phase winner\"\npoints = 1\nwhen = \"robots() == 2\""),
			`rules[1].when: a rule of the kind "phase winner" does not use when: leave it out (it uses points, phase, draw)`},
		{"formula that reads nothing", rule("kind = \"formula\"\npoints = \"2 + 3\""),
			`rules[1]: the rule reads nothing, so it would always give the same: write when = `},
		{"formula that reads itself", rule("kind = \"formula\"\npoints = \"count('new')\""),
			`rules[1]: the rule reads itself ("new" reads "new"): let one of them read something else`},
		{"formulas in a circle", rule("kind = \"formula\"\npoints = \"count('ball in pot') + points('b')\"\n[[rules]]\n" +
			"name = \"b\"\nkind = \"formula\"\npoints = 1\nwhen = \"other.count('new') > 0\""),
			`rules[1]: the rule reads itself ("new" reads "b" reads "new"): let one of them read something else`},
		{"judged once without a first time", rule("kind = \"held\"\npoints = 1\njudged = \"once\""),
			`rules[1].judged: only a formula has a first time: write judged = "phase end" or "end"`},
		{"judged at no time", rule("kind = \"held\"\npoints = 1\njudged = \"late\""),
			`rules[1].judged: "late" is no judged: write one of always, phase end, end, once`},
		{"phase of what is always judged", rule("kind = \"held\"\npoints = 1\nphase = \"auto\""),
			`rules[1].phase: phase says at the end of which one the rule is judged: write judged = "phase end" too`},
		{"scored by no time", rule("kind = \"piece scored by\"\npoints = 1"),
			`rules[1]: the rule does not say by when: write before = "30 s", or phase with a phase's name`},
		{"set of nothing", rule("kind = \"set\"\npoints = 1"),
			`rules[1]: a set is either of kinds or a run of one side's: write set = ["core", "drum"], or run = 3`},
		{"set and run", rule("kind = \"set\"\npoints = 1\nrun = 2\nset = [\"ball\"]"),
			`rules[1]: a set is either of kinds or a run of one side's`},
		{"run of some of each", rule("kind = \"set\"\npoints = 1\nrun = 2\neach = 2"),
			`rules[1].run: a run is of the pieces of one side: leave each and credit = "goal" out`},
		{"set with pieces", rule("kind = \"set\"\npoints = 1\nset = [\"ball\"]\npieces = [\"ball\"]"),
			`rules[1].pieces: the set says which pieces it is of: leave pieces out`},
		{"set of more than a goal holds", rule("kind = \"set\"\npoints = 1\nset = [\"ball\"]\neach = 900"),
			`rules[1]: no goal of this rule has room for such a set and takes its pieces`},
		{"row of no goal", rule("kind = \"line of goals\"\npoints = 1\nrows = [[\"red pot\", \"blue pto\"]]"),
			`rules[1].rows[0][1]: "blue pto" is no goal: write "blue pot"`},
		{"row of one goal", rule("kind = \"line of goals\"\npoints = 1\nrows = [[\"red pot\"]]"),
			`rules[1].rows[0]: a row of goals has at least two: name them in their order`},
		{"row with a goal twice", rule("kind = \"line of goals\"\npoints = 1\nrows = [[\"red pot\", \"red pot\"]]"),
			`rules[1].rows[0][1]: "red pot" is named twice: leave one out`},
		{"no rows", rule("kind = \"line of goals\"\npoints = 1\nrows = []"),
			`rules[1].rows: the list is empty: write rows = [["left post", "middle post", "right post"]]`},
		{"rows left out", rule("kind = \"line of goals\"\npoints = 1"),
			`rules[1].rows: a rule of the kind "line of goals" needs the key "rows": write, for example, rows = [["left post"`},
		{"points for a robot at a robot", rule("kind = \"robot touches\"\npoints = 1\nwith = \"robot\""),
			`rules[1].with: robots get points for what is no robot and no zone: write with = "wall" or "goal"`},
		{"foul at a wall", rule("kind = \"contact\"\npoints = 1\nwith = \"wall\""),
			`rules[1].with: a wall is no side's: write with = "zone", "goal", "robot" or "hands"`},
		{"goals of a wall", rule("kind = \"robot touches\"\npoints = 1\nwith = \"wall\"\ngoals = [\"pot\"]"),
			`rules[1].goals: the rule is not about goals: leave goals out, or write with = "goal"`},
		{"foul in no zone", rule("kind = \"contact\"\npoints = 1\nwith = \"zone\""),
			`rules[1].zone: the rule does not say which zones: write zone = "camp"`},
		{"foul at a goal in a zone", rule("kind = \"contact\"\npoints = 1\nwith = \"goal\"\nzone = \"den\""),
			`rules[1].zone: the rule is not about zones: leave zone out, or write with = "zone"`},
		{"foul in nobody's zone", rule("kind = \"contact\"\npoints = 1\nwith = \"zone\"\nzone = \"pool\""),
			`rules[1].zone: none of these zones has a side whose it is: give the zones sides`},
		{"foul at nobody's goal", rule("kind = \"contact\"\npoints = 1\nwith = \"goal\""),
			`rules[1]: none of these goals has a side whose it is: give the goals sides`},
		{"centre across a line", rule("kind = \"line crossed\"\npoints = 1\nline = \"middle\"\ninside = \"centre\""),
			`rules[1].inside: of a robot across a line counts any part or all: write inside = "any" or "all"`},
		{"line of no side", rule("kind = \"line crossed\"\npoints = 1\nline = \"middle\"\nside = \"rde\""),
			`rules[1].side: "rde" is no side: write "red"`},
		{"limit of nothing", rule("kind = \"limit\"\npoints = 1"),
			`rules[1].most: a rule of the kind "limit" needs the key "most": write, for example, most = 3`},
		{"a fixed goal that spills", change{"fixed = true", "fixed = true\nspills_at = \"1 m/s\""},
			`:45:1: goal_kinds[1].spills_at: nothing runs into a fixed goal, so it never tips: leave spills_at out`},
		{"a goal that a breath tips", change{`mass = "1 kg"`, "mass = \"1 kg\"\nspills_at = \"1 mm/s\""},
			`goal_kinds[0].spills_at: 1 mm/s is out of range: write a value from "0.05 m/s" to "20 m/s"`},
		{"open by a word", change{`mass = "1 kg"`, "mass = \"1 kg\"\nopen = \"yes\""},
			`goal_kinds[0].open: true or false belongs here, but the text "yes" stands there`},
		// People who load.
		{"load of nothing", add("[[loads]]\nat = [\"2 m\", \"500 mm\"]"),
			`loads[0].kind: the key "kind" is missing: write, for example, kind = "core"`},
		{"load without a time", load(`count = 2`),
			`loads[0].takes: the key "takes" is missing: write, for example, takes = "2 s"`},
		{"load without a number", load(`takes = "2 s"`), `loads[0].count: the key "count" is missing`},
		{"load of an unknown kind", add("[[loads]]\nkind = \"bal\"\nat = [\"2 m\", \"500 mm\"]\ncount = 2\ntakes = \"2 s\""),
			`loads[0].kind: "bal" is no piece kind: write "ball"`},
		{"load by nobody", load("count = 2\ntakes = \"2 s\"\nside = \"rde\""),
			`loads[0].side: "rde" is no side: write "red"`},
		{"load off the floor", add("[[loads]]\nkind = \"ball\"\nat = [\"10 mm\", \"500 mm\"]\ncount = 2\ntakes = \"2 s\""),
			`loads[0].at: a ball of "load 1" at [10 mm, 500 mm] reaches off the floor, which spans [0 mm, 0 mm] to [4000 mm, ` +
				`3000 mm]: move the place inside, its centre 50 mm or more from the walls`},
		{"load in a phase that is none", load("count = 2\ntakes = \"2 s\"\nphases = [\"frist\"]"),
			`loads[0].phases[0]: "frist" is no phase: write "first"`},
		{"load in no phase", load("count = 2\ntakes = \"2 s\"\nphases = []"),
			`loads[0].phases: the list is empty: name a phase, or leave phases out for all`},
		{"hands in no zone", load("count = 2\ntakes = \"2 s\"\nhands = \"red dne\""),
			`loads[0].hands: "red dne" is no zone: write "red den"`},
		{"hands in a zone without a copy", load("count = 2\ntakes = \"2 s\"\nhands = \"pool\"\ncopy = true"),
			`loads[0].copy: the zone "pool" has no copy for this load's copy: write copy = true there too`},
		{"load of a name that is taken", load("name = \"a\"\ncount = 1\ntakes = \"2 s\"\n[[loads]]\nname = \"a\"\n" +
			"kind = \"ball\"\nat = [\"2 m\", \"500 mm\"]\ncount = 2\ntakes = \"2 s\""),
			`there is another load called "a": give each a name of its own`},
		{"loads without end", load("count = 999\ntakes = \"2 s\""),
			`loads[0].count: with this there are more than 1000 pieces and goals: write fewer`},
		{"load that takes no time", load("count = 2\ntakes = \"0 s\""), `loads[0].takes: 0 s is out of range`},
		{"load that is shot", load("count = 2\ntakes = \"2 s\"\nspeed = \"50 m/s\""),
			`loads[0].speed: 50 m/s is out of range`},
		{"hands off nobody", rule("kind = \"contact\"\npoints = 1\nwith = \"hands\""),
			`rules[1].with: no person has hands on the field: write hands = "a zone" in [[loads]]`},
		{"hands off a zone", load("count = 2\ntakes = \"2 s\"\nhands = \"pool\"\n[[rules]]\nname = \"new\"\nkind = " +
			"\"contact\"\npoints = 1\nwith = \"hands\"\nzone = \"pool\""),
			`rules[1].zone: the zones are those where people have their hands: leave zone out`},
		{"penalty of points", rule("kind = \"held\"\npoints = 1\npenalty = \"lost\""),
			`rules[1].penalty: a rule of the kind "held" does not use penalty: leave it out (it uses points, pieces, count, `},
		{"tie broken by an unknown rule", change{`tie_break = ["ball in pot"]`, `tie_break = ["ball in pots"]`},
			`:5:14: tie_break[0]: "ball in pots" is no rule: write "ball in pot"`},
		{"tie broken twice by a rule", change{`tie_break = ["ball in pot"]`, `tie_break = ["ball in pot", "ball in pot"]`},
			`tie_break[1]: "ball in pot" is named twice`},
		// Spread.
		{"spread wider than the game", change{`piece_at = "5 mm"`, `piece_at = "5 m"`},
			`spread.piece_at: 5 m is out of range: write a value from "0 mm" to "500 mm"`},
		{"negative spread", change{`piece_at = "5 mm"`, `grip = -0.1`}, `spread.grip: -0.1 is out of range`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if strings.Count(base, c.old) == 0 {
				t.Fatalf("base has no %q", c.old)
			}
			_, err := fields.Parse("base.toml", []byte(strings.Replace(base, c.old, c.new, 1)))
			var all *tomlfile.Errors
			if !errors.As(err, &all) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}

// A kind that is misspelt leaves its pieces without names: that is one error, not one for each piece.
func TestPiecesOfAnUnknownKindAreOneError(t *testing.T) {
	text := strings.Replace(base, "[spread]\n", "[[pieces]]\nkind = \"bll\"\nat = [\"2.5 m\", \"500 mm\"]\ngrid = [3, "+
		"1]\nstep = [\"150 mm\", \"0 mm\"]\ncopy = true\n[[goals]]\nkind = \"shlf\"\nat = [\"1 m\", \"1 m\"]\ncopy = "+
		"true\n[spread]\n", 1)
	_, err := fields.Parse("base.toml", []byte(text))
	var all *tomlfile.Errors
	if !errors.As(err, &all) || len(all.List) != 2 {
		t.Errorf("got %v\nwant two errors, of the kinds", err)
	}
}

// What stands in the cut-out of a floor is within its span and yet off it.
func TestACutOutIsOffTheFloor(t *testing.T) {
	text := strings.Replace(base, `size = ["4 m", "3 m"]`,
		`floor = [["0 m", "0 m"], ["4 m", "0 m"], ["4 m", "3 m"], ["2.5 m", "3 m"], ["2.5 m", "2.2 m"], ["1.5 m", "2.2 `+
			`m"], ["1.5 m", "3 m"], ["0 m", "3 m"]]`, 1)
	text = strings.Replace(text, `"half turn"`, `"left-right"`, 1)
	text = strings.Replace(text, `to = ["2 m", "3 m"]`, `to = ["2 m", "2 m"]`, 1)
	for added, want := range map[string]string{
		"[[pieces]]\nkind = \"ball\"\nat = [\"2 m\", \"2.5 m\"]\n": `"ball 5" at [2000 mm, 2500 mm] reaches outside the ` +
			`floor's outline, which lies within [0 mm, 0 mm] to [4000 mm, 3000 mm]: move it inside, its centre 50 mm or more ` +
			`from the walls`,
		"[[zones]]\nname = \"gap\"\nkind = \"gap\"\nbox = [[\"1.6 m\", \"2.3 m\"], [\"2 m\", " +
			"\"2.5 m\"]]\n": `the zone "gap" reaches outside the floor's outline, which lies within [0 mm, 0 mm] to [4000 ` +
			`mm, 3000 mm]: move its corners inside`,
	} {
		_, err := fields.Parse("base.toml", []byte(strings.Replace(text, "[spread]\n", added+"[spread]\n", 1)))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got  %v\nwant %s", err, want)
		}
	}
}

// A field with one side cannot have rules about the other.
func TestOneSidedFieldRefusesRulesAboutTwo(t *testing.T) {
	tiny, err := os.ReadFile("../testdata/fields/tiny.toml")
	if err != nil {
		t.Fatal(err)
	}
	_, err = fields.Parse("tiny.toml", append(tiny, "[[rules]]\nname = \"a\"\nkind = \"phase winner\"\npoints = 1\n"...))
	if err == nil || !strings.Contains(err.Error(), "rules[0]: the field has one side") {
		t.Error(err)
	}
}

// On a mirrored field a goal whose outline has a hand could not be copied.
func TestMirroredFieldRefusesHandedGoals(t *testing.T) {
	text := strings.Replace(base, `"half turn"`, `"left-right"`, 1)
	text = strings.Replace(text, `size = ["100 mm", "300 mm"]`,
		`shape = [["-100 mm", "-100 mm"], ["100 mm", "-100 mm"], ["100 mm", "0 mm"], ["-100 mm", "100 mm"]]`, 1)
	_, err := fields.Parse("base.toml", []byte(text))
	if err == nil || !strings.Contains(err.Error(), "must be its own mirror image about its x axis") {
		t.Error(err)
	}
}

// A file with many mistakes reports them all, in the order of its lines.
func TestBrokenFileReportsEverything(t *testing.T) {
	const path, golden = "../testdata/fields/broken.toml", "../testdata/fields/broken.txt"
	_, err := fields.Load(path)
	if err == nil {
		t.Fatal("the broken file was accepted")
	}
	got := err.Error() + "\n"
	if *update {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// A name that is wrong is wrong once, though the symmetric copy has it too.
func TestABadNameIsOneErrorNotTwo(t *testing.T) {
	source, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	const name = `name = "ochre near sled"`
	if !strings.Contains(string(source), name) {
		t.Fatal("core_haul has no " + name)
	}
	long := strings.Replace(string(source), name, `name = "ochre `+strings.Repeat("x", 60)+`"`, 1)
	_, err = fields.Parse("long.toml", []byte(long))
	if err == nil || strings.Count(err.Error(), "too long") != 1 || !strings.Contains(err.Error(), "66 characters") {
		t.Errorf("got %v", err)
	}
}

func TestMirror(t *testing.T) {
	tiny, err := os.ReadFile("../testdata/fields/tiny.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		symmetry string
		p, want  geom.Pose
	}{
		{"half turn", geom.Pose{X: 1, Y: 0.5, Heading: 0.3}, geom.Pose{X: 3, Y: 2.5, Heading: 0.3 - math.Pi}},
		{"left-right", geom.Pose{X: 1, Y: 0.5, Heading: 0.3}, geom.Pose{X: 3, Y: 0.5, Heading: math.Pi - 0.3}},
		{"up-down", geom.Pose{X: 1, Y: 0.5, Heading: 0.3}, geom.Pose{X: 1, Y: 2.5, Heading: -0.3}},
	} {
		f, err := fields.Parse("tiny.toml", []byte(strings.Replace(string(tiny), `size = ["2.4 m", "1.8 m"]`,
			`size = ["4 m", "3 m"]`+"\nsymmetry = \""+c.symmetry+"\"", 1)))
		if err != nil {
			t.Fatal(err)
		}
		got := f.Mirror(c.p)
		if math.Abs(got.X-c.want.X)+math.Abs(got.Y-c.want.Y)+math.Abs(got.Heading-c.want.Heading) > 1e-12 {
			t.Errorf("%s: %v", c.symmetry, got)
		}
		// A point a little ahead goes where the mirrored pose's point ahead is, and twice is back home.
		property.Check(t, func(t *rapid.T) {
			p := geom.Pose{X: rapid.Float64Range(-1, 5).Draw(t, "x"), Y: rapid.Float64Range(-1, 5).Draw(t, "y"),
				Heading: rapid.Float64Range(-9, 9).Draw(t, "heading")}
			ahead, image := f.MirrorPoint(p.ToWorld(geom.Vec{X: 0.1})), f.Mirror(p).ToWorld(geom.Vec{X: 0.1})
			back := f.Mirror(f.Mirror(p))
			if math.Hypot(ahead.X-image.X, ahead.Y-image.Y) > 1e-12 || math.Hypot(back.X-p.X, back.Y-p.Y) > 1e-12 ||
				math.Abs(geom.WrapAngle(back.Heading-p.Heading)) > 1e-12 {
				t.Errorf("%s: %v ahead %v image %v back %v", c.symmetry, p, ahead, image, back)
			}
		})
	}
}

// 1,000 bodies is the limit, and still loads at once.
func TestAFullFieldLoads(t *testing.T) {
	text := strings.Replace(base, `"4 m", "3 m"`, `"20 m", "20 m"`, 1)
	text = strings.Replace(text, `to = ["2 m", "3 m"]`, `to = ["2 m", "20 m"]`, 1)
	grid := "[[pieces]]\nkind = \"block\"\nat = [\"4.5 m\", \"4.5 m\"]\ngrid = [%d, 1]\nstep = [\"150 mm\", \"0 " +
		"mm\"]\n[[pieces]]\nkind = \"ball\"\nat = [\"4.5 m\", \"5 m\"]\ngrid = [47, 20]\nstep = [\"150 mm\", \"150 " +
		"mm\"]\n[spread]\n"
	full := strings.Replace(text, "[spread]\n", fmt.Sprintf(grid, 54), 1)
	if f, err := fields.Parse("full.toml", []byte(full)); err != nil || len(f.Pieces)+len(f.Goals) != 1000 {
		t.Errorf("%v", err)
	}
	over := strings.Replace(text, "[spread]\n", fmt.Sprintf(grid, 55), 1)
	if _, err := fields.Parse("over.toml", []byte(over)); err == nil || !strings.Contains(err.Error(), "more than 1000") {
		t.Errorf("1,001 bodies: %v", err)
	}
}

// Whatever the bytes, Parse returns with a field that can be used or an error that has a place.
func FuzzParse(f *testing.F) {
	f.Add([]byte(base))
	for _, name := range fields.Embedded() {
		data, err := fields.EmbeddedSource(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		property.Bounded(t, func() {
			field, err := fields.Parse("f.toml", data)
			var all *tomlfile.Errors
			if (field == nil) == (err == nil) || err != nil && (!errors.As(err, &all) || all.List[0].Line < 1) {
				t.Fatalf("field %v, error %v", field, err)
			}
		})
	})
}

// Every value of a sound file, replaced by each of a list of nasty ones: Parse gives a field of finite numbers or an
// error with a place.
func TestAnyValueMayBeWrong(t *testing.T) {
	kiln, err := fields.EmbeddedSource("kiln_yard")
	if err != nil {
		t.Fatal(err)
	}
	values := regexp.MustCompile(`"[^"\n]*"|\[\d+, \d+\]|\b(true|false)\b|= -?[\d.]+`)
	nasty := []string{`""`, `"0 mm"`, `"-1 m"`, `"1e300 m"`, `"1e-300 m"`, `"3600 s"`, `"nan m"`, `"plum"`, `"brick"`,
		`"\u0000"`, `[]`, `[1000000, 1000000]`, `{}`, `true`, `1979-05-27`, `-1`, `9223372036854775807`, `inf`}
	refused, accepted := 0, 0
	for _, text := range []string{base, string(kiln)} {
		for i, span := range values.FindAllStringIndex(text, -1) {
			for j, value := range nasty {
				if (i+j)%4 != 0 {
					continue // each value meets a quarter of them, each of them a quarter of the values
				}
				if text[span[0]] == '=' {
					value = "= " + value
				}
				f, err := fields.Parse("wrong.toml", []byte(text[:span[0]]+value+text[span[1]:]))
				var all *tomlfile.Errors
				switch _, notFinite := json.Marshal(f); { // JSON has no NaN and no infinity
				case notFinite != nil:
					t.Errorf("%s for %s was accepted: %v", value, text[span[0]:span[1]], notFinite)
				case err == nil:
					accepted++
				case !errors.As(err, &all) || all.List[0].Line < 1:
					t.Errorf("%s for %s: error without a place: %v", value, text[span[0]:span[1]], err)
				default:
					refused++
				}
			}
		}
	}
	if refused < 500 || accepted == 0 {
		t.Errorf("%d refused, %d accepted: this test has lost its teeth", refused, accepted)
	}
}

func BenchmarkParse(b *testing.B) {
	data, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := fields.Parse("core_haul.toml", data); err != nil {
			b.Fatal(err)
		}
	}
}

// A mark has a heading or is seen from all around; its copy stands and looks as the symmetry maps it. A line's width
// is that of usual tape.
func TestMarksAndLines(t *testing.T) {
	f, err := fields.Parse("f.toml", []byte(fields.BareText("marks", 4, 3, 10)+`
[[lines]]
name = "track"
from = ["1 m", "1 m"]
to = ["3 m", "1 m"]
[[lines]]
name = "thin"
from = ["1 m", "2 m"]
to = ["1 m", "2.5 m"]
width = "19 mm"
[[marks]]
name = "post"
at = ["1 m", "2 m"]
high = true
[[marks]]
name = "plate"
at = ["4 m", "1.5 m"]
heading = "180 deg"
`))
	if err != nil {
		t.Fatal(err)
	}
	post := fields.Mark{Name: "post", At: geom.Pose{X: 1, Y: 2}, High: true}
	plate := fields.Mark{Name: "plate", At: geom.Pose{X: 4, Y: 1.5, Heading: math.Pi}, Flat: true}
	if !slices.Equal(f.Marks, []fields.Mark{post, plate}) {
		t.Errorf("%+v", f.Marks)
	}
	if f.Lines[0].Width != 0.05 || f.Lines[1].Width != 0.019 {
		t.Errorf("%+v", f.Lines)
	}
	want := geom.Rect(geom.Vec{X: 1, Y: 0.975}, geom.Vec{X: 3, Y: 1.025})
	for i, v := range f.Lines[0].Outline() {
		if math.Hypot(v.X-want[i].X, v.Y-want[i].Y) > 1e-12 {
			t.Errorf("corner %d at %v, want %v", i, v, want[i])
		}
	}
}
