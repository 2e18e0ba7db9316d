// Package testdrive makes test drives: short tables of volts that a real robot plays back while it logs, so that what
// the robot file does not know can be learnt from the logs.
//
// drives.go lists the drives and what each is for; each is a table of volts (table.go) of a size between 0 and 1.
// unknown.go draws robots as the real one may be. Each drive is rehearsed with the very routine that is written
// (routine.go, rehearsal.go), and made as large as the room allows for all of them (fit.go). csv.go, header.go and
// routine.go write a table in three ways.
package testdrive

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Margin is what stays free between the outline of any rehearsed robot and the room's edge, m.
const Margin = 0.08

// Plan is all test drives of a robot in a room.
type Plan struct {
	Robot  *robot.Robot
	Room   Room
	Drives []Drive
	Left   []string // what was left out, and why
}

// Drive is one test drive, made for the room.
type Drive struct {
	Robot  *robot.Robot // that it is made for
	Name   string       // of its files
	Title  string
	For    string // what its log tells
	Coasts bool   // at 0 V the drive motors are open, not shorted
	Logs   []string
	Start  geom.Pose // in the room
	Table  Table
	Path   []geom.Pose // of the robot as its file has it, in the room
	Reach  [2]geom.Vec // lower left and upper right of all that any rehearsed robot covers, in the room
}

// Make plans the drives. A room that is too small is an error that says the least one.
func Make(ctx context.Context, spec *robot.Robot, room Room) (*Plan, error) {
	p := &Plan{Robot: spec, Room: room}
	m, err := machineOf(ctx, spec)
	if err != nil {
		return nil, err
	}
	least := &tooSmall{room: room}
	for _, k := range kinds(spec) {
		if k.square && m.corner == longestCorner {
			p.Left = append(p.Left, fmt.Sprintf("%s: %.1f V for %.1f s do not turn the robot of the file by a quarter", k.name,
				m.spinVolts, m.corner))
			continue
		}
		d, why, err := fit(ctx, m, k, room)
		switch {
		case err != nil:
			return nil, err
		case why.box == nil:
			p.Drives = append(p.Drives, d)
		case why.tips != "":
			p.Left = append(p.Left, fmt.Sprintf("%s: even its smallest table tips a rehearsed robot (%s)", k.name, why.tips))
		case why.stops:
			p.Left = append(p.Left, fmt.Sprintf("%s: even its smallest table brings the part to its upper stop", k.name))
		default:
			least.take(k.name, *why.box)
		}
	}
	if least.drive != "" {
		return nil, least
	}
	return p, nil
}

// Title is the page's and the picture's.
func (p *Plan) Title() string {
	return "Test drives for " + strings.Join(strings.Fields(p.Robot.Title), " ") // a title may have several lines
}

// Has tells whether a drive is among those planned.
func (p *Plan) Has(name string) bool {
	return slices.ContainsFunc(p.Drives, func(d Drive) bool { return d.Name == name })
}

// First is the drive to begin with: the slow ramps, or, where they would tip the robot, what stands first.
func (p *Plan) First() string {
	if p.Has("ramp") {
		return "ramp"
	}
	return p.Drives[0].Name
}

// Tipping says what the rehearsals tell about it.
func (p *Plan) Tipping() string {
	height := p.Robot.Chassis.CentreHeight
	if height == 0 {
		return "Tipping was not looked at: the robot file's centre_height is 0 mm. Write how high its centre of mass is."
	}
	said := fmt.Sprintf("Tipping was looked at: with the centre of mass %.0f mm up (chassis.centre_height), no rehearsal "+
		"of these drives tips the robot. That height was taken for known: measure it.", height*1000)
	if p.Has("hard_start") {
		said += " If the real one is higher, `hard_start` may be what tips it."
	}
	return said
}

// tooSmall says what room the drives need.
type tooSmall struct {
	room  Room
	needs geom.Vec
	drive string // that needs most
}

func (e *tooSmall) take(name string, box extent) {
	size := box.size()
	if size.X+size.Y > e.needs.X+e.needs.Y || e.drive == "" {
		e.drive = name
	}
	e.needs.X, e.needs.Y = math.Max(e.needs.X, size.X), math.Max(e.needs.Y, size.Y)
}

func (e *tooSmall) Error() string {
	least := Room{Length: math.Max(e.needs.X, e.needs.Y) + 2*Margin, Width: math.Min(e.needs.X, e.needs.Y) + 2*Margin}
	if e.needs.X < e.needs.Y { // the drives go along the room's longer side
		least.Length, least.Width = e.needs.Y+2*Margin, e.needs.Y+2*Margin
	}
	least.Length, least.Width = roundedUp(least.Length), roundedUp(least.Width)
	least.Length, least.Width = math.Max(least.Length, leastSide), math.Max(least.Width, leastSide)
	return fmt.Sprintf("the room of %s is too small: this robot's drives, at their shortest, need at least %s (%s needs "+
		"most); write --room %q or more", e.room, least, e.drive, least.String())
}

// roundedUp is a length to the next 50 mm that is not below it.
func roundedUp(m float64) float64 { return math.Ceil(float64(m*20)-1e-9) / 20 }
