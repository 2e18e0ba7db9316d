package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"chalkfield/internal/base/property"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// small is a record with every kind of line.
func small() *Record {
	robot := Robot{File: File{Name: "r.toml"}, Outline: [][2]float64{{0.2, 0.2}}, Parts: []Part{{"arm", "lift"}},
		Sensors: []string{"left"}, Signals: []Signal{{"error", "mm"}}}
	sample := func(t float64) Sample {
		return Sample{T: t, Robots: []RobotSample{{True: Pose{t, 2, 3}, Doing: Moving, Parts: []PartSample{{Body: -1}},
			Sensors: []float64{0.25}}}}
	}
	first, second := sample(0), sample(0.02)
	second.Robots[0].News = &News{Said: []Said{{0, -1.5}}}
	first.Bodies = []BodySample{{ID: 0, Pose: Pose{1, 1, 0}}, {ID: 1, In: InGoal(0)}}
	return &Record{
		Header: Header{Format: Format, Version: Version, Robots: []Robot{robot}, Bodies: []Body{{Kind: "sled", Goal: true},
			{Kind: "core"}}, Seed: 1<<64 - 1},
		Sources: []Source{{Of: "0f", Name: "r.toml", Text: "title = \"R\"\n"}},
		Samples: []Sample{first, second, sample(0.04)},
		Events: []Event{{T: 0, Kind: PhaseStart, Robot: -1}, {T: 0.03, Kind: Note, Text: "a < b & \"c\""},
			{T: 0.05, Kind: Failure}},
		Sheet: Sheet{Sides: []string{"a", "b"}, Rows: []Row{{"r", []float64{1, 0}, []float64{2, 0}}},
			Total: []float64{2, 0}},
	}
}

func written(t testing.TB, r *Record) string {
	var out bytes.Buffer
	if err := r.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestARecordReadBackEqualsTheOneWritten(t *testing.T) {
	want := small()
	got, err := Read("x.jsonl", strings.NewReader(written(t, want)))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestLinesAreInOrderOfTime(t *testing.T) {
	var order []string
	for _, l := range strings.Split(strings.TrimSpace(written(t, small())), "\n") {
		order = append(order, strings.SplitN(l, `"`, 3)[1])
	}
	want := "header source event sample sample event sample event sheet fingerprint"
	if got := strings.Join(order, " "); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// The promise that DEVELOPERS.md makes: anyone can check the last line with a SHA-256 of the bytes before it.
func TestTheFingerprintIsTheHashOfTheLinesBefore(t *testing.T) {
	text := written(t, small())
	body := text[:strings.LastIndex(strings.TrimSuffix(text, "\n"), "\n")+1]
	sum := sha256.Sum256([]byte(body))
	print, err := small().Fingerprint()
	if want := hex.EncodeToString(sum[:]); err != nil || print != want ||
		!strings.Contains(text, `{"fingerprint":"`+want+`"}`) {
		t.Errorf("Fingerprint() = %s, %v; sha256 of the body = %s", print, err, want)
	}
}

func TestADamagedFileIsRefusedWithItsLine(t *testing.T) {
	good := written(t, small())
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "x.jsonl:1: the record ends before its fingerprint"},
		{"cut between lines", good[:strings.LastIndex(good, `{"sheet"`)],
			"x.jsonl:9: the record ends before its fingerprint"},
		{"cut within a line", good[:len(good)-200], "not a line of a Chalkfield record"},
		{"changed", strings.Replace(good, `"p":[0.02,2,3]`, `"p":[0.03,2,3]`, 1), "the fingerprint does not fit"},
		{"not ours", "hello\n", "x.jsonl:1: not a line of a Chalkfield record"},
		{"unknown member", strings.Replace(good, `"units"`, `"unitz"`, 1), "x.jsonl:1: not a line"},
		{"an older version", strings.Replace(good, `"version":2,"program":""`, `"version":1,"program":"1.0.0"`, 1),
			"x.jsonl:1: a chalkfield record of version 1, made by Chalkfield 1.0.0; this one reads version 2: rehearse again"},
		{"no header", good[strings.Index(good, "\n")+1:], "x.jsonl:1: the header must be the first line"},
		{"unknown body", strings.Replace(good, `{"id":1,`, `{"id":7,`, 1), "body 7: the header has bodies 0 to 1"},
		{"unknown signal", strings.Replace(good, `"g":[[0,`, `"g":[[1,`, 1),
			"robot 0: signal 1: the header has 1"},
		{"time goes back", strings.Replace(good, `{"t":0.04,"r"`, `{"t":0.01,"r"`, 1), "times must rise"},
		{"blank line", strings.Replace(good, "\n", "\n{}\n", 1), "x.jsonl:2: an empty line"},
	} {
		_, err := Read("x.jsonl", strings.NewReader(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want ...%s...", c.name, err, c.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(written(f, small())))
	f.Fuzz(func(t *testing.T, data []byte) {
		property.Bounded(t, func() {
			r, err := Read("x", bytes.NewReader(data))
			if (r == nil) == (err == nil) {
				t.Errorf("record %v, error %v: want exactly one", r, err)
			}
		})
	})
}

func TestHolderSaysWhatItWasMadeOf(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 999).Draw(t, "n")
		if HeldByRobot(n).Robot() != n || HeldByRobot(n).Goal() != -1 || InGoal(n).Goal() != n || InGoal(n).Robot() != -1 {
			t.Errorf("%d: held %v, in goal %v", n, HeldByRobot(n), InGoal(n))
		}
		if p := WithPerson(n); p.Person() != n || p.Robot() != -1 || p.Goal() != -1 || HeldByRobot(n).Person() != -1 ||
			InGoal(n).Person() != -1 {
			t.Errorf("%d: with a person %v", n, p)
		}
	})
	if OnFloor.Robot() != -1 || OnFloor.Goal() != -1 || OnFloor.Person() != -1 {
		t.Error("the floor is no robot, no goal and no person")
	}
}
