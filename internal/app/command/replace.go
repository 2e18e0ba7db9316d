package command

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/record"
	"chalkfield/render/movie"
	"chalkfield/render/signals"
	"chalkfield/render/webpage"
)

// output is a kind of file that commands write. An earlier one of its kind is replaced; anything else is somebody's
// work.
type output struct {
	flag    string
	what    string   // with its article
	endings []string // of its name
	words   string   // that stand near the beginning of every such file
}

var (
	recordFile  = output{"--record", "a record", []string{".jsonl"}, `"format":"` + record.Format + `"`}
	junitFile   = output{"--junit", "JUnit XML", []string{".xml"}, "<testsuite"}
	tableFile   = output{"--csv", "a table of a sweep", []string{".csv"}, "good low 95 %,good high 95 %"}
	signalsFile = output{"--csv", "a table of signals", []string{".csv"}, signals.TableWords}
	logFile     = output{"--log-as", "a log by Chalkfield", []string{".csv"}, logfile.SimulatedWords}
	movieFile   = output{"--movie", "a movie by Chalkfield", []string{".gif"}, movie.MadeBy}
	replayFile  = output{"--replay", "a replay by Chalkfield", []string{".html", ".htm"}, webpage.ReplayMadeBy}
	planFile    = output{"--setpoints", "a table of setpoints", []string{".csv", ".json", ".h"}, setpoints.Format}
	pageFile    = output{"--report", "a report of Chalkfield", []string{".html", ".htm"},
		`name="generator" content="Chalkfield"`}
)

// begins is how much of a file is looked at for its words.
const begins = 4096

// mayBe refuses a name of another kind, and one at which another kind of file stands. A device takes everything.
func (o output) mayBe(path string) error {
	if path == "" || !isFile(path) {
		return nil
	}
	if !slices.Contains(o.endings, strings.ToLower(filepath.Ext(path))) {
		return fmt.Errorf("%s %s: %s is written: name a file that ends in %s",
			o.flag, path, o.what, strings.Join(o.endings, " or "))
	}
	// nothing may be there; what cannot be read is told of when it is to be written
	if head := beginning(path); len(head) == 0 || bytes.Contains(head, []byte(o.words)) {
		return nil
	}
	return fmt.Errorf("%s %s: would overwrite what is not %s: name another file, or take this one away", o.flag, path,
		o.what)
}

// beginning is how a file begins, nil where it cannot be read.
func beginning(path string) []byte {
	file, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer file.Close()
	head, err := io.ReadAll(io.LimitReader(file, begins))
	if err != nil {
		return nil
	}
	return head
}
