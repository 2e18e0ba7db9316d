package command

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/app/program"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// studyFlags are the flags of every command that makes many rehearsals.
type studyFlags struct {
	For     string   `help:"Measure by this too, or a sweep instead of the score: a goal as for tune, as in \"-time(scored sled)\"." placeholder:"GOAL"`
	Need    *float64 `help:"Points from which a rehearsal counts as good. Default: those of the nominal rehearsal." placeholder:"POINTS"`
	Out     string   `help:"Keep the results in this file as they come (JSON Lines). Without it an interrupted study is kept beside you as ROUTINE.trials, .compare or .sweep." placeholder:"FILE"`
	Resume  bool     `help:"Go on with the study in --out, also to a greater -n."`
	Shard   string   `help:"Do only part K of N, to be merged later." placeholder:"K/N"`
	Workers int      `help:"Cores to use. Default: all." placeholder:"N"`
	JSON    bool     `help:"Print what was found as JSON." name:"json"`
	Report  string   `help:"Write a report that a browser shows (.html), in one file." placeholder:"FILE"`
}

// options checks the flags.
func (f *studyFlags) options(count int, seed uint64) (study.Options, error) {
	o := study.Options{Count: count, Seed: seed, For: f.For, Need: f.Need, Shard: results.Whole}
	if f.Need != nil && (math.IsNaN(*f.Need) || math.IsInf(*f.Need, 0)) {
		return o, errors.New("--need: write a finite number of points")
	}
	if f.Shard != "" {
		k, n, _ := strings.Cut(f.Shard, "/")
		number, err1 := strconv.Atoi(k)
		of, err2 := strconv.Atoi(n)
		if err1 != nil || err2 != nil || number < 1 || number > of {
			return o, fmt.Errorf("--shard %s: write which part of how many, counted from 1: --shard 3/16", f.Shard)
		}
		o.Shard = results.Shard{Number: number, Of: of}
	}
	if err := pageFile.mayBe(f.Report); err != nil {
		return o, err
	}
	if err := foldersExist(f.Report, f.Out); err != nil {
		return o, err
	}
	if f.Workers < 0 {
		return o, fmt.Errorf("--workers %d: write 1 or more", f.Workers)
	}
	if f.Workers == 0 {
		f.Workers = pool.Cores()
	}
	return o, nil
}

// foldersExist finds a wrong path before a thousand rehearsals are made for it.
func foldersExist(paths ...string) error {
	for _, path := range paths {
		folder := filepath.Dir(path)
		if info, err := os.Stat(folder); path != "" && (err != nil || !info.IsDir()) {
			return fmt.Errorf("%s: there is no folder %s", path, folder)
		}
	}
	return nil
}

// path is the file that keeps the results: named, or made from the routine's name when it is needed. Of the names that
// are made the nth (from 1) is mine.trials, mine.2.trials, mine.3.trials and so on.
func (f *studyFlags) path(h *results.Header, nth int) string {
	if f.Out != "" {
		return f.Out
	}
	name := filepath.Base(h.Variants[0].Name)
	name = strings.TrimSuffix(name, filepath.Ext(name))
	if nth > 1 {
		name += "." + strconv.Itoa(nth)
	}
	name += "." + string(h.Kind)
	if h.Shard != results.Whole {
		name += fmt.Sprintf(".%d-of-%d", h.Shard.Number, h.Shard.Of)
	}
	return name
}

// run makes the study's rehearsals and gives its results, complete or, after an interrupt, as far as they are done with
// the error context.Canceled.
func (f *studyFlags) run(ctx context.Context, s streams, one *study.Study) (*results.File, error) {
	journal, err := f.journal(s, &one.Header)
	if err != nil {
		return nil, err
	}
	todo := len(journal.Todo())
	ease(journal.File().Header.Jobs())
	bar := progress(s.err, todo)
	running := one.Run(ctx, journal, f.Workers, bar.add)
	bar.clear()
	if err := journal.Close(); err != nil {
		return nil, err
	}
	var defect *pool.Defect
	switch {
	case errors.As(running, &defect):
		panic(fmt.Sprintf("seed %d: %v", one.Header.SeedOf(defect.Index), defect))
	case running != nil && !errors.Is(running, context.Canceled):
		return nil, running
	case running != nil && len(journal.Todo()) > 0:
		return journal.File(), f.keep(s, journal)
	}
	return journal.File(), nil
}

// inMemory: a study that is whole and not to be kept has no file until it is interrupted. A part always has one, or its
// work would be lost.
func (f *studyFlags) inMemory(h *results.Header) bool {
	return f.Out == "" && !f.Resume && h.Shard == results.Whole
}

// journal opens the file if one is wanted, and says if an earlier interrupt left some of the same study.
func (f *studyFlags) journal(s streams, h *results.Header) (*results.Journal, error) {
	path := f.path(h, 1)
	if !f.inMemory(h) {
		return results.Begin(path, *h, f.Resume)
	}
	if earlier := results.Unfinished(path, h); earlier != nil {
		fmt.Fprintf(s.err, "chalkfield: %s holds %s of this study from before; with --resume they need not be done again\n",
			path, units.Counted(earlier.Have(), "rehearsal"))
	}
	return results.InMemory(*h)
}

// keep saves what an interrupted study has done, under a name that is free, and says how to go on.
func (f *studyFlags) keep(s streams, journal *results.Journal) error {
	h := &journal.File().Header
	have, due := journal.File().Have(), len(h.MyJobs())
	path := f.path(h, 1)
	if f.inMemory(h) {
		if have == 0 {
			return context.Canceled
		}
		for nth := 2; taken(path); nth++ {
			path = f.path(h, nth)
		}
		if err := journal.Save(path); err != nil { // this folder cannot be written to
			path = filepath.Join(os.TempDir(), path)
			if elsewhere := journal.Save(path); elsewhere != nil {
				return errors.Join(err, elsewhere)
			}
		}
	}
	fmt.Fprintf(s.err, "chalkfield: %d of %s are done and kept in %s; the same command with --resume --out %s goes on\n",
		have, units.Counted(due, "rehearsal"), path, wording.Quoted(path))
	return context.Canceled
}

func taken(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// finish tells what a study shows, and ends with the interrupt that cut it short, or with the errors of routines.
func (f *studyFlags) finish(s streams, file *results.File, field *fields.Field, running error) error {
	err := f.tell(s, file, field)
	if running != nil {
		if err != nil {
			fmt.Fprintf(s.err, "chalkfield: %v\n", err)
		}
		return running
	}
	if err != nil {
		return err
	}
	return tellFailing(s.err, file)
}

// tellFailing says on the error stream which routines failed, so that a script notices.
func tellFailing(out io.Writer, file *results.File) error {
	sentences := analysis.Failing(file)
	for _, sentence := range sentences {
		fmt.Fprintf(out, "chalkfield: %s\n", strings.Replace(sentence, "The routine ", "the routine ", 1))
	}
	if len(sentences) > 0 {
		return errFellShort
	}
	return nil
}

// ease lets the collector wait longer: many short rehearsals leave much garbage and hold little. The limit is what
// keeps memory from growing with the results: near it the collector comes more often.
func ease(rehearsals int) {
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(eased + int64(rehearsals)*resultSize)
}

const (
	eased      = 128 << 20 // bytes: what the rehearsals under way need, several times
	resultSize = 4 << 10   // bytes that the result of one takes, at most
)

// careful rehearses, and refuses a parameter that no routine asks for: the nominal rehearsal of each candidate shows
// it.
func careful(ctx context.Context, setup rehearse.Setup) (*record.Record, error) {
	rec, err := rehearse.Run(ctx, setup)
	if err == nil && setup.Nominal {
		err = everyParamAsked(setup, rec)
	}
	return rec, err
}

// candidate loads what the flags name.
func (in inputs) candidate() (study.Candidate, error) {
	setup, err := in.load()
	name := cmp.Or(in.Program, in.Routine)
	if name == "" {
		name = demoRoutine
	}
	return study.Candidate{Name: name, Replay: in.replay(), Setup: setup}, err
}

// replay is the arguments of `chalkfield open` that bring up the same rehearsal, without the seed.
func (in inputs) replay() string {
	var words []string
	add := func(flag, value string) {
		if value != "" {
			words = append(words, flag, wording.Quoted(value))
		}
	}
	if in.Routine != "" {
		words = append(words, wording.Quoted(noFlag(in.Routine)))
	}
	add("--program", program.From(in.Program, in.dir))
	add("--robot", in.Robot)
	add("--field", in.Field)
	add("--session", in.Session)
	add("--side", in.Side)
	for _, name := range sortedKeys(in.Param) {
		words = append(words, "--param", wording.Quoted(name+"="+in.Param[name]))
	}
	add("--partner", in.Partner)
	for _, opponent := range in.Opponent {
		add("--opponent", opponent)
	}
	add("--pad", in.Pad)
	return strings.Join(words, " ")
}

// noFlag is a path that cannot be taken for a flag.
func noFlag(path string) string {
	if strings.HasPrefix(path, "-") {
		return "./" + path
	}
	return path
}
