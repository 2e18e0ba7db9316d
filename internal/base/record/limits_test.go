package record

import (
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"chalkfield/internal/base/atomicfile"
)

// A record of next to nothing a line must not fill the memory, nor a line without an end.
func TestARecordThatFillsTheMemoryIsRefused(t *testing.T) {
	text := written(t, small())
	header := text[:strings.Index(text, "\n")+1]
	for _, c := range []struct{ name, text, want string }{
		{"small events", header + strings.Repeat("{\"event\":{\"t\":0}}\n", 5000), "the lines to here fill 1 MB of memory"},
		{"an endless line", header + `{"event":{"text":"` + strings.Repeat("x", mostLine),
			"x.jsonl:2: a line of more than 4 MB"},
	} {
		if _, err := read("x.jsonl", strings.NewReader(c.text), 1<<20); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want ...%s...", c.name, err, c.want)
		}
	}
}

// What is written can be read back: the same limits hold for both, to the byte.
func TestARecordThatCouldNotBeReadBackIsNotWritten(t *testing.T) {
	rec := small()
	text := written(t, rec)
	kind := func(most int) atomicfile.Kind { return atomicfile.Kind{Name: "a record", Most: int64(most)} }
	read := &reading{Record: &Record{}, hash: sha256.New(), most: mostMemory}
	for _, l := range strings.SplitAfter(strings.TrimSpace(text), "\n") {
		if err := read.takeLine([]byte(l)); err != nil {
			t.Fatal(err)
		}
	}
	if err := rec.write(io.Discard, kind(len(text)), read.memory); err != nil {
		t.Errorf("one that just fits: %v", err)
	}
	const instead = "cannot be read back: take a shorter session or fewer robots"
	for name, err := range map[string]error{
		"a byte too long":       rec.write(io.Discard, kind(len(text)-1), read.memory),
		"a byte of memory more": rec.write(io.Discard, kind(len(text)), read.memory-1),
	} {
		if err == nil || !strings.HasSuffix(err.Error(), instead) {
			t.Errorf("%s: got %v, want ...%s", name, err, instead)
		}
	}
}

// One that grows is refused at the first sample that is too much, whatever comes after it.
func TestAGrowingRecordIsRefusedWhenItIsTooLarge(t *testing.T) {
	rec, whole := small(), small().Samples
	length := 0
	var samples codec
	for i := range whole {
		text, err := samples.writeSample(&whole[i])
		if err != nil {
			t.Fatal(err)
		}
		length += len(text)
	}
	for _, c := range []struct{ most, fits int }{{length, len(whole)}, {length - 1, len(whole) - 1}} {
		g := newGrowing(atomicfile.Kind{Name: "a record", Most: int64(c.most)})
		for n := range len(whole) + 1 {
			rec.Samples = whole[:n]
			if err := g.Watch(rec); (err == nil) != (n <= c.fits) {
				t.Errorf("%d bytes, %d samples: %v", c.most, n, err)
			}
		}
	}
}

// The guide's page commands has the other of the two limits.
func TestTheGuideHasTheLimitOfMemory(t *testing.T) {
	page, err := os.ReadFile("../../../assets/guide/commands.md")
	if want := fmt.Sprintf("in memory %d MB", mostMemory>>20); err != nil || !strings.Contains(string(page), want) {
		t.Errorf("%v: assets/guide/commands.md lacks %q", err, want)
	}
}

func TestNotFiniteNamesTheQuantity(t *testing.T) {
	nan, endless := math.NaN(), math.Inf(-1)
	for _, c := range []struct {
		want   string
		robot  int
		damage func(s *Sample)
	}{
		{"", -1, func(*Sample) {}},
		{"the pose", 0, func(s *Sample) { s.Robots[0].True[2] = nan; s.Robots[0].Belief[0] = nan }},
		{"the motors' current", 0, func(s *Sample) { s.Robots[0].Amps[1] = endless }},
		{"the battery's voltage", 0, func(s *Sample) { s.Robots[0].Battery = nan }},
		{"the belief", 0, func(s *Sample) { s.Robots[0].Belief[0] = nan }},
		{`the part "claw"`, 0, func(s *Sample) { s.Robots[0].Parts[1].Value = nan }},
		{`the sensor "eye"`, 0, func(s *Sample) { s.Robots[0].Sensors[0] = nan }},
		{"the planned curve", 0, func(s *Sample) { s.Robots[0].News = &News{Plan: [][2]float64{{0, 0}, {0, endless}}} }},
		{"the place of core 1", -1, func(s *Sample) { s.Bodies[0].Pose[1] = nan }},
	} {
		h := Header{Robots: []Robot{{Parts: []Part{{Name: "lift"}, {Name: "claw"}}, Sensors: []string{"eye"}}},
			Bodies: []Body{{Name: "core 1"}}}
		s := Sample{Robots: []RobotSample{{Parts: make([]PartSample, 2), Sensors: make([]float64, 1)}},
			Bodies: make([]BodySample, 1)}
		c.damage(&s)
		if quantity, robot := s.NotFinite(&h); quantity != c.want || robot != c.robot {
			t.Errorf("got %q of %d, want %q of %d", quantity, robot, c.want, c.robot)
		}
	}
	for _, e := range []Event{{T: nan}, {Value: endless}, {Settle: nan}, {At: &[2]float64{0, nan}}} {
		if !e.NotFinite() {
			t.Errorf("%+v counts as finite", e)
		}
	}
	if (&Event{T: 1, At: &[2]float64{}}).NotFinite() {
		t.Error("a good event counts as not finite")
	}
}
