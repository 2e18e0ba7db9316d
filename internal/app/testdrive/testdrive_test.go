package testdrive

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// rooms are a classroom's corner and a wide floor.
var rooms = []Room{{2.4, 1.4}, {5, 3}}

// planned are the plans of every embedded robot in both rooms, made once; few cases are the last in the small room.
var planned = sync.OnceValues(func() ([]*Plan, error) {
	var all []*Plan
	names := robot.Embedded()
	for _, name := range names[property.Cases(len(names)-1, 0):] {
		spec, err := robot.OpenEmbedded(name)
		if err != nil {
			return nil, err
		}
		for _, room := range rooms[:property.Cases(1, len(rooms))] {
			p, err := Make(context.Background(), spec, room)
			if err != nil {
				return nil, fmt.Errorf("%s in %s: %w", name, room, err)
			}
			all = append(all, p)
		}
	}
	return all, nil
})

// eachDrive runs a test for each drive of each plan.
func eachDrive(t *testing.T, test func(t *testing.T, p *Plan, d *Drive)) {
	plans, err := planned()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range plans {
		for i := range p.Drives {
			t.Run(fmt.Sprintf("%s_%s_%s", p.Robot.Title, p.Room, p.Drives[i].Name), func(t *testing.T) {
				test(t, p, &p.Drives[i])
			})
		}
	}
}

// drawn is a robot by chance, the same one for the same number.
func drawn(number uint64) Unknown {
	random := rand.New(rand.NewPCG(number, 12))
	even := func() float64 { return float64(2*random.Float64()) - 1 }
	return Unknown{even(), even(), even(), even(), even(), even(), even(), even(), even(), even()}
}

// A law: whatever is drawn within the scales, the outline stays in the room.
func TestEveryDrawStaysInTheRoom(t *testing.T) {
	draws := uint64(property.Cases(4, 50))
	known := map[string][]played{} // a drive that has all its length in the smaller room is the same in the larger
	eachDrive(t, func(t *testing.T, p *Plan, d *Drive) {
		part := -1
		for i, q := range p.Robot.Parts {
			if d.Name == "move_"+q.Name {
				part = i
			}
		}
		key := p.Robot.Name + d.CSV()
		ready, err := stage(d)
		if err != nil {
			t.Fatal(err)
		}
		for n := uint64(len(known[key])); n < draws; n++ {
			got, err := ready.play(context.Background(), p.Robot, drawn(1000+n), part)
			if err != nil {
				t.Fatal(err)
			}
			known[key] = append(known[key], got)
		}
		for n, got := range known[key] {
			low, high := d.Start.ToWorld(got.box.low), d.Start.ToWorld(got.box.high)
			if low.X < 0 || low.Y < 0 || high.X > p.Room.Length || high.Y > p.Room.Width {
				t.Errorf("draw %d covers %v to %v of %s", n, low, high, p.Room)
			}
			if part >= 0 && got.high >= p.Robot.Parts[part].Lift.High {
				t.Errorf("draw %d: the lift meets its upper stop", n)
			}
		}
	})
}

// Tables are finite, within what the battery gives, begin and end at 0 V; and the picture's reach lies in the room.
func TestTablesAreSound(t *testing.T) {
	eachDrive(t, func(t *testing.T, p *Plan, d *Drive) {
		rows := d.Table.Rows
		for _, row := range [][]float64{rows[0], rows[len(rows)-1]} {
			for _, v := range row {
				if v != 0 {
					t.Errorf("begins or ends at %g V", v)
				}
			}
		}
		for i, row := range rows {
			if len(row) != len(d.Table.Columns) {
				t.Fatalf("row %d has %d volts of %d", i, len(row), len(d.Table.Columns))
			}
		}
		if most := d.Table.Most(); !(most <= 0.8*p.Robot.Battery.Open) {
			t.Errorf("%g V of a battery of %g V", most, p.Robot.Battery.Open)
		}
		if d.Reach[0].X < 0 || d.Reach[0].Y < 0 || d.Reach[1].X > p.Room.Length || d.Reach[1].Y > p.Room.Width {
			t.Errorf("reaches %v in %s", d.Reach, p.Room)
		}
	})
}

// Each drive does what it is for: the robot as its file has it goes, turns, or stands.
func TestTheDrivesMove(t *testing.T) {
	eachDrive(t, func(t *testing.T, p *Plan, d *Drive) {
		way, turn := 0.0, 0.0
		for i := 1; i < len(d.Path); i++ {
			way += geom.Norm(geom.Vec{X: d.Path[i].X - d.Path[i-1].X, Y: d.Path[i].Y - d.Path[i-1].Y})
			turn += math.Abs(d.Path[i].Heading - d.Path[i-1].Heading)
		}
		t.Logf("%s: %.2f m, %.0f deg, %.1f s, %.1f V", d.Name, way, turn*180/math.Pi, d.Table.Seconds(), d.Table.Most())
		switch {
		case d.Name == "stand" && way+turn > 1e-9:
			t.Errorf("moves by %g m, %g rad", way, turn)
		case strings.HasPrefix(d.Name, "spin") && turn < 0.5:
			t.Errorf("turns by %.2f rad only", turn)
		case strings.HasPrefix(d.Name, "step") || d.Name == "ramp" || d.Name == "arcs" || d.Name == "repeat":
			if way < 0.2 {
				t.Errorf("goes %.2f m only", way)
			}
		case strings.HasPrefix(d.Name, "square"):
			want := 2 * math.Pi
			if d.Name == "square_right" {
				want = -want
			}
			if end := d.Path[len(d.Path)-1].Heading; math.Abs(end-d.Start.Heading-want) > 0.35 {
				t.Errorf("turns by %.2f rad in all, not about %.2f", end-d.Start.Heading, want)
			}
		}
	})
}

var (
	headerShape = regexp.MustCompile(`(?s)^/\*[^*]*\*/\n#ifndef (\w+_H)\n#define (\w+_H)\n\n(?:#define \w+ \d+\n){4}\n` +
		`static const float (drive_\w+)\[(\w+)_ROWS\]\[(\w+)_COLUMNS\] = \{\n((?:    \{[^}]*\},\n)+)\};\n\n#endif\n$`)
	headerRow   = regexp.MustCompile(`(?m)^    \{(-?\d+\.\d+f(?:, -?\d+\.\d+f)*)\},$`)
	headerCount = regexp.MustCompile(`_ROWS (\d+)\n#define \w+_COLUMNS (\d+)\n`)
)

// The header and the CSV have the table's very numbers.
func TestHeaderAndCSVSayTheTable(t *testing.T) {
	eachDrive(t, func(t *testing.T, p *Plan, d *Drive) {
		header := d.Header()
		shape := headerShape.FindStringSubmatch(header)
		if shape == nil || shape[1] != shape[2] || shape[4] != shape[5] || strings.ToUpper(shape[3]) != shape[4] {
			t.Fatalf("no header: %.500s", header)
		}
		rows := headerRow.FindAllStringSubmatch(header, -1)
		count := headerCount.FindStringSubmatch(header)
		if len(rows) != len(d.Table.Rows) || count[1] != fmt.Sprint(len(rows)) ||
			count[2] != fmt.Sprint(len(d.Table.Columns)) {
			t.Fatalf("%d rows, says %v, want %d", len(rows), count[1:], len(d.Table.Rows))
		}
		for i, row := range rows {
			compare(t, i, strings.Split(strings.ReplaceAll(row[1], "f", ""), ", "), d.Table.Rows[i])
		}
		cells, err := csv.NewReader(strings.NewReader(strings.ReplaceAll(d.CSV(), ", ", ","))).ReadAll()
		if err != nil || len(cells) != len(d.Table.Rows)+1 {
			t.Fatalf("%d lines, %v", len(cells), err)
		}
		for i, row := range cells[1:] {
			compare(t, i, row, append([]float64{float64(i) * 2 / 100}, d.Table.Rows[i]...))
		}
	})
}

func compare(t *testing.T, row int, cells []string, want []float64) {
	t.Helper()
	if len(cells) != len(want) {
		t.Fatalf("row %d: %v, want %v", row, cells, want)
	}
	for i, cell := range cells {
		if x, err := strconv.ParseFloat(cell, 64); err != nil || math.Abs(x-want[i]) > 1e-12 {
			t.Fatalf("row %d: %v, want %v", row, cells, want)
		}
	}
}

// The routine gives the motors the table's volts, row by row, on the field that is written beside it.
func TestTheRoutineFollowsTheTable(t *testing.T) {
	eachDrive(t, func(t *testing.T, p *Plan, d *Drive) {
		rec := p.rehearsed(t, d.Routine())
		for _, e := range rec.Events {
			if e.Kind == record.Failure || e.Kind == record.Contact {
				t.Fatal(e.Sentence(units.Metric))
			}
		}
		for i, row := range d.Table.Rows {
			got := rec.Samples[i+1].Robots[0] // a record has the volts until the sample
			for side := range 2 {
				if v := got.Volts[side]; math.Abs(v-row[side]) > 1e-6 && !(d.Coasts && row[side] == 0) {
					t.Fatalf("row %d: %g V at the motors, want %g V", i, v, row[side])
				}
			}
			for k, v := range row[2:] {
				for part, of := range p.Robot.Parts {
					if of.Name+" V" == d.Table.Columns[2+k] && math.Abs(got.Parts[part].Volts-v) > 1e-6 {
						t.Fatalf("row %d: %g V at %s, want %g V", i, got.Parts[part].Volts, of.Name, v)
					}
				}
			}
		}
	})
}

// The same inputs give the same bytes.
func TestPlansAreTheSameAgain(t *testing.T) {
	plans, err := planned()
	if err != nil {
		t.Fatal(err)
	}
	again, err := Make(context.Background(), plans[0].Robot, plans[0].Room)
	if err != nil {
		t.Fatal(err)
	}
	for i, d := range again.Drives {
		if d.CSV() != plans[0].Drives[i].CSV() || d.Start != plans[0].Drives[i].Start {
			t.Errorf("%s differs", d.Name)
		}
	}
}

// A room that is too small is refused with the least that is needed, and that will do.
func TestTheLeastRoomWillDo(t *testing.T) {
	names := robot.Embedded()
	for _, name := range names[:property.Cases(1, len(names))] {
		spec, err := robot.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		_, err = Make(context.Background(), spec, Room{0.6, 0.5})
		least := regexp.MustCompile(`write --room "([^"]+)"`).FindStringSubmatch(fmt.Sprint(err))
		if least == nil {
			t.Fatalf("%s: %v", name, err)
		}
		t.Log(err)
		room, err := ParseRoom(least[1])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Make(context.Background(), spec, room); err != nil {
			t.Errorf("%s in the least room: %v", name, err)
		}
	}
}

func TestParseRoom(t *testing.T) {
	for text, want := range map[string]string{
		"2.4 m x 1.2 m": "2.4 m x 1.2 m", "1200 mm x 8 ft": "2.438 m x 1.2 m",
		"2.4 m": "", "x": "", "2.4 x 1.2": "", "2 m x -1 m": "", "900 m x 1 m": "", "1 m x 1 m x 1 m": "",
	} {
		room, err := ParseRoom(text)
		if want == "" {
			if err == nil || !strings.Contains(err.Error(), `write, for example, --room "2.4 m x 1.2 m"`) {
				t.Errorf("%q: %v", text, err)
			}
		} else if err != nil || room.String() != want {
			t.Errorf("%q: %s, %v", text, room, err)
		}
	}
}
