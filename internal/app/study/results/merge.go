package results

import (
	"fmt"
	"strconv"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/units"
)

// Merger joins the parts of one study into what a single run gives. It refuses parts of another study, parts that are
// missing, unfinished or given twice, and more than can be read back, each as soon as it is added.
type Merger struct {
	whole *File    // with the first part's shard until all are there
	first string   // name of its file
	from  []string // the name of the file that brought each part
	rows  int64    // bytes of all results' lines
}

// Add takes a part from a file of a name.
func (m *Merger) Add(name string, part *File) error {
	if part.Header.Search != nil {
		return fmt.Errorf("%s is a search, which has no parts: each step depends on all before; the command that made it "+
			"tells it again with --resume --out %s", name, name)
	}
	if m.whole == nil {
		m.first, m.from = name, make([]string, part.Header.Shard.Of)
		m.whole = &File{Header: part.Header, Results: make([]*Result, len(part.Results)), Finished: true}
	}
	if difference := Same(&m.whole.Header, &part.Header); difference != "" {
		return fmt.Errorf("%s is not of the same study as %s: %s", name, m.first, difference)
	}
	if !part.Finished {
		return fmt.Errorf("%s is not finished: it has %d of its %s; finish it with --resume", name, part.Have(),
			units.Counted(len(part.Header.MyJobs()), "rehearsal"))
	}
	shard := part.Header.Shard
	slot := &m.from[shard.Number-1]
	if *slot != "" {
		return fmt.Errorf("%s and %s are both part %d of %d", *slot, name, shard.Number, shard.Of)
	}
	*slot = name
	if m.rows += part.rows; m.rows > atomicfile.Study.Most {
		return fmt.Errorf("with %s the parts have more than the %d MB that can be read back of a study: make it of fewer "+
			"rehearsals (-n)", name, atomicfile.Study.Most>>20)
	}
	for job, r := range part.Results {
		if r != nil {
			m.whole.Results[job] = r
		}
	}
	return nil
}

// Whole is the study, once all its parts are there.
func (m *Merger) Whole() (*File, error) {
	if m.whole == nil {
		return nil, fmt.Errorf("there is nothing to merge: name the parts")
	}
	if missing := missing(m.from); missing != "" {
		return nil, fmt.Errorf("of %d parts these are missing: %s", len(m.from), missing)
	}
	m.whole.Header.Shard = Whole
	return m.whole, nil
}

// missing lists the numbers of the parts that no file brought, runs of them as "3-7".
func missing(from []string) string {
	var words []string
	for i := 0; i < len(from); i++ {
		if from[i] != "" {
			continue
		}
		first := i
		for i+1 < len(from) && from[i+1] == "" {
			i++
		}
		if i == first {
			words = append(words, strconv.Itoa(i+1))
		} else {
			words = append(words, fmt.Sprintf("%d-%d", first+1, i+1))
		}
	}
	return strings.Join(words, ", ")
}
