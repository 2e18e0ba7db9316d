package fit

import (
	"context"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/stats"

	"gonum.org/v1/gonum/mat"
)

// begin gives the rows the numbers to start from: of volts = friction + a share of speed + a share of acceleration, by
// linear least squares, for straight drives and for spins. They need only be near enough for the solver.
func (e *estimation) begin() {
	late := e.latency()
	straight, ok := e.shares(late, false)
	model := e.spec.Model()
	if !ok {
		return
	}
	force := e.forcePerVolt() * model.KA / straight.accel
	e.startAt(motorPath("stall_torque")(e.spec), math.Log(force/e.forcePerVolt()))
	e.startAt(motorPath("free_speed")(e.spec), math.Log(model.KV/straight.speed))
	rubbed := straight.friction * force / (model.KS * e.forcePerVolt())
	e.startAt(motorPath("free_current")(e.spec), math.Log(math.Max(0.1, rubbed)))
	spin, ok := e.shares(late, true)
	if !ok {
		return
	}
	e.startAt("chassis.inertia", math.Log(spin.accel/model.TurnKA*force/e.forcePerVolt()))
	if model.TurnKS > 0.02 {
		scrub := (spin.friction - straight.friction) * force / e.forcePerVolt()
		e.startAt("wheels.across", math.Log(math.Max(0.2, scrub/model.TurnKS)))
	}
}

// forcePerVolt is the file's push at the floor of a train for each volt, N/V.
func (e *estimation) forcePerVolt() float64 {
	m, d := *driveMotor(e.spec), e.spec.Drive
	perVolt := float64(d.PerSide) * m.TorquePerAmp() * m.StallCurrent / m.Nominal
	return perVolt * d.Gear * d.Efficiency / meanRadius(e.spec)
}

// startAt sets where a row starts, not too far from the file.
func (e *estimation) startAt(key string, number float64) {
	const most = 1.4 // a factor of 4, for logarithms
	for i, r := range e.active {
		if r.name() == key && number == number {
			if r.sd == twice {
				number = math.Max(-most, math.Min(most, number))
			}
			e.numbers[i] = math.Max(r.low, math.Min(r.high, number))
		}
	}
}

// latency is the median of what the logs show, s.
func (e *estimation) latency() float64 {
	var list []float64
	seen := map[*recording]bool{}
	for _, d := range e.drives {
		if !seen[d.recording] && d.late == d.late {
			list = append(list, d.late)
		}
		seen[d.recording] = true
	}
	if len(list) == 0 {
		return 0
	}
	slices.Sort(list)
	return math.Max(0, list[len(list)/2])
}

// shares are volts = friction sign(v) + speed v + accel a, in V, V s/m and V s^2/m; of a spin per rad/s and rad/s^2.
type shares struct{ friction, speed, accel float64 }

// shares finds them over all cells in which both sides get volts: alike (straight) or contrary (spin).
func (e *estimation) shares(late float64, spin bool) (shares, bool) {
	var rows, y []float64
	for _, d := range e.drives {
		left, right := d.signal(leftSpeed), d.signal(rightSpeed)
		if left == nil || right == nil {
			continue
		}
		for i := 1; i+1 < len(left.values); i++ {
			from, to := d.from+d.edges[i]-late, d.from+d.edges[i+1]-late
			a, b := d.volts[0].mean(from, to), d.volts[1].mean(from, to)
			on := d.on[0].mean(from, to) == 1 && d.on[1].mean(from, to) == 1
			ahead, turn := (a+b)/2, (b-a)/2
			way := func(i int) float64 { return (left.values[i] + right.values[i]) / 2 }
			volts := ahead
			if spin {
				rate := d.signal(turning)
				if rate == nil {
					continue
				}
				way, volts = func(i int) float64 { return rate.values[i] }, turn
				on = on && math.Abs(ahead) < 0.2*math.Abs(turn)
			} else {
				on = on && math.Abs(turn) < 0.2*math.Abs(ahead)
			}
			v, accel := way(i), (way(i+1)-way(i-1))/(d.edges[i+1]-d.edges[i-1])
			if !on || !(v*volts > 0) || accel != accel {
				continue
			}
			rows, y = append(rows, math.Copysign(1, v), v, accel), append(y, volts)
		}
	}
	if len(y) < 10 {
		return shares{}, false
	}
	x, err := stats.Linear(mat.NewDense(len(y), 3, rows), y)
	if err != nil || !(x[1] > 0 && x[2] > 0) {
		return shares{}, false
	}
	return shares{x[0], x[1], x[2]}, true
}

// start finds where to start from: the file's values or those of begin, whichever is nearer.
func (e *estimation) start(ctx context.Context) error {
	e.startAt("drive.latency", (e.latency()-e.spec.Drive.Latency)*100)
	plain := slices.Clone(e.numbers)
	far, err := e.findRest(ctx)
	if err != nil {
		return err
	}
	e.begin()
	near, err := e.findRest(ctx)
	if err != nil || near <= far {
		return err
	}
	e.numbers = plain
	_, err = e.findRest(ctx)
	return err
}

// clearRest is by how much nearer drives must be the way that a log's name and the robot file do not say: motors that
// brake look like such that coast if friction that grows with the speed is taken for large enough. Common practice, no
// source.
const clearRest = 1.5

// findRest finds out, log by log, what the motors do at 0 V: what its name and the robot file say, unless the drives
// come to rest clearly more as the other way has it. The sum of what the drives are off then is the cost.
func (e *estimation) findRest(ctx context.Context) (sum float64, err error) {
	whole, resting := make([][2]float64, len(e.all)), make([][2]float64, len(e.all))
	for way, coasts := range []bool{false, true} {
		for _, r := range e.all {
			r.coasts = coasts
		}
		done, err := e.predict(ctx, e.apply(e.active, e.numbers), e.order)
		if err != nil {
			return 0, err
		}
		for i, d := range e.drives {
			k := slices.Index(e.all, d.recording)
			all, rest := d.cost(done[i])
			whole[k][way], resting[k][way] = whole[k][way]+all, resting[k][way]+rest
		}
	}
	for i, r := range e.all {
		said, other := 0, 1
		if e.spec.Drive.Coasts || strings.Contains(r.log.Name, "coast") {
			said, other = 1, 0
		}
		way := said
		if clearRest*resting[i][other] < resting[i][said] {
			way = other
		}
		r.coasts = way == 1
		sum += whole[i][way]
	}
	return sum, nil
}

// restAnew finds out again what the motors do at 0 V, now that the numbers are better than those to start from, and
// reports whether that is another thing in any log.
func (e *estimation) restAnew(ctx context.Context) (other bool, err error) {
	before := make([]bool, len(e.all))
	for i, r := range e.all {
		before[i] = r.coasts
	}
	_, err = e.findRest(ctx)
	for i, r := range e.all {
		other = other || r.coasts != before[i]
	}
	return other, err
}

// cost is the sum of the sizes of the sides' residuals, and of those while their volts are 0.
func (d *drive) cost(m *motion) (all, rest float64) {
	for _, s := range d.signals {
		if s.kind > rightSpeed {
			continue
		}
		on := d.on[s.kind-leftSpeed]
		for i, p := range m.cells(s.kind, d.edges) {
			v := s.values[i]
			if v != v {
				continue
			}
			off := math.Abs(p-v) / s.noise
			all += off
			if at := d.from - m.late; on.mean(at+d.edges[i], at+d.edges[i+1]) == 0 {
				rest += off
			}
		}
	}
	return all, rest
}
