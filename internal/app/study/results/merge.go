package results

import (
	"fmt"
	"strconv"
	"strings"

	"chalkfield/internal/base/units"
)

// Merge joins the parts of one study into what a single run gives. It refuses parts of another study, parts that are
// missing, unfinished or given twice. names are the files' names, for errors.
func Merge(names []string, parts []*File) (*File, error) {
	if len(parts) == 0 {
		return nil, fmt.Errorf("there is nothing to merge: name the parts")
	}
	first := &parts[0].Header
	from := make([]string, first.Shard.Of) // which file brought each part
	whole := &File{Header: *first, Results: parts[0].Results[:0:0], Finished: true}
	whole.Header.Shard = Whole
	whole.Results = append(whole.Results, parts[0].Results...)
	for i, part := range parts {
		if difference := Same(first, &part.Header); difference != "" {
			return nil, fmt.Errorf("%s is not of the same study as %s: %s", names[i], names[0], difference)
		}
		if !part.Finished {
			return nil, fmt.Errorf("%s is not finished: it has %d of its %s; finish it with --resume", names[i], part.Have(),
				units.Counted(len(part.Header.MyJobs()), "rehearsal"))
		}
		slot := &from[part.Header.Shard.Number-1]
		if *slot != "" {
			return nil, fmt.Errorf("%s and %s are both part %d of %d", *slot, names[i], part.Header.Shard.Number,
				part.Header.Shard.Of)
		}
		*slot = names[i]
		for job, r := range part.Results {
			if r != nil {
				whole.Results[job] = r
			}
		}
	}
	if missing := missing(from); missing != "" {
		return nil, fmt.Errorf("of %d parts these are missing: %s", len(from), missing)
	}
	return whole, nil
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
