package rehearse

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/record"
)

// happened is the SHA-256, in hexadecimal, of what happened in a rehearsal, whatever a record's types and file look
// like: a text of this test's own with the poses and speeds of each sample, each event's kind, time, robot, body and
// line, and the score sheet. What is worded for people is not in it. Who changes the record's types keeps this text the
// same.
func happened(rec *record.Record) string {
	var out account
	bodies := bodyNames(rec)
	next, seen := 0, map[int]record.BodySample{}
	for _, s := range rec.Samples {
		for ; next < len(rec.Events) && rec.Events[next].T <= s.T; next++ {
			out.event(rec.Events[next], bodies)
		}
		out.sample(s, seen)
	}
	for _, e := range rec.Events[next:] {
		out.event(e, bodies)
	}
	out.sheet(rec.Sheet)
	sum := sha256.Sum256(out.text)
	return hex.EncodeToString(sum[:])
}

// bodyNames gives the id of each piece and goal by its name.
func bodyNames(rec *record.Record) map[string]int {
	ids := map[string]int{}
	for id, body := range rec.Header.Bodies {
		ids[body.Name] = id
	}
	return ids
}

// account is a text of words and whole numbers, a line each thing.
type account struct{ text []byte }

// word begins a line.
func (a *account) word(name string) { a.text = append(append(a.text, '\n'), name...) }

func (a *account) whole(numbers ...int) {
	for _, n := range numbers {
		a.text = strconv.AppendInt(append(a.text, ' '), int64(n), 10)
	}
}

// numbers adds each in millionths, as the record rounds them. There is no negative zero among whole numbers.
func (a *account) numbers(numbers ...float64) {
	for _, x := range numbers {
		a.whole(int(math.Round(x * 1e6)))
	}
}

// sample adds robots, and bodies that changed since the last one that was seen.
func (a *account) sample(s record.Sample, seen map[int]record.BodySample) {
	a.word("sample")
	a.numbers(s.T)
	for i, r := range s.Robots {
		a.word("robot")
		a.whole(i)
		a.numbers(r.True[:]...)
		a.numbers(r.Velocity[:]...)
		a.numbers(r.Belief[:]...)
		a.numbers(r.Wheels[:]...)
	}
	for _, b := range s.Bodies {
		if last, known := seen[b.ID]; known && last == b {
			continue
		}
		seen[b.ID] = b
		a.word("body")
		a.whole(b.ID)
		a.numbers(b.Pose[:]...)
		a.whole(b.In.Robot(), b.In.Goal())
	}
}

// event adds an event. A thing that is no body (a wall, a part, a motion) is -1.
func (a *account) event(e record.Event, bodies map[string]int) {
	body, known := bodies[e.What]
	if !known {
		body = -1
	}
	a.word(string(e.Kind))
	a.numbers(e.T)
	a.whole(e.Robot, body, e.Line)
}

func (a *account) sheet(s record.Sheet) {
	for _, row := range s.Rows {
		a.word("rule " + row.Rule)
		a.numbers(row.Count...)
		a.numbers(row.Points...)
	}
	a.word("total")
	a.numbers(s.Total...)
	a.whole(s.Winner)
	for _, left := range s.Left {
		a.word("left")
		a.numbers(left.Battery, left.Air)
		a.whole(left.Strokes)
	}
}

// What a record's format alone decides leaves the hash as it is; what happened does not.
func TestWhatHappenedIsToldApartFromHowItIsWritten(t *testing.T) {
	whole := rehearsed(t, demo(t))
	want := happened(whole)
	contact := slices.IndexFunc(whole.Events, func(e record.Event) bool { return e.Kind == record.Clamped })
	if contact < 0 {
		t.Fatal("the demo clamps nothing")
	}
	for name, c := range map[string]struct {
		differs bool
		change  func(*record.Record)
	}{
		"text":          {false, func(r *record.Record) { r.Events[contact].Text = "otherwise put" }},
		"header":        {false, func(r *record.Record) { r.Header.Program, r.Header.Field.SHA256 = "9", "0" }},
		"negative zero": {false, func(r *record.Record) { negateZeros(r) }},
		"still bodies": {false, func(r *record.Record) {
			r.Samples[1].Bodies = slices.Concat(r.Samples[0].Bodies[:1], r.Samples[1].Bodies)
		}},
		"pose":   {true, func(r *record.Record) { r.Samples[500].Robots[0].True[2] += 1e-6 }},
		"belief": {true, func(r *record.Record) { r.Samples[500].Robots[0].Belief[0] -= 1e-6 }},
		"speed":  {true, func(r *record.Record) { r.Samples[500].Robots[0].Velocity[1] += 1e-6 }},
		"body":   {true, func(r *record.Record) { r.Samples[0].Bodies[3].Pose[0] += 1e-6 }},
		"holder": {true, func(r *record.Record) { r.Samples[0].Bodies[3].In++ }},
		"time":   {true, func(r *record.Record) { r.Events[contact].T += 0.001 }},
		"kind":   {true, func(r *record.Record) { r.Events[contact].Kind = record.Missed }},
		"thing":  {true, func(r *record.Record) { r.Events[contact].What = r.Header.Bodies[0].Name }},
		"line":   {true, func(r *record.Record) { r.Events[contact].Line++ }},
		"points": {true, func(r *record.Record) { r.Sheet.Rows[0].Points[0]++ }},
		"air":    {true, func(r *record.Record) { r.Sheet.Left[0].Air++ }},
	} {
		changed := reread(t, whole)
		c.change(changed)
		if got := happened(changed); (got != want) != c.differs {
			t.Errorf("%s: the hash differs: %v, want %v", name, got != want, c.differs)
		}
	}
}

func negateZeros(r *record.Record) {
	for i := range r.Samples {
		for j := range r.Samples[i].Robots {
			speeds := &r.Samples[i].Robots[j].Velocity
			for k, x := range speeds {
				if x == 0 {
					speeds[k] = math.Copysign(0, -1)
				}
			}
		}
	}
}

// reread is a record that can be changed without changing the one that it was copied from.
func reread(t rapid.TB, rec *record.Record) *record.Record {
	var file bytes.Buffer
	if err := rec.Write(&file); err != nil {
		t.Fatal(err)
	}
	read, err := record.Read("copy", &file)
	if err != nil {
		t.Fatal(err)
	}
	return read
}
