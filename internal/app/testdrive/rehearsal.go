package testdrive

import (
	"context"
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// played is what a rehearsal of a table came to, seen from where the robot was meant to start.
type played struct {
	path []geom.Pose
	box  extent
	high float64 // the highest that a lift came, rad or m
	tips string  // the event of its tipping; "": it stands
}

// extent is a rectangle about what a robot's outline covers, m.
type extent struct{ low, high geom.Vec }

func (e extent) size() geom.Vec { return geom.Vec{X: e.high.X - e.low.X, Y: e.high.Y - e.low.Y} }

// with is the rectangle about both.
func (e extent) with(o extent) extent {
	return extent{geom.Vec{X: math.Min(e.low.X, o.low.X), Y: math.Min(e.low.Y, o.low.Y)},
		geom.Vec{X: math.Max(e.high.X, o.high.X), Y: math.Max(e.high.Y, o.high.Y)}}
}

// fits tells whether it lies in a room, wherever in it one begins.
func (e extent) fits(r Room) bool {
	size := e.size()
	return size.X <= r.Length-2*Margin && size.Y <= r.Width-2*Margin
}

// staged is a drive ready to be rehearsed in a hall where it meets nothing, with the routine that is written for it.
type staged struct {
	drive   *Drive
	routine *scripting.Program
	hall    *fields.Field
}

func stage(d *Drive) (staged, error) {
	program, err := scripting.LoadTexts(d.Name+".lua", map[string]string{d.Name + ".lua": d.Routine()})
	if err != nil {
		return staged{}, fmt.Errorf("the routine of %s: %w", d.Name, err)
	}
	field, err := hall(d.Table.Seconds())
	if err != nil {
		return staged{}, fmt.Errorf("the hall of %s: %w", d.Name, err)
	}
	return staged{d, program, field}, nil
}

// play rehearses a drive with a robot as the real one may be.
func (s staged) play(ctx context.Context, file *robot.Robot, u Unknown, part int) (played, error) {
	floor := *s.hall
	floor.Surface.Grip *= u.grip()
	meant := geom.Pose{X: mostSide / 2, Y: mostSide / 2}
	start := u.start(meant)
	rec, err := rehearse.Run(ctx, rehearse.Setup{Field: &floor, Nominal: true, Sparse: part < 0,
		Entrants: []rehearse.Entrant{{Robot: u.of(file), Routine: s.routine, Start: &start}}})
	if err != nil {
		return played{}, err
	}
	out := seen(rec, meant, file, part)
	for _, e := range rec.Events {
		switch {
		case e.Kind == record.Failure:
			return played{}, fmt.Errorf("%s: %s", s.drive.Name, e.Text)
		case e.Kind == record.Tips && out.tips == "":
			out.tips = e.Brief(units.Metric)
		}
	}
	return out, nil
}

// seen takes from a record what matters here.
func seen(rec *record.Record, meant geom.Pose, file *robot.Robot, part int) played {
	out := played{high: math.Inf(-1)}
	ways := rec.Ways
	if part >= 0 {
		ways = [][]record.Pose{nil}
		for _, s := range rec.Samples {
			ways[0] = append(ways[0], s.Robots[0].True)
			out.high = math.Max(out.high, s.Robots[0].Parts[part].Value)
		}
	}
	outline := file.Chassis.Shape()
	for i, at := range ways[0] {
		pose := meant.Relative(at.Geom())
		pose.Heading = at[2] - meant.Heading // counted on beyond half a turn
		low, high := outline.Placed(pose).Bounds()
		if i == 0 {
			out.box = extent{low, high}
		}
		out.box = out.box.with(extent{low, high})
		out.path = append(out.path, pose)
	}
	return out
}

// longestCorner is the longest time that a square's corner may take, s. A robot that needs more hardly turns.
const longestCorner = 2.56

// quarter is the time (s) of a square's corner: the one that comes nearest to a quarter turn, braking included, for the
// robot as its file has it.
func quarter(ctx context.Context, m *machine) (float64, error) {
	turned := func(rows int) (float64, error) {
		t := baseTable().pulse(float64(rows)*Period, pause, -m.spinVolts, m.spinVolts)
		ready, err := stage(&Drive{Name: "corner", Table: *t})
		if err != nil {
			return 0, err
		}
		p, err := ready.play(ctx, m.spec, nominal, -1)
		if err != nil {
			return 0, err
		}
		return p.path[len(p.path)-1].Heading, nil
	}
	low, high := 0, ticks(longestCorner)
	for high-low > 1 {
		middle := (low + high) / 2
		angle, err := turned(middle)
		if err != nil {
			return 0, err
		}
		if angle < math.Pi/2 {
			low = middle
		} else {
			high = middle
		}
	}
	return float64(high) * Period, nil
}
