package testdrive

import (
	"context"
	"math"

	"chalkfield/internal/base/geom"
)

// sizes are tried from the largest on. Beyond 1 only the times grow.
var sizes = []float64{2, 1.5, 1.2, 1, 0.85, 0.7, 0.55, 0.4, 0.3, 0.2, 0.1, 0}

// misfit says why a drive does not fit even at its smallest.
type misfit struct {
	box   *extent // what it covers
	stops bool    // it runs a lift against its upper stop
	tips  string  // the event of a rehearsed robot's tipping; "": none does
}

// fit makes a drive as large as the room, a lift's stop and standing on all wheels allow for all robots that the real
// one may be.
func fit(ctx context.Context, m *machine, k kind, room Room) (Drive, misfit, error) {
	d := Drive{Robot: m.spec, Name: k.name, Title: k.title, For: k.tells, Coasts: k.coasts, Logs: k.logs}
	for i, size := range sizes {
		d.Table = *k.table(m, size)
		d.Table.Rows = append(d.Table.Rows, make([]float64, len(d.Table.Columns)))
		all, own, good, err := m.covers(ctx, &d, k, room, i == len(sizes)-1)
		if err != nil {
			return d, misfit{}, err
		}
		if good {
			d.put(room, all, own.path)
			return d, misfit{}, nil
		}
		if i == len(sizes)-1 {
			return d, misfit{&all, all.fits(room), own.tips}, nil
		}
	}
	panic("testdrive: no sizes")
}

// covers rehearses a drive with every robot that goes far, until one has no room or tips; to the end where all must be
// known. own is the robot of the file, with the first tipping of any.
func (m *machine) covers(ctx context.Context, d *Drive, k kind, room Room, toTheEnd bool) (all extent, own played,
	good bool, err error) {
	ready, err := stage(d)
	if err != nil {
		return all, own, false, err
	}
	own, err = ready.play(ctx, m.spec, nominal, k.part)
	if err != nil {
		return all, own, false, err
	}
	all, good = own.box, m.below(k, own) && own.tips == ""
	for _, u := range k.extremes() {
		if good = good && all.fits(room); !good && !toTheEnd {
			return all, own, false, nil
		}
		p, err := ready.play(ctx, m.spec, u, k.part)
		if err != nil {
			return all, own, false, err
		}
		all, good = all.with(p.box), good && m.below(k, p) && p.tips == ""
		if own.tips == "" {
			own.tips = p.tips
		}
	}
	return all, own, good && all.fits(room), nil
}

// nearStop is the share of a lift's way that stays free below its upper stop.
const nearStop = 0.05

// below tells whether the lift stayed clear of its upper stop.
func (m *machine) below(k kind, p played) bool {
	if k.part < 0 {
		return true
	}
	l := m.spec.Parts[k.part].Lift
	return p.high < l.High-float64(nearStop*(l.High-l.Low))
}

// put places a drive so that what it covers lies in the middle of the room. The mark is at whole 10 mm.
func (d *Drive) put(room Room, all extent, path []geom.Pose) {
	size := all.size()
	d.Start = geom.Pose{X: tenth((room.Length-size.X)/2 - all.low.X), Y: tenth((room.Width-size.Y)/2 - all.low.Y)}
	d.Reach = [2]geom.Vec{d.Start.ToWorld(all.low), d.Start.ToWorld(all.high)}
	d.Path = make([]geom.Pose, len(path))
	for i, pose := range path {
		at := d.Start.ToWorld(pose.At())
		d.Path[i] = geom.Pose{X: at.X, Y: at.Y, Heading: d.Start.Heading + pose.Heading}
	}
}

// tenth is a length to the nearest 10 mm.
func tenth(m float64) float64 { return math.Round(m*100) / 100 }
