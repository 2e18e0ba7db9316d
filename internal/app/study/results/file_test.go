package results

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/record"
)

// header is of a made-up study of 40 rehearsals.
func header() Header {
	return Header{
		Format: Format, Version: Version, Program: "test", Kind: Trials, Count: 40, Seed: 100, Need: 12, Seconds: 20,
		Session: "autonomous",
		Field:   record.File{Name: "yard.toml", SHA256: "aa"}, Sides: []string{"ochre", "teal"},
		Rules: []string{"core in sled"}, Shard: Whole,
		Variants: []Variant{{
			Name: "mine.lua", Drawn: []string{"grip"}, Fingerprint: "ff",
			Robots: []record.Robot{{File: record.File{Name: "robot.toml", SHA256: "bb"},
				Routine: record.File{Name: "mine.lua", SHA256: "cc"}}},
			Plan: Result{Total: []float64{12, 0}, Count: []float64{6}, Points: []float64{12}},
		}},
	}
}

// rehearse is a made-up rehearsal that depends on its seed alone.
func rehearse(h *Header, job int) Result {
	stream := rand.New(rand.NewPCG(h.SeedOf(job), 1))
	points := float64(2 * stream.IntN(7))
	return Result{
		Seed: h.SeedOf(job), Total: []float64{points, 0}, Count: []float64{points / 2}, Points: []float64{points},
		Drawn: []float64{record.Round(stream.NormFloat64())},
		Did:   []Moment{{T: 1.5, Kind: record.Missed, What: "clamp", Why: strings.Repeat("long ", stream.IntN(40))}},
	}
}

// do goes on with a study until it is done or stop says so, and closes the journal.
func do(t *testing.T, path string, h Header, workers int, resume bool) {
	t.Helper()
	if err := work(path, h, workers, resume); err != nil {
		t.Fatal(err)
	}
}

func work(path string, h Header, workers int, resume bool) error {
	j, err := Begin(path, h, resume)
	if err != nil {
		return err
	}
	err = pool.Each(context.Background(), j.Todo(), workers, func(_ context.Context, job int) (Result,
		error) {
		return rehearse(&h, job), nil
	}, j.Add)
	if closing := j.Close(); err == nil {
		err = closing
	}
	return err
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestWorkersOfAnyNumberWriteTheSameBytes(t *testing.T) {
	dir := t.TempDir()
	do(t, filepath.Join(dir, "1"), header(), 1, false)
	want := read(t, filepath.Join(dir, "1"))
	for _, workers := range []int{2, 8} {
		path := filepath.Join(dir, fmt.Sprint(workers))
		do(t, path, header(), workers, false)
		if read(t, path) != want {
			t.Errorf("%d workers write another file", workers)
		}
	}
	f, err := Read(filepath.Join(dir, "1"))
	if err != nil || !f.Finished || f.Have() != 40 {
		t.Errorf("read back: %v", err)
	}
}

// An unfinished file is cut at every byte; going on from there must give the bytes of the study that nothing cut.
func TestResumeGoesOnFromACutAtAnyByte(t *testing.T) {
	dir := t.TempDir()
	whole, cut := filepath.Join(dir, "whole"), filepath.Join(dir, "cut")
	h := header()
	h.Count = 5
	do(t, whole, h, 1, false)
	want := read(t, whole)
	begun := want[:strings.LastIndex(want[:len(want)-1], "\n")+1] // without the last line: as it is while under way
	headerEnds := strings.Index(begun, "\n") + 1
	for at := headerEnds; at <= len(begun); at++ {
		before, err := parse(strings.NewReader(begun[:at]))
		if err != nil {
			t.Fatalf("cut at %d: %v", at, err)
		}
		if lines := strings.Count(begun[:at], "\n") - 1; before.Have() != lines {
			t.Fatalf("cut at %d: %d results kept of %d whole lines", at, before.Have(), lines)
		}
		if at%23 != 0 && begun[at-1] != '\n' { // going on takes a few milliseconds of disk each
			continue
		}
		if err := os.WriteFile(cut, []byte(begun[:at]), 0o644); err != nil {
			t.Fatal(err)
		}
		do(t, cut, h, 1, true)
		if read(t, cut) != want {
			t.Fatalf("cut at %d: going on gives another file", at)
		}
	}
}

// Whole and in parts: done to a small count and then to a greater one equals done to the greater at once.
func TestResumeGoesOnToAGreaterCount(t *testing.T) {
	dir := t.TempDir()
	for _, shard := range []Shard{Whole, {2, 3}} {
		small, large := header(), header()
		small.Shard, large.Shard = shard, shard
		small.Count = 7
		whole, grown := filepath.Join(dir, fmt.Sprint("whole", shard.Of)), filepath.Join(dir, fmt.Sprint("grown", shard.Of))
		do(t, whole, large, 1, false)
		do(t, grown, small, 1, false)
		do(t, grown, large, 2, true)
		if read(t, grown) != read(t, whole) {
			t.Errorf("part %d of %d grows to another file", shard.Number, shard.Of)
		}
		if err := work(grown, small, 1, true); err == nil || !strings.Contains(err.Error(), "count 7 against 40") {
			t.Errorf("a smaller count: %v", err)
		}
	}
}

// A scheduler may start a task again while the first one still runs.
func TestTwoAtOnceOnOneFileLoseNothing(t *testing.T) {
	dir := t.TempDir()
	alone, shared := filepath.Join(dir, "alone"), filepath.Join(dir, "shared")
	h := header()
	do(t, alone, h, 1, false)
	first, err := Begin(shared, h, false)
	if err != nil {
		t.Fatal(err)
	}
	second, err := Begin(shared, h, true)
	if err != nil {
		t.Fatal(err)
	}
	for job := range 10 {
		for _, j := range []*Journal{first, second} {
			if err := j.Add([]pool.Done[Result]{{Index: job, Result: rehearse(&h, job)}}); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, j := range []*Journal{first, second} {
		if err := j.Close(); err != nil {
			t.Fatal(err)
		}
	}
	do(t, shared, h, 1, true)
	if read(t, shared) != read(t, alone) {
		t.Error("two at once leave another file than one alone")
	}
}

const killed = "CHALKFIELD_TEST_STUDY_TO_KILL"

// This is the child of the test below: it works on a study slowly until it is killed.
func TestMain(m *testing.M) {
	if path := os.Getenv(killed); path != "" {
		h := header()
		j, err := Begin(path, h, true)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		err = pool.Each(context.Background(), j.Todo(), 2, func(_ context.Context, job int) (Result, error) {
			time.Sleep(2 * time.Millisecond)
			return rehearse(&h, job), nil
		}, j.Add)
		if err == nil {
			err = j.Close()
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

func TestAKillAtARandomMomentLosesNothing(t *testing.T) {
	dir := t.TempDir()
	do(t, filepath.Join(dir, "whole"), header(), 1, false)
	want := read(t, filepath.Join(dir, "whole"))
	stream := rand.New(rand.NewPCG(8, 8))
	for round := range 4 {
		path := filepath.Join(dir, fmt.Sprint("killed ", round))
		have, kills := 0, 0
		for finished := false; !finished; {
			if killedWhile(t, path, stream.Int64N(3000)) {
				kills++
			}
			f, err := Read(path)
			if os.IsNotExist(err) {
				continue // killed before the first line
			}
			if err != nil {
				t.Fatal(err)
			}
			if f.Have() < have {
				t.Fatalf("%d results, before the kill %d", f.Have(), have)
			}
			have, finished = f.Have(), f.Finished
		}
		if kills == 0 {
			t.Error("never killed")
		}
		if read(t, path) != want {
			t.Errorf("after %d kills the file differs from the one of an undisturbed run", kills)
		}
		if left, _ := filepath.Glob(path + "*"); len(left) != 1 {
			t.Errorf("left behind: %v", left)
		}
	}
}

// killedWhile lets a child work on the study until the file has grown by so many bytes, then kills it. It reports false
// if the child came to its end before.
func killedWhile(t *testing.T, path string, grown int64) bool {
	t.Helper()
	size := func() int64 {
		info, err := os.Stat(path)
		if err != nil {
			return -1 // not there yet
		}
		return info.Size()
	}
	before := size()
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), killed+"="+path)
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- child.Wait() }()
	look := time.NewTicker(200 * time.Microsecond)
	defer look.Stop()
	hanging := time.After(2 * time.Minute)
	for {
		select {
		case err := <-ended:
			if err != nil {
				t.Fatal(err)
			}
			return false
		case <-look.C:
			if size() > before+grown {
				child.Process.Kill()
				return <-ended != nil
			}
		case <-hanging:
			child.Process.Kill()
			t.Fatal("the file does not grow")
		}
	}
}

func TestBeginRefusesWhatItMustNotTouch(t *testing.T) {
	dir := t.TempDir()
	text, unfinished, finished := filepath.Join(dir, "mine.lua"), filepath.Join(dir, "unfinished"),
		filepath.Join(dir, "finished")
	if err := os.WriteFile(text, []byte("return routine {}\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	do(t, finished, header(), 1, false)
	lines := strings.SplitAfter(read(t, finished), "\n")
	if err := os.WriteFile(unfinished, []byte(strings.Join(lines[:8], "")), 0o644); err != nil {
		t.Fatal(err)
	}
	seed, routine := header(), header()
	seed.Seed = 7
	routine.Variants[0].Robots[0].Routine.SHA256 = "dd"
	shard := header()
	shard.Shard = Shard{2, 4}
	more, fewer := header(), header()
	more.Count, fewer.Count = 50, 4
	damaged := filepath.Join(dir, "damaged")
	if err := os.WriteFile(damaged, []byte(lines[0]+lines[1]+strings.Replace(lines[1], `"t":1.5`, `"t":1.6`,
		1)+lines[2]), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, path string
		h          Header
		resume     bool
		want       string
	}{
		{"a file that is no study", text, header(), false, "not a study file"},
		{"the same with --resume", text, header(), true, "not a study file"},
		{"an unfinished study without --resume", unfinished, header(), false,
			"7 of the 40 rehearsals of this study, unfinished: add --resume"},
		{"another unfinished study", unfinished, seed, false,
			"7 rehearsals of another, unfinished study (base seed 7 against 100): remove it or name"},
		{"another finished study", finished, routine, false,
			"holds another, finished study (routine mine.lua (dd) against mine.lua (cc)): remove it or name another " +
				"file with --out"},
		{"a finished study and a greater count", finished, more, false,
			"holds 40 rehearsals of this study with -n 40: add --resume to add to them"},
		{"a finished study and a smaller count", finished, fewer, false, "another, finished study (count 4 against 40)"},
		{"a damaged study", damaged, header(), false, "line 3: its sum does not fit: the line was changed after it was " +
			"written; it is left alone"},
		{"another seed", unfinished, seed, true, "base seed 7 against 100"},
		{"another routine", unfinished, routine, true, "routine mine.lua (dd) against mine.lua (cc)"},
		{"another part", unfinished, shard, true, "number of parts 4 against 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := read(t, c.path)
			if _, err := Begin(c.path, c.h, c.resume); err == nil || !strings.Contains(err.Error(), c.want) ||
				strings.Contains(err.Error(), "\n") {
				t.Errorf("error %v, want one line with %q", err, c.want)
			}
			if read(t, c.path) != before {
				t.Error("the file was changed")
			}
		})
	}
	before := read(t, finished)
	do(t, finished, header(), 1, false) // the same study is made anew
	if read(t, finished) != before {
		t.Error("the same study gives another file")
	}
}

func TestAMergedStudyReplacesOnlyItself(t *testing.T) {
	dir := t.TempDir()
	names, files := parts(t, dir, 2)
	whole, err := merged(names, files)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "all")
	for range 2 { // anew, and over itself
		if err := WriteMerged(path, whole); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ path, text, want string }{
		{filepath.Join(dir, names[0]), "", "another, finished study (number of parts 1 against 2)"},
		{filepath.Join(dir, "mine.lua"), "return routine {}\n",
			"not a study file of Chalkfield: name what trials, compare or sweep wrote with --out"},
		{filepath.Join(dir, "damaged"), strings.Replace(read(t, path), `"job":3,`, `"job":4,`, 1), "it is left alone"},
	} {
		if c.text != "" {
			if err := os.WriteFile(c.path, []byte(c.text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		before := read(t, c.path)
		if err := WriteMerged(c.path, whole); err == nil || !strings.Contains(err.Error(), c.want) ||
			read(t, c.path) != before {
			t.Errorf("%s: %v, want %q and the file as it was", c.path, err, c.want)
		}
	}
}

// A total changed by hand, in an unfinished file or an older program's, is not gone on with.
func TestAChangedFileIsNotResumed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "study")
	do(t, path, header(), 1, false)
	lines := strings.SplitAfter(read(t, path), "\n")
	begun := strings.Join(lines[:8], "")
	for text, want := range map[string]string{
		strings.Replace(begun, `"need":12`, `"need":2`, 1): "line 1: its sum " +
			"does not fit",
		begun[:len(lines[0])] + strings.Replace(begun[len(lines[0]):], `"total":[`, `"total":[9`, 1): "its sum does not fit",
		strings.Replace(begun, `"version":5`, `"version":2`,
			1): "a study file of version 2",
	} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		err := work(path, header(), 1, true)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") ||
			read(t, path) != text {
			t.Errorf("%v, want one line with %q and the file as it was", err, want)
		}
	}
}

func TestPossibleNamesTheLimit(t *testing.T) {
	for _, c := range []struct {
		count, points int
		want          string
	}{
		{1_000_000, 1, ""}, {100, 10_000, ""},
		{0, 1, "0 rehearsals: give -n 1 or more"}, {1_000_000_000_000, 1, "at most 1000000 are possible"},
		{1000, 1_000_000, "a grid of 1000000 points: at most 10000 are possible"}, {101, 10_000, "at most -n 100 here"},
	} {
		switch err := Possible(c.count, c.points); {
		case c.want == "" && err != nil, c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%d at %d: %v, want %q", c.count, c.points, err, c.want)
		}
	}
}

// sealed gives each line of a text a sum that fits.
func sealed(text string) string {
	var out strings.Builder
	var s seal
	for _, raw := range strings.SplitAfter(text, "\n") {
		content, _, found := strings.Cut(raw, sumBegins)
		if !found {
			out.WriteString(raw)
			continue
		}
		sum := s.of([]byte(content))
		if strings.HasPrefix(content, `{"header"`) {
			s.header = sum
		}
		out.WriteString(content + sumBegins + sum + "\"}\n")
	}
	return out.String()
}

func TestReadRefusesAChangedFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "study")
	do(t, path, header(), 1, false)
	good := read(t, path)
	lines := strings.SplitAfter(good, "\n")
	for _, c := range []struct{ name, text, want string }{
		{"a number changed", sealed(strings.Replace(good, `"job":3,`, `"job":4,`, 1)),
			"rehearsal 4 has seed 103 instead of 104"},
		{"a text changed, with its line's sum", sealed(strings.Replace(good, `"y":"long `, `"y":"Long `, 1)),
			"hash does not fit"},
		{"a text changed", strings.Replace(good, `"y":"long `, `"y":"Long `, 1), "sum does not fit"},
		{"a score of an unfinished one changed", strings.Join(lines[:4], "") +
			strings.Replace(lines[4], `"total":[`, `"total":[9`, 1) + lines[5], "line 5: its sum does not fit"},
		{"a score of its last line changed", strings.Join(lines[:4], "") +
			strings.Replace(lines[4], `"total":[`, `"total":[9`, 1), "line 5: its sum does not fit"},
		{"a line of another study", lines[0] + strings.SplitAfter(sealed(strings.Replace(good, `"need":12`, `"need":13`,
			1)), "\n")[1], "line 2: its sum does not fit"},
		{"a line without sum", lines[0] + lines[1][:strings.Index(lines[1], `,"sum"`)] + "}\n" + lines[2],
			"line 2: its sum does not fit"},
		{"an older version", strings.Replace(good, `"version":5,"program":"test"`, `"version":2,"program":"0.1"`, 1),
			"a study file of version 2, made by Chalkfield 0.1; this one reads version 5 only"},
		{"a rehearsal twice", sealed(lines[0] + lines[1] + strings.Replace(lines[1], `"t":1.5`, `"t":1.6`, 1)),
			"line 3: rehearsal 0 is there twice, with two results"},
		{"a broken line in the middle", lines[0] + "{\"result\"\n" + lines[1], "line 2:"},
		{"a line after the end", good + lines[1], "after its last one"},
		{"a line lacking", strings.Replace(good, lines[5], "", 1), "line 41:"},
		{"another format", sealed(strings.Replace(good, Format, "something", 1)), "not a study file"},
		{"an impossible part", sealed(strings.Replace(good, `"shard":{"number":1,"of":1}`, `"shard":{"number":3,"of":2}`,
			1)), "no part 3 of 2"},
		{"parts without number", sealed(strings.Replace(good, `"shard":{"number":1,"of":1}`,
			`"shard":{"number":1,"of":99999999999}`, 1)), "at most 1000000"},
		{"nothing", "", "no header"},
		{"a giant", sealed(strings.Replace(good, `"count":40`, `"count":99999999`, 1)), "at most"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := parse(strings.NewReader(c.text)); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
}

// parts makes the files of a study in n parts.
func parts(t *testing.T, dir string, n int) (names []string, files []*File) {
	t.Helper()
	for i := range n {
		h := header()
		h.Shard = Shard{i + 1, n}
		path := filepath.Join(dir, fmt.Sprintf("part %d of %d", i+1, n))
		do(t, path, h, 2, false)
		f, err := Read(path)
		if err != nil {
			t.Fatal(err)
		}
		names, files = append(names, filepath.Base(path)), append(files, f)
	}
	return names, files
}

func TestMergedPartsEqualTheSingleRunByteForByte(t *testing.T) {
	dir := t.TempDir()
	single := filepath.Join(dir, "single")
	do(t, single, header(), 2, false)
	for _, n := range []int{1, 3, 16, 41} {
		names, files := parts(t, dir, n)
		for i := range files { // the order in which parts are named must not matter
			j := (i * 7) % n
			names[i], names[j], files[i], files[j] = names[j], names[i], files[j], files[i]
		}
		whole, err := merged(names, files)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, "merged")
		if err := Write(path, whole); err != nil {
			t.Fatal(err)
		}
		if read(t, path) != read(t, single) {
			t.Errorf("%d parts merged differ from the single run", n)
		}
	}
}

func TestMergeRefusesPartsThatDoNotFit(t *testing.T) {
	dir := t.TempDir()
	names, files := parts(t, dir, 6)
	foreign := *files[2]
	foreign.Header.Variants = append([]Variant(nil), foreign.Header.Variants...)
	foreign.Header.Variants[0].Fingerprint = "00"
	other := *files[2]
	other.Header.Shard.Of = 7
	unfinished := *files[2]
	unfinished.Finished = false
	for _, c := range []struct {
		name  string
		parts []int
		extra *File
		want  string
	}{
		{"missing parts", []int{0, 2, 5}, nil, "of 6 parts these are missing: 2, 4-5"},
		{"a part twice", []int{0, 1, 2, 3, 4, 5, 1}, nil, "part 2 of 6 and part 2 of 6 are both part 2 of 6"},
		{"a part of another study", []int{0, 1, 3, 4, 5}, &foreign,
			"extra is not of the same study as part 1 of 6: nominal rehearsal ff against 00"},
		{"a part of another division", []int{0, 1, 3, 4, 5}, &other, "number of parts 6 against 7"},
		{"an unfinished part", []int{0, 1, 3, 4, 5}, &unfinished, "extra is not finished"},
		{"no part", nil, nil, "nothing to merge"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var n []string
			var f []*File
			for _, i := range c.parts {
				n, f = append(n, names[i]), append(f, files[i])
			}
			if c.extra != nil {
				n, f = append(n, "extra"), append(f, c.extra)
			}
			_, err := merged(n, f)
			if err == nil || strings.Contains(err.Error(), "\n") {
				t.Fatalf("error %v", err)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
}

// What could not be read back is not written.
func TestAStudyFileGrowsToItsLimitOnly(t *testing.T) {
	path := filepath.Join(t.TempDir(), "study")
	journal, err := Begin(path, header(), false)
	if err != nil {
		t.Fatal(err)
	}
	defer journal.Close()
	if err := os.Truncate(path, atomicfile.Study.Most-1); err != nil { // a hole: takes no room
		t.Fatal(err)
	}
	const want = "a study file of more than 64 MB cannot be read back: ask for fewer rehearsals"
	if err := journal.Add([]pool.Done[Result]{{}}); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("one more line: got %v, want ...%s...", err, want)
	}
	narrow := within(io.Discard, atomicfile.Study.Most-5)
	if _, err := narrow.Write([]byte("12345")); err != nil {
		t.Error(err)
	}
	if _, err := narrow.Write([]byte("6")); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("a whole file: got %v, want ...%s...", err, want)
	}
}

// The largest study file is to take a few times its length: each word is kept once, and no list has room to spare.
func TestAStudyInMemoryIsAboutAsLargeAsItsFile(t *testing.T) {
	h := header()
	h.Count = 1000
	study := &File{Header: h, Results: make([]*Result, h.Count), Finished: true}
	for i := range study.Results {
		r := &Result{Seed: h.SeedOf(i), Total: []float64{12, 0}, Count: []float64{6}, Points: []float64{12},
			Drawn: []float64{0.123456}}
		for k := range 33 {
			r.Did = append(r.Did, Moment{T: 1.25 * float64(k), Kind: record.MotionEnd, What: "ochre near sled",
				Why: "arrived", Line: 24, At: &[2]float64{1.234567, 2.345678}})
		}
		study.Results[i] = r
	}
	path := filepath.Join(t.TempDir(), "study")
	if err := Write(path, study); err != nil {
		t.Fatal(err)
	}
	long := float64(len(read(t, path)))
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	f, err := Read(path)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	if share := (float64(after.HeapAlloc) - float64(before.HeapAlloc)) / long; share > 2 {
		t.Errorf("%.0f bytes take %.1f times as many, want at most 2", long, share)
	} else {
		t.Logf("a study takes %.2f times its file", share)
	}
	runtime.KeepAlive(f)
	runtime.KeepAlive(study)
}

func merged(names []string, parts []*File) (*File, error) {
	var m Merger
	for i, part := range parts {
		if err := m.Add(names[i], part); err != nil {
			return nil, err
		}
	}
	return m.Whole()
}

// Parts that are more together than can be read back of a study are refused at the first that is too much, not when all
// are in memory.
func TestPartsThatAreTooMuchTogetherAreRefused(t *testing.T) {
	h := header()
	var m Merger
	for number := 1; number <= 2; number++ {
		h.Shard = Shard{number, 2}
		err := m.Add(fmt.Sprintf("part%d", number), &File{Header: h, Results: make([]*Result, h.Jobs()), Finished: true,
			rows: 40 << 20})
		if (err == nil) != (number == 1) {
			t.Fatal(number, err)
		}
		if err != nil && !strings.Contains(err.Error(), "with part2 the parts have more than the 64 MB") {
			t.Error(err)
		}
	}
}
