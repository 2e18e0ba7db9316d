package lesson

import (
	"context"
	"math"

	"chalkfield/internal/app/check"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Driven is what a drive came to.
type Driven struct {
	Finished bool    `json:"finished"`
	Crossed  int     `json:"crossed"` // gates
	Clock    float64 `json:"clock"`   // s, from the first stick moved to the finish, or to the drive's end
	Touches  int     `json:"touches"`
	Seconds  float64 `json:"seconds"` // the clock and what the touches add
	Metres   float64 `json:"metres"`  // that the robot's middle travelled
	Smooth   float64 `json:"smooth"`  // 0 to 100: see smoothness
	Medal    string  `json:"medal"`   // clay, chalk, quartz; "": none
}

// The limits of rest, touches and volts.
const (
	restSpeed  = 0.01              // m/s
	restTurn   = 2 * math.Pi / 180 // rad/s
	restLasts  = 0.3               // s
	touchApart = 0.5               // s: a robot rattles along a wall; what follows more closely is one touch
	fullVolts  = 12.0
	noVolts    = 0.01
)

// Watch follows a drive of a course while it goes on.
type Watch struct {
	lesson  *Lesson
	seen    int     // samples
	begun   float64 // s: when a stick first moved; negative: not yet
	rest    float64 // s: since when the robot rests; negative: it moves
	crossed int
	metres  float64
	done    bool
}

// Watch begins to follow a drive.
func (l *Lesson) Watch() *Watch { return &Watch{lesson: l, begun: -1, rest: -1} }

// Look looks at a drive after a tick, and reports whether it has come to its finish.
func (w *Watch) Look(r *rehearse.Rehearsal) bool {
	rec := r.Record()
	for ; w.seen < len(rec.Samples) && !w.done; w.seen++ {
		w.sample(rec)
		const often = 5 // samples: to look at everything costs
		if w.ready(&rec.Samples[w.seen]) && w.seen%often == 0 {
			w.done = w.holds(rec, r.Sheet)
		}
	}
	return w.done
}

// sample takes a new sample of the robot.
func (w *Watch) sample(rec *record.Record) {
	s := &rec.Samples[w.seen]
	now := &s.Robots[0]
	if w.begun < 0 && (math.Abs(now.Volts[0]) > noVolts || math.Abs(now.Volts[1]) > noVolts) {
		w.begun = s.T
	}
	if w.seen > 0 {
		from, to := at(&rec.Samples[w.seen-1]), at(s)
		w.metres += geom.Norm(geom.Vec{X: to.X - from.X, Y: to.Y - from.Y})
		if gates := w.lesson.Course.Gates; w.crossed < len(gates) && gates[w.crossed].crosses(from, to) {
			w.crossed++
		}
	}
	switch {
	case math.Hypot(now.Velocity[0], now.Velocity[1]) > restSpeed || math.Abs(now.Velocity[2]) > restTurn:
		w.rest = -1
	case w.rest < 0:
		w.rest = s.T
	}
}

func at(s *record.Sample) geom.Vec { return geom.Vec{X: s.Robots[0].True[0], Y: s.Robots[0].True[1]} }

// ready reports whether all gates are crossed, and the robot rests where it must.
func (w *Watch) ready(s *record.Sample) bool {
	c := w.lesson.Course
	return w.begun >= 0 && w.crossed == len(c.Gates) && (c.Finish == nil || w.rest >= 0 && s.T-w.rest >= restLasts-1e-9)
}

// holds reports whether the finish holds with the score of now.
func (w *Watch) holds(rec *record.Record, sheet func() record.Sheet) bool {
	finish := w.lesson.Course.Finish
	if finish == nil {
		return true
	}
	now := *rec
	now.Sheet = sheet()
	return len(finish.Held(&now, w.lesson.setup.Field.Floor, units.Metric)) == 0
}

// crosses reports whether a way from one place to another crosses the gate.
func (g *Gate) crosses(from, to geom.Vec) bool {
	before, after := side(g.From, g.To, from), side(g.From, g.To, to)
	if before*after > 0 || before == after || g.Way == Left && after < before {
		return false
	}
	return side(from, to, g.From)*side(from, to, g.To) <= 0
}

// side is positive where a place is to the left of the way from a to b.
func side(a, b, p geom.Vec) float64 {
	return float64((b.X-a.X)*(p.Y-a.Y)) - float64((b.Y-a.Y)*(p.X-a.X))
}

// Driven is what the drive has come to so far.
func (w *Watch) Driven(rec *record.Record) Driven {
	c := w.lesson.Course
	d := Driven{Finished: w.done, Crossed: w.crossed, Metres: w.metres, Smooth: 100}
	if w.begun < 0 {
		return d
	}
	last := rec.Samples[w.seen-1].T
	d.Clock = record.Round(last - w.begun)
	d.Touches = touches(rec)
	d.Seconds = record.Round(d.Clock + float64(float64(d.Touches)*c.Touch))
	d.Smooth = smoothness(rec, w.begun, last)
	if d.Finished {
		d.Medal = c.Medals.earned(d.Seconds)
	}
	return d
}

// earned is the best medal for a time, "" for none.
func (m Medals) earned(seconds float64) string {
	for _, medal := range m.List() {
		if seconds <= medal.Seconds {
			return medal.Name
		}
	}
	return ""
}

// Medal is a medal and the time that earns it, s.
type Medal struct {
	Name    string
	Seconds float64
}

const bestMedal = "quartz"

// List are the medals, the best first.
func (m Medals) List() []Medal {
	return []Medal{{bestMedal, m.Quartz}, {"chalk", m.Chalk}, {"clay", m.Clay}}
}

// touches counts the contacts of the robot with walls, robots and goals, but goals that its clamp has held.
func touches(rec *record.Record) (count int) {
	clamped := map[string]bool{}
	for i := range rec.Events {
		if e := &rec.Events[i]; e.Kind == record.Clamped && e.Robot == 0 {
			clamped[e.What] = true
		}
	}
	last := map[string]float64{}
	for i := range rec.Events {
		e := &rec.Events[i]
		if e.Kind != record.Contact || e.Robot != 0 || clamped[e.What] {
			continue
		}
		if t, before := last[e.What]; !before || e.T-t > touchApart {
			count++
		}
		last[e.What] = e.T
	}
	return count
}

// smoothness is 100 / (1 + v), where v is how many swings of the full stick the driver makes in a second: what the
// volts of each train change by from sample to sample, added up, in units of 12 V, a train and second. Own definition,
// no source: one push and one release in ten seconds are 0.2 swings, 83; a stick that is flicked to and fro five times
// a second is 10, 9.
func smoothness(rec *record.Record, from, to float64) float64 {
	if to <= from {
		return 100
	}
	sum, before := 0.0, [2]float64{}
	for i := range rec.Samples {
		s := &rec.Samples[i]
		asked := s.Robots[0].Volts
		if told := s.Robots[0].Asked; told != nil {
			asked = *told
		}
		for k := range asked {
			sum += math.Abs(asked[k] - before[k])
		}
		before = asked
	}
	return record.Round(100 / (1 + sum/(2*fullVolts*(to-from))))
}

// Show rehearses an answer as it is shown: a drive until its finish. driven is nil for what is no drive.
func (l *Lesson) Show(ctx context.Context, a Answer) (r *record.Record, driven *Driven, err error) {
	if l.Kind != Drive {
		r, err = rehearse.Run(ctx, l.Setup(a))
		return r, nil, err
	}
	one, err := rehearse.New(l.Setup(a))
	if err != nil {
		return nil, nil, err
	}
	defer one.Close()
	watch := l.Watch()
	for one.Tick() {
		if ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		if watch.Look(one) {
			one.Finish()
		}
	}
	watch.Look(one) // the last sample
	d := watch.Driven(one.Record())
	return one.Record(), &d, one.Err()
}

// JudgeDrive holds a drive that was followed against the lesson's marks.
func (l *Lesson) JudgeDrive(r *record.Record, d Driven, in units.System) (*Marks, error) {
	cases, err := l.driven(r, d, in)
	if err != nil {
		return nil, err
	}
	return l.marks(cases)
}

// driven are the lesson's cases, judged by a drive; the first is its finish.
func (l *Lesson) driven(r *record.Record, d Driven, in units.System) ([]check.Judged, error) {
	f, err := check.Parse(l.files.path(passFile), []byte(l.files.files[passFile]))
	if err != nil {
		return nil, err
	}
	finish := check.Mark{Wish: check.Wish{Key: "finish", Text: Say("course_all_gates")}}
	if !d.Finished {
		finish.Missed, finish.Short = 1, &check.Shortfall{Expected: finish.Text, T: r.Samples[len(r.Samples)-1].T,
			Happened: Say("course_unfinished", d.Crossed, len(l.Course.Gates))}
	}
	list := []check.Judged{judgedBy(Say("course_finish"), []check.Mark{finish})}
	for i := range f.Cases {
		c := &f.Cases[i]
		list = append(list, judgedBy(c.Name, c.Marks(r, l.setup.Field.Floor, in)))
	}
	return list, nil
}

// judgedBy is a case with its marks.
func judgedBy(name string, marks []check.Mark) check.Judged {
	c := check.Judged{Case: name, State: check.Held, Rehearsals: 1, HeldBy: 1, Marks: marks}
	for _, m := range marks {
		if m.Short != nil {
			c.State, c.HeldBy, c.Shortfalls = check.Short, 0, append(c.Shortfalls, *m.Short)
		}
	}
	return c
}
