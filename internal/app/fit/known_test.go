package fit

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/testdrive"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

var known = flag.String("known", "", "which known robots are fitted to all test drives, as 0-49 or 8,35; from 100 on "+
	"of the third kind; from 200 on of the first two, unlike their files in what nobody measures")

// numbers are those of a list such as 0-3,8.
func numbers(t *testing.T, list string) (all []int) {
	for _, part := range strings.Split(list, ",") {
		from, to, is := strings.Cut(part, "-")
		low, err := strconv.Atoi(from)
		high := low
		if is && err == nil {
			high, err = strconv.Atoi(to)
		}
		if err != nil {
			t.Fatal(err)
		}
		for n := low; n <= high; n++ {
			all = append(all, n)
		}
	}
	return all
}

// plans are the test drives of the robots, made once.
var plans = map[string]func() (*testdrive.Plan, error){"hauler": plan("hauler"), "barrow": plan("barrow"),
	"lifter": plan("lifter")}

func plan(name string) func() (*testdrive.Plan, error) {
	return sync.OnceValues(func() (*testdrive.Plan, error) {
		spec, err := fileOf(name)
		if err != nil {
			return nil, err
		}
		return testdrive.Make(context.Background(), spec, testdrive.Room{Length: 3, Width: 2})
	})
}

// truth is a robot drawn at random, and the file of somebody who weighed it and knows nothing else of it.
type truth struct {
	real, file *robot.Robot
	late       int // samples between what happens and what the log says of it
	amps       bool
	own        float64 // s from a command to that, of a robot whose log is its own program's; 0: made by written
}

// drawn makes a robot within a factor of two of an embedded one.
func drawn(t testing.TB, name string, number uint64) truth {
	if name == "lifter" {
		return lifter(t, number)
	}
	spec, err := robot.OpenEmbedded(name)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(number, 77))
	even := func() float64 { return 2*random.Float64() - 1 }
	two := func() float64 { return math.Exp2(even()) }
	r := clone(spec)
	m := driveMotor(r)
	m.StallTorque *= two()
	m.FreeSpeed *= two()
	m.FreeCurrent *= math.Sqrt(two())
	m.StallCurrent *= m.StallTorque * m.FreeSpeed / (driveMotor(spec).StallTorque * driveMotor(spec).FreeSpeed)
	m.StallCurrent = max(m.StallCurrent, m.LeastStallCurrent(), m.FreeCurrent/0.45)
	mass := two()
	r.Chassis.Mass *= mass
	r.Chassis.Inertia *= mass * math.Sqrt(two())
	r.Drive.Drag *= two()
	r.Drive.Viscous *= two()
	across, along := math.Sqrt(two()), 1+0.2*even()
	sides, track := 0.015*even(), 1+0.04*even()
	for i := range r.Wheels {
		w := &r.Wheels[i]
		w.Across, w.Along = w.Across*across, w.Along*along
		w.At.Y *= track
		w.Radius *= 1 + sides*(float64(w.Train)-0.5)
	}
	r.Spread = robot.Spread{}
	r.Battery.Open *= 1 + 0.04*even()
	r.Battery.Resistance *= two()
	left := 1 + 0.05*even() // what both sides have of it is the motors'
	r.Drive.LeftPush, r.Drive.RightPush = left, 2-left
	m.StallCurrent = math.Max(m.LeastStallCurrent(), m.StallCurrent*math.Exp(currentSD*random.NormFloat64()))
	r.Sensors = slices.Clone(r.Sensors)
	for i, s := range r.Sensors {
		if s.Inertial != nil {
			gyro := *s.Inertial
			gyro.Scale += turnedSD * random.NormFloat64()
			r.Sensors[i].Inertial = &gyro
		}
	}
	if number >= unlikeFile {
		besideFile(r, random)
	}
	r.Drive.Latency = 0.02 * rand.New(rand.NewPCG(number, 79)).Float64() // beside the log's own: see late
	file := clone(spec)
	file.Chassis.Mass = r.Chassis.Mass
	file.Chassis.Inertia *= mass
	return truth{real: r, file: file, late: 1}
}

// unlikeFile is the number from which on robots differ from their file in what nobody measures too, by as much as the
// intervals allow for.
const unlikeFile = 200

// besideFile draws that.
func besideFile(r *robot.Robot, random *rand.Rand) {
	r.Chassis.Centre.X += centreSD * random.NormFloat64()
	r.Chassis.Centre.Y += centreSD * random.NormFloat64()
	r.Drive.Breakaway = max(1, r.Drive.Breakaway+breakawaySD*random.NormFloat64())
	rolling, front := math.Exp(rollingSD*random.NormFloat64()), math.Exp(unlikeSD*random.NormFloat64())
	for i := range r.Wheels {
		w := &r.Wheels[i]
		w.Rolling *= rolling
		if w.At.X > r.Chassis.Centre.X {
			w.Across *= front
		}
	}
}

// played rehearses a drive with a robot, and gives what it would have logged.
func (k truth) played(t testing.TB, routine string, seconds float64, name string, seed uint64) Input {
	if k.own > 0 {
		return own(t, k.real, routine, seconds, name, seed)
	}
	log, err := logfile.Read(name+".csv", strings.NewReader(k.text(t, routine, seconds, seed)), logfile.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return Input{Log: log, SHA256: "0"}
}

// text is that log: encoders by one radius of the file's for both sides, a camera's place with 2 mm of noise.
func (k truth) text(t testing.TB, routine string, seconds float64, seed uint64) string {
	told := clone(k.real) // a record has the volts at the motors: those of a controller without fault are the commands
	told.Drive.DeadBand, told.Drive.Slew, told.Drive.Latency = 0, 0, 0
	return k.written(inHall(t, k.real, routine, seconds, seed), inHall(t, told, routine, seconds, seed),
		rand.New(rand.NewPCG(seed, 3)))
}

// inHall is the record of a routine that a robot ran in a hall in which it meets nothing.
func inHall(t testing.TB, r *robot.Robot, routine string, seconds float64, seed uint64) *record.Record {
	program, err := scripting.LoadTexts("x.lua", map[string]string{"x.lua": routine})
	if err != nil {
		t.Fatal(err)
	}
	field, err := fields.Parse("hall.toml", []byte(fields.BareText("hall", stageSide, stageSide, seconds)))
	if err != nil {
		t.Fatal(err)
	}
	rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: field, Seed: seed,
		Entrants: []rehearse.Entrant{{Robot: r, Routine: program, Start: &geom.Pose{X: 25, Y: 25}}}})
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

func (k truth) written(rec, told *record.Record, noise *rand.Rand) string {
	sensor := func(kind robot.SensorKind, train robot.Train) int {
		for i, s := range k.real.Sensors {
			if s.Kind == kind && (kind != robot.Encoder || s.Encoder.Train == train) {
				return i
			}
		}
		return -1
	}
	encoders := [2]int{sensor(robot.Encoder, robot.Left), sensor(robot.Encoder, robot.Right)}
	gyro := sensor(robot.Inertial, 0)
	real, wheel := radiiOf(k.real), meanRadius(k.file)
	var phase [2]float64
	for side := range 2 {
		phase[side] = noise.Float64() * k.grain(side)
	}
	var out strings.Builder
	out.WriteString("time s,left V,right V,left travel mm,right travel mm,heading deg,x mm,y mm,battery V")
	if k.amps {
		out.WriteString(",left A,right A")
	}
	out.WriteByte('\n')
	first := rec.Samples[0].Robots[0].True
	for i := 0; i+1 < len(rec.Samples); i++ {
		now, next := rec.Samples[max(0, i-k.late)].Robots[0], told.Samples[i+1].Robots[0]
		fmt.Fprintf(&out, "%.2f", rec.Samples[i].T)
		for side := range 2 {
			v := next.Volts[side]
			if next.Amps[side] == 0 {
				v = 0
			}
			fmt.Fprintf(&out, ",%.3f", v)
		}
		for side := range 2 {
			grain := k.grain(side)
			rolled := now.Sensors[encoders[side]]*wheel/real[side] + phase[side] + 0.2*grain*noise.NormFloat64()
			fmt.Fprintf(&out, ",%.3f", math.Round(rolled/grain)*grain*1000)
		}
		fmt.Fprintf(&out, ",%.3f", now.Sensors[gyro]*180/math.Pi)
		for axis := range 2 {
			fmt.Fprintf(&out, ",%.1f", (now.True[axis]-first[axis])*1000+2*noise.NormFloat64())
		}
		fmt.Fprintf(&out, ",%.2f", now.Battery)
		if k.amps {
			fmt.Fprintf(&out, ",%.1f,%.1f", now.Amps[0]+0.2*noise.NormFloat64(), now.Amps[1]+0.2*noise.NormFloat64())
		}
		out.WriteByte('\n')
	}
	return out.String()
}

// grain is the step of a side's encoder, m.
func (k truth) grain(side int) float64 {
	for _, s := range k.file.Sensors {
		if s.Encoder != nil && int(s.Encoder.Train) == side {
			return s.Encoder.Resolution
		}
	}
	return 0
}

func (k truth) logs(t testing.TB, name string, seed uint64) (logs []Input) {
	p, err := plans[name]()
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Drives {
		d := &p.Drives[i]
		if strings.HasPrefix(d.Name, "move_") || d.Name == "stand" {
			continue
		}
		for j, log := range d.Logs[:1] {
			logs = append(logs, k.played(t, d.Routine(), d.Table.Seconds()+0.2, log, seed*100+uint64(i*10+j)))
		}
	}
	return logs
}

// shortDrives are a routine's: a slow ramp, steps ahead and back, spins, an arc.
const shortDrives = `return routine { start = {x = 700, y = 1200, heading = 0}, auto = function(bot)
  local function give(left, right, seconds)
    bot.drive:volts(left, right); wait(seconds); bot.drive:volts(0, 0); wait(0.8)
  end
  wait(1.2)
  for i = 1, 100 do local v = i * 0.04; bot.drive:volts(v, v); wait(0.02) end
  bot.drive:volts(0, 0); wait(0.8)
  give(-8, -8, 0.8)
  give(6, 6, 0.8)
  give(-6, 6, 0.8)
  give(8, -8, 0.8)
  give(7, 4, 0.8)
end }`

// value is one of a result.
func value(t testing.TB, got *Result, key string) Parameter {
	for _, p := range got.Parameters {
		if p.Key == key {
			return p
		}
	}
	t.Fatalf("no %s", key)
	return Parameter{}
}

// Robots that differ from their files by up to a factor of two are found from 13 s of driving, and nearly all intervals
// of 95 % have the truth in them.
func TestRobotsAreFound(t *testing.T) {
	inside, all := 0, 0
	for n, name := range []string{"hauler", "barrow", "hauler"}[:property.Cases(1, 3)] {
		k := drawn(t, name, uint64(n))
		logs := []Input{k.played(t, shortDrives, 13, "short", 1)}
		got, err := Fit(context.Background(), k.file, logs, Options{Hold: []string{"chassis.mass"}})
		if err != nil {
			t.Fatal(err)
		}
		truths := k.truths(t)
		// The logs have no amps: a stall current up to 20 % beside the file's is allowed for, and free speed and the
		// battery's resistance go with it (found: 1.4 and 5.1 % off; within 1 and 5 % while 5 % were allowed for).
		for key, within := range map[string]float64{"motors[0].free_speed": 0.02, "motors[0].stall_torque": 0.02,
			"chassis.inertia": 0.03, "wheels.across": 0.03, "wheels.radius left": 0.005, "drive.left_push": 0.01,
			"battery.open": 0.002, "battery.resistance": 0.06} {
			if name == "lifter" { // its logs have no place, and much of it no row is for: here its intervals count
				break
			}
			if p := value(t, got, key); p.State != Fitted || math.Abs(p.After/truths[key]-1) > within {
				t.Errorf("%d %s: %g [%g %g] %s, the truth is %g", n, key, p.After, p.Low, p.High, p.State, truths[key])
			}
		}
		for _, p := range got.Parameters {
			if p.Low < p.High && (p.After < p.Low || p.After > p.High) {
				t.Errorf("%d %s: %g is not within [%g %g]", n, p.Key, p.After, p.Low, p.High)
			}
			if want := truths[p.Key]; p.State == Fitted && p.Low < p.High && p.Why != jointFriction() {
				if all++; want >= p.Low && want <= p.High {
					inside++
				} else {
					t.Logf("%d %s: %g [%g %g], the truth is %g", n, p.Key, p.After, p.Low, p.High, want)
				}
			}
		}
		for _, d := range got.Drives {
			if d.After.Speed > 0.02 || d.Before.Speed < 0.1 || d.HeldOut == nil || d.HeldOut.Speed > 0.05 {
				t.Errorf("%d %s: speed before %.3f, after %.3f, held out %+v", n, d.What, d.Before.Speed, d.After.Speed, d.HeldOut)
			}
		}
	}
	if share := float64(inside) / float64(all); share < 0.9 {
		t.Errorf("intervals of 95 %% hold %d of %d truths", inside, all)
	}
}

// jointFriction is why two frictions have one interval that is of their sum.
func jointFriction() string {
	return frictionRows(&robot.Robot{Motors: make([]robot.Motor, 1)}, nil)[1].alone
}

// truths are the values of the real robot by their keys.
func (k truth) truths(t testing.TB) map[string]float64 {
	late := k.own
	if late == 0 {
		late = float64(k.late)*0.02 + k.real.Drive.Latency
	}
	m := machine{spec: k.real, late: late}
	rows, err := rowsOf(k.file, nil)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]float64{"battery.open": k.real.Battery.Open, "battery.resistance": k.real.Battery.Resistance}
	for _, r := range rows {
		for _, s := range r.shown {
			out[s.key] = s.get(&m)
		}
	}
	behind := 0.0 // in front it is another where a robot is unlike its file
	for _, w := range k.real.Wheels {
		if w.At.X <= k.real.Chassis.Centre.X {
			behind = max(behind, w.Across)
		}
	}
	out["wheels.across"] = behind
	return out
}

// tally is how well one parameter was found over all robots.
type tally struct {
	off             []float64 // share of the truth
	inside, tellers int
}

// off is how far a value is from the truth, as a share of it. A gyro's scale s is about nothing and turns a reading
// into 1 + s of it: that is what it is a share of.
func off(key string, got, want float64) float64 {
	if strings.HasSuffix(key, "inertial.scale") {
		return math.Abs(got-want) / (1 + want)
	}
	return math.Abs(got/want - 1)
}

// Robots drawn at random within a factor of two of the embedded ones, weighed, and fitted to all their test drives.
func TestKnownRobots(t *testing.T) {
	if *known == "" {
		t.Skip("-known 0-49 fits 50 robots")
	}
	tallies, keys := map[string]*tally{}, []string{}
	var ends, speeds []float64
	type miss struct {
		sigma float64
		text  string
	}
	var misses []miss
	for _, n := range numbers(t, *known) {
		name := [2]string{"hauler", "barrow"}[n%2]
		if n >= thirdKind && n < unlikeFile {
			name = "lifter"
		}
		k := drawn(t, name, uint64(n))
		logs := k.logs(t, name, uint64(n))
		got, err := Fit(context.Background(), k.file, logs, Options{Hold: []string{"chassis.mass"}})
		if err != nil {
			t.Errorf("%d %s: %v", n, name, err)
			continue
		}
		truths := k.truths(t)
		for _, p := range got.Parameters {
			if testing.Verbose() {
				t.Logf("%d %-8s %-24s before %9.5g after %9.5g [%9.5g %9.5g] truth %9.5g off %6.2f %% %s %s", n, name, p.Key,
					p.Before, p.After, p.Low, p.High, truths[p.Key], 100*(p.After/truths[p.Key]-1), p.State, p.Why)
			}
			if p.State != Fitted || truths[p.Key] == 0 || p.Low == p.High || p.Why == jointFriction() {
				continue
			}
			if tallies[p.Key] == nil {
				tallies[p.Key], keys = &tally{}, append(keys, p.Key)
			}
			tally, want := tallies[p.Key], truths[p.Key]
			tally.off = append(tally.off, off(p.Key, p.After, want))
			if tally.tellers++; want >= p.Low && want <= p.High {
				tally.inside++
			}
			misses = append(misses, miss{math.Abs(p.After-want) / (p.High - p.Low) * 4,
				fmt.Sprintf("%d %s %s %.5g [%.5g %.5g], truth %.5g", n, name, p.Key, p.After, p.Low, p.High, want)})
		}
		for _, d := range got.Drives {
			if d.HeldOut == nil || d.Way < 0.05 {
				continue
			}
			speeds = append(speeds, d.HeldOut.Speed)
			if d.HeldOut.End != nil {
				ends = append(ends, *d.HeldOut.End/d.Way)
			}
		}
	}
	inside, all := 0, 0
	for _, key := range keys {
		c := tallies[key]
		slices.Sort(c.off)
		if half := c.off[len(c.off)/2]; half > 0.03 {
			t.Errorf("%s: off by %.2f %% in the median, and 3 are allowed", key, 100*half)
		}
		inside, all = inside+c.inside, all+c.tellers
		t.Logf("%-24s told %3d  median off %6.3f %%  worst %7.3f %%  inside %5.1f %%", key, c.tellers,
			100*c.off[len(c.off)/2], 100*c.off[len(c.off)-1], 100*float64(c.inside)/float64(c.tellers))
	}
	if share := float64(inside) / float64(all); share < 0.9 || share > 0.98 {
		t.Errorf("intervals of 95 %% hold %.1f %% of the truths: 90 to 98 are meant", 100*share)
	}
	slices.Sort(ends)
	if off := ends[len(ends)*95/100]; off > 0.02 {
		t.Errorf("one held-out end of twenty is off by more than %.2f %% of the way: 2 are allowed", 100*off)
	}
	slices.Sort(speeds)
	t.Logf("intervals hold %.1f %% of %d truths", 100*float64(inside)/float64(all), all)
	t.Logf("held out: end off by median %.3f %%, 95th %.3f %%, worst %.3f %% of the way; speed median %.4f 95th %.4f",
		100*ends[len(ends)/2], 100*ends[len(ends)*95/100], 100*ends[len(ends)-1],
		speeds[len(speeds)/2], speeds[len(speeds)*95/100])
	slices.SortFunc(misses, func(a, b miss) int { return cmp.Compare(b.sigma, a.sigma) })
	for _, m := range misses[:min(10, len(misses))] {
		t.Logf("%.1f standard errors: %s", m.sigma, m.text)
	}
}
