package testdrive

import (
	"context"
	"math"

	"chalkfield/sim/robot"
)

// kind is a test drive before it is made for a room. table gives one of a size from 0, the least that still tells
// something; from 1 on it has all its volts and only takes longer.
type kind struct {
	name, title, tells string
	coasts             bool
	logs               []string
	part               int  // that it moves, -1: the base
	square             bool // it has corners of a quarter turn
	table              func(m *machine, size float64) *Table
}

// kinds are the drives that a robot can do, in the order in which to drive them: what is slow first.
func kinds(spec *robot.Robot) []kind {
	list := []kind{
		{name: "stand", title: "stand still", tells: "noise and drift of the sensors", table: stand},
		{name: "ramp", title: "slow ramps ahead and back", tells: "friction, volts for a speed", table: ramps},
		{name: "step_brake", title: "steps, shorted at 0 V", tells: "mass against the motors' push, braking", table: steps},
		{name: "step_coast", title: "steps, open at 0 V", tells: "drag: how it rolls out", coasts: true, table: coasting},
		{name: "spin_ramp", title: "slow ramps on the spot", tells: "scrub of the tyres, track width", table: spinRamps},
		{name: "spin_step", title: "steps on the spot", tells: "inertia, track width", table: spinSteps},
		{name: "arcs", title: "arcs both ways", tells: "tyres' hold to the side", table: arcs},
		{name: "hard_start", title: "hard starts", tells: "when the tyres slip", table: hardStarts},
		{name: "square_left", title: "a square to the left", tells: "wheels of unequal size, track width, with the tape",
			square: true, table: func(m *machine, size float64) *Table { return square(m, size, +1) }},
		{name: "square_right", title: "a square to the right", tells: "the same, the other way round",
			square: true, table: func(m *machine, size float64) *Table { return square(m, size, -1) }},
		{name: "repeat", title: "five times the same", tells: "the spread: how alike two runs are",
			logs: []string{"repeat_1", "repeat_2", "repeat_3", "repeat_4", "repeat_5"}, table: repeated},
	}
	for i := range list {
		list[i].part = -1
	}
	for i, part := range spec.Parts {
		if part.Lift != nil {
			list = append(list, liftKind(i, part.Name))
		}
	}
	for i := range list {
		if list[i].logs == nil {
			list[i].logs = []string{list[i].name}
		}
	}
	return list
}

// Names are those of all drives that a plan for a robot may have.
func Names(spec *robot.Robot) (names []string) {
	for _, k := range kinds(spec) {
		names = append(names, k.name)
	}
	return names
}

// machine is what the tables ask about a robot.
type machine struct {
	spec      *robot.Robot
	model     robot.Model
	top       float64 // V that the battery gives for certain while all drive motors stand
	tau       float64 // s: time constant of straight driving
	spinVolts float64 // of a square's corners
	corner    float64 // s of spinVolts for a quarter turn of the robot as its file has it
}

func machineOf(ctx context.Context, spec *robot.Robot) (*machine, error) {
	m := &machine{spec: spec, model: spec.Model(), top: surely(spec)}
	m.tau = m.model.KA / m.model.KV
	m.spinVolts = m.turnBy(0.4)
	var err error
	m.corner, err = quarter(ctx, m)
	return m, err
}

// surely is a share of what the battery has left over its resistance when all drive motors stall: V = open / (1 + R n
// Is / Vn). The rest is for a battery that is emptier than the file's, and for a lift.
func surely(spec *robot.Robot) float64 {
	motor, b := spec.Motors[spec.Drive.Motor], spec.Battery
	amps := float64(2*spec.Drive.PerSide) * motor.StallCurrent / motor.Nominal // A per V
	stalled := b.Open / (1 + float64(b.Resistance*amps))
	return 0.8 * math.Min(motor.Nominal, stalled)
}

// ahead and turnBy are volts a share of the way from what overcomes friction to the most.
func (m *machine) ahead(share float64) float64 { return between(m.model.Starts(), m.top, share) }
func (m *machine) turnBy(share float64) float64 {
	return between(max(m.model.KS+m.model.TurnKS, m.model.DeadBand), m.top, share)
}

func between(friction, top, share float64) float64 {
	friction = math.Min(friction, 0.9*top)
	return friction + float64(share*(top-friction))
}

// settles is a time in which the base reaches its speed, cut to what a room has room for.
func (m *machine) settles() float64 { return math.Max(0.6, math.Min(4*m.tau, 1.5)) }

// weak and brief shrink volts beyond friction, and times, with the size.
func weak(size float64) float64  { return 0.25 + float64(0.75*math.Min(size, 1)) }
func brief(size float64) float64 { return 0.45 + float64(0.55*size) }

// pause is the rest in which a braked base, and what swings on it, comes to a stop.
const pause = 1.2

func stand(*machine, float64) *Table { return baseTable().rest(20) }

func ramps(m *machine, size float64) *Table {
	t, v := baseTable(), m.ahead(0.7*weak(size))
	for _, way := range []float64{1, -1} {
		t.ramp(3*brief(size), way*v, way*v).rest(pause)
	}
	return t
}

func steps(m *machine, size float64) *Table { return m.steps(size, pause) }

func coasting(m *machine, size float64) *Table { return m.steps(0.8*size, 2*pause) }

func (m *machine) steps(size, rest float64) *Table {
	t := baseTable()
	for _, share := range []float64{0.4, 0.9} {
		v := m.ahead(share * weak(size))
		for _, way := range []float64{1, -1} {
			t.pulse(m.settles()*brief(size), rest, way*v, way*v)
		}
	}
	return t
}

func spinRamps(m *machine, size float64) *Table {
	t, v := baseTable(), m.turnBy(0.6*weak(size))
	for _, way := range []float64{1, -1} {
		t.ramp(3*brief(size), -way*v, way*v).rest(pause)
	}
	return t
}

func spinSteps(m *machine, size float64) *Table {
	t := baseTable()
	for _, share := range []float64{0.3, 0.7} {
		v := m.turnBy(share * weak(size))
		for _, way := range []float64{1, -1} {
			t.pulse(brief(size), pause, -way*v, way*v)
		}
	}
	return t
}

// arcs go ahead and back on the same arc, to the left and to the right.
func arcs(m *machine, size float64) *Table {
	t := baseTable()
	outer, inner := m.ahead(0.7*weak(size)), m.ahead(0.25*weak(size))
	for _, volts := range [][2]float64{{inner, outer}, {outer, inner}} {
		for _, way := range []float64{1, -1} {
			t.pulse(m.settles()*brief(size), pause, way*volts[0], way*volts[1])
		}
	}
	return t
}

func hardStarts(m *machine, size float64) *Table {
	t := baseTable()
	for range 2 {
		for _, way := range []float64{1, -1} {
			t.pulse(0.4*brief(size), pause, way*m.top, way*m.top)
		}
	}
	return t
}

// square is four legs and four quarter turns, to the left (+1) or to the right. Borenstein and Feng, Measurement and
// correction of systematic odometry errors in mobile robots, IEEE Trans. Robotics and Automation 12(6), 1996 (from
// memory): what odometry says at the end, less what the tape says, both ways round, tells unequal wheels from a wrong
// track.
func square(m *machine, size, way float64) *Table {
	t, v := baseTable(), m.ahead(0.4*weak(size))
	for range 4 {
		t.pulse(1.6*m.settles()*brief(size), pause, v, v)
		t.pulse(m.corner, pause, -way*m.spinVolts, way*m.spinVolts)
	}
	return t
}

func repeated(m *machine, size float64) *Table {
	v, spin := m.ahead(0.5*weak(size)), m.turnBy(0.4*weak(size))
	return baseTable().
		pulse(m.settles()*brief(size), pause, v, v).
		pulse(0.5, pause, -spin, spin).
		pulse(m.settles()*brief(size), pause, -v, -v)
}

// liftKind is a lift's or an arm's drive: up slowly until it moves, up in a step, down in a step; the base stands. It
// is driven without a load and with one.
func liftKind(index int, name string) kind {
	return kind{name: "move_" + name, title: "up and down: " + name, part: index,
		tells: "its friction, weight and motor, to compare by eye (fit leaves lifts as they are); once as it is, once with " +
			"a load that you have weighed",
		logs: []string{"move_" + name, "move_" + name + "_loaded"},
		table: func(m *machine, size float64) *Table {
			t := newTable("left V", "right V", name+" V")
			volts := m.top * (0.15 + float64(0.75*math.Min(size, 1)))
			return t.ramp(1.2, 0, 0, volts).rest(1.5).
				pulse(0.3, 0.5, 0, 0, volts).
				pulse(0.3, 1.5, 0, 0, -0.4*volts)
		}}
}
