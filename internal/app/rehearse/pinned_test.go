package rehearse

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/scripting"
)

// pinnedRun is a rehearsal whose behaviour testdata/fingerprints.txt pins.
type pinnedRun struct {
	name    string // routine/side/crew/draw
	routine string
	side    int
	crew    string
	nominal bool
	seed    uint64
}

// The crews: who else is on the field, and which session is played.
const (
	alone        = "alone"
	withPartner  = "partner"  // another routine of the field, on the same side
	withOpponent = "opponent" // the same routine, on the other side
	soloDrive    = "drive"    // the driver phase alone, driven by a pad
	fullMatch    = "match"    // autonomous and driver phase against an opponent, driven by a pad
)

// pinnedRuns lists every embedded routine alone, nominal and with three seeds, on each side of its field; with a
// partner and against an opponent; and the demo's driver phase.
func pinnedRuns() []pinnedRun {
	var list []pinnedRun
	add := func(routine string, side int, crew string, seeds ...uint64) {
		for _, seed := range seeds {
			run := pinnedRun{routine: routine, side: side, crew: crew, seed: seed, nominal: seed == 0}
			draw := fmt.Sprintf("seed_%d", seed)
			if run.nominal {
				draw = "nominal"
			}
			run.name = strings.Join([]string{routine, sidesOf(routine)[side].Name, crew, draw}, "/")
			list = append(list, run)
		}
	}
	for _, routine := range assets.RoutineNames() {
		for side := range sidesOf(routine) {
			add(routine, side, alone, 0, 1, 7, 731)
		}
		add(routine, 0, withPartner, 0, 7)
		if len(sidesOf(routine)) > 1 {
			add(routine, 1, withOpponent, 1, 731)
		}
	}
	add("core_haul_demo", 0, soloDrive, 0, 1, 7, 731)
	add("core_haul_demo", 1, soloDrive, 7)
	add("core_haul_demo", 0, fullMatch, 1)
	return list
}

func sidesOf(routine string) []fields.Side {
	home, _ := assets.RoutineHome(routine)
	field, err := fields.OpenEmbedded(home)
	if err != nil {
		panic(err) // a test of fields finds it
	}
	return field.Sides
}

// partnerStarts are places free of everything, for the first side.
var partnerStarts = map[string]geom.Pose{
	"cask_quay":     {X: 0.6, Y: 1.95},
	"core_haul":     {X: 0.6, Y: 2.25},
	"kiln_yard":     {X: 1.3, Y: 0.6},
	"foghorn_bay":   {X: 3.4, Y: 0.9},
	"night_mail":    {X: 2.6, Y: 0.4},
	"orchard_row":   {X: 0.4, Y: 2.2},
	"practice_yard": {X: 2.4, Y: 0.6},
	"sorting_yard":  {X: 1.0, Y: 2.0},
}

// pinnedPad drives the demo's driver phase, once as a solo run and once after the autonomous phase.
const pinnedPad = padHeader + `0.5,0,0.8,0,0,
1.5,0,0,0.5,0,x
2.2,0,0.7,-0.2,0,
3.4,0,-0.6,0,0,
5,0,-0.5,0.3,0,b
6.5,0,0,0,0,a
9,0,0.4,0,0,y
11,0,1,0.1,0,
14,0,-1,-0.4,0,
17,0,0.3,1,0,b
19,0,0,0,0,
23,0,0.6,0.2,0,x
25,0,-0.8,0,0,b
28,0,0.5,-0.5,0,
33,0,0,0,0,a
37,0,0,0,0,
`

func (p pinnedRun) setup(t *testing.T) Setup {
	field, robot := assets.RoutineHome(p.routine)
	setup := onField(t, field, robot, embedded(t, p.routine))
	setup.Seed, setup.Nominal = p.seed, p.nominal
	setup.Entrants[0].Side = setup.Field.Sides[p.side].Name
	if p.crew == soloDrive || p.crew == fullMatch {
		pad, err := ReadInputScript("pad.csv", strings.NewReader(pinnedPad))
		if err != nil {
			t.Fatal(err)
		}
		setup.Entrants[0].Pad = pad
		setup.Session = map[string]string{soloDrive: "solo run", fullMatch: "match"}[p.crew]
	}
	other := setup.Entrants[0]
	other.Pad = nil
	switch p.crew {
	case withPartner:
		start := partnerStarts[field]
		other.Start = &start
		other.Routine = embedded(t, partnerOf(p.routine))
		setup.Entrants = append(setup.Entrants, other)
	case withOpponent, fullMatch:
		other.Side = setup.Field.Sides[setup.Field.OtherSide(p.side)].Name
		setup.Entrants = append(setup.Entrants, other)
	}
	return setup
}

func embedded(t *testing.T, routine string) *scripting.Program {
	program, err := scripting.LoadFS(assets.Routines, routine+".lua")
	if err != nil {
		t.Fatal(err)
	}
	return program
}

// partnerOf is the next routine of the same field.
func partnerOf(routine string) string {
	home, _ := assets.RoutineHome(routine)
	names := slices.DeleteFunc(assets.RoutineNames(), func(name string) bool {
		other, _ := assets.RoutineHome(name)
		return other != home
	})
	return names[(slices.Index(names, routine)+1)%len(names)]
}
