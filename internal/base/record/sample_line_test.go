package record

import (
	"reflect"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
)

// filled gives every member of a sample a value, found by reflection: one that the codec forgets is missed when it is
// read back.
func filled(t *rapid.T, into reflect.Value) {
	switch into.Kind() {
	case reflect.Struct:
		for i := range into.NumField() {
			filled(t, into.Field(i))
		}
	case reflect.Array:
		for i := range into.Len() {
			filled(t, into.Index(i))
		}
	case reflect.Pointer:
		into.Set(reflect.New(into.Type().Elem()))
		filled(t, into.Elem())
	case reflect.Slice:
		into.Set(reflect.MakeSlice(into.Type(), rapid.IntRange(1, 3).Draw(t, "count"), 3))
		for i := range into.Len() {
			filled(t, into.Index(i))
		}
	case reflect.Float64:
		into.SetFloat(rapid.OneOf(rapid.Float64(), rapid.Map(rapid.Float64Range(-1e6, 1e6),
			Round)).Filter(func(x float64) bool { return x != 0 }).Draw(t, "number"))
	case reflect.Int:
		into.SetInt(int64(rapid.IntRange(1, 1<<40).Draw(t, "integer")) * int64(rapid.SampledFrom([]int{-1, 1}).Draw(t,
			"sign")))
	case reflect.Bool:
		into.SetBool(true)
	case reflect.String:
		into.SetString(string(rapid.SampledFrom(activities).Draw(t, "activity")))
	default:
		t.Fatalf("a sample has a member of the kind %v, which the codec does not know", into.Kind())
	}
}

func TestEveryMemberOfASampleIsReadBack(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		var c codec
		var want Sample
		filled(t, reflect.ValueOf(&want).Elem())
		for range 2 { // the second shares slabs with the first
			line, err := c.writeSample(&want)
			if err != nil {
				t.Fatal(err)
			}
			var reader codec
			got, err := reader.readSample(line)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Fatalf("(-want +got):\n%s\n%s", diff, line)
			}
		}
	})
}

func TestASampleThatIsOtherwiseIsRefused(t *testing.T) {
	const good = `{"sample":{"t":0.02,"r":[{"p":[1,2,3],"v":[0,0,0],"q":[1,2,3],"w":[0,0],"wh":[0,0],` +
		`"u":[0,0],"i":[0,0],"e":12,"s":[0,0],"d":"idle"}]}}` + "\n"
	if _, err := new(codec).readSample([]byte(good)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, want string }{
		{`"v":`, `"vv":`, `with ,"v":[ where it has ",\"vv\":[0,0,0`},
		{`[1,2,3]`, `[1,2]`, `with , where it has "],`},
		{`[1,2,3]`, `[1,2,3,4]`, `with ] where it has ",4]`},
		{`"e":12`, `"e":NaN`, `with a number where it has "NaN`},
		{`"e":12`, `"e":1-2`, `with a number where it has "1-2`},
		{`"idle"`, `"asleep"`, `with " where it has "asleep`},
		{`"idle"`, `"idle","m":[7]`, `with {"u": where it has "7]`},
		{`]}}`, `]} }`, `with }} where it has "} }`},
		{"}}\n", "}}\n\n", `the end of the line`},
	} {
		line := strings.Replace(good, c.old, c.new, 1)
		if _, err := new(codec).readSample([]byte(line)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want ...%s...", c.new, err, c.want)
		}
	}
}

// The longest record is to take no more memory than its file is long, and what reading throws away is memory too until
// it is collected: so all that is allocated counts.
func TestReadingAllocatesLittleMoreThanTheFileIsLong(t *testing.T) {
	r := small()
	for i := range 20000 {
		s := r.Samples[0]
		s.T = Round(1 + float64(i)*SamplePeriod)
		s.Robots = []RobotSample{{
			True: Pose{1.234567, 2.345678, 3.456789}, Belief: Pose{1.234567, 2.345678, 3.456789},
			Velocity: [3]float64{0.123456, 0.234567, 0.345678},
			Volts:    [2]float64{-10.230172, 10.230172}, Amps: [2]float64{-6.020741, 5.912998}, Battery: 11.28688, Doing: Moving,
			Lines: []int{57, 12},
			Parts: []PartSample{{Volts: 11, Value: 1.372634, Body: -1}}, Sensors: []float64{2.747846},
			Slip: [2]float64{0.280085, 0.473084},
		}}
		r.Samples = append(r.Samples, s)
	}
	text := written(t, r)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, err := Read("x.jsonl", strings.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if share := float64(after.TotalAlloc-before.TotalAlloc) / float64(len(text)); share > 2 {
		t.Errorf("reading %d bytes allocated %.1f times as many, want at most 2", len(text), share)
	} else {
		t.Logf("reading allocates %.2f times the file", share)
	}
}

// A record may be read while it is written: the race detector, which runs this by its name, finds a write.
func TestASampleIsWrittenAndReadInParallel(t *testing.T) {
	s := Sample{Robots: []RobotSample{{Doing: Idle, Parts: []PartSample{{Out: true}}}}, Bodies: []BodySample{{ID: 1}}}
	was := Sample{Robots: []RobotSample{{Doing: Idle, Parts: []PartSample{{Out: true}}}}, Bodies: []BodySample{{ID: 1}}}
	written := make(chan error)
	go func() {
		_, err := new(codec).writeSample(&s)
		written <- err
	}()
	diff := cmp.Diff(was, s)
	if err := <-written; err != nil || diff != "" || cmp.Diff(was, s) != "" {
		t.Errorf("%v, read meanwhile it differs: %s", err, diff)
	}
}
