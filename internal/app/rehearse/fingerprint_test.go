package rehearse

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"testing"

	"chalkfield/internal/base/atomicfile"
)

var update = flag.Bool("update", false, "rewrite testdata/fingerprints.txt")

const (
	printsFile = "../../../testdata/fingerprints.txt"

	printsHead = "# What every embedded routine does, pinned. Three columns: the rehearsal, the record's fingerprint, " +
		`and a hash of what
# happened whatever the record's format; 32 hexadecimal digits of each. A change of the third column is a change of
# behaviour. Rewritten by: go test ./internal/app/rehearse -run TestFingerprints -update
`
	printDigits = 32
)

// prints are a row's two hashes.
type prints struct{ record, happened string }

// The record of every pinned rehearsal, and what happened in it, are those of testdata/fingerprints.txt. One row alone
// is run with -run 'TestFingerprints/core_haul_demo/ochre/alone/seed_7$'.
func TestFingerprints(t *testing.T) {
	pinned := readPrints(t)
	list := pinnedRuns()
	var mutex sync.Mutex
	found := map[string]prints{}
	t.Cleanup(func() { // after the last row
		if *update && !t.Failed() {
			writePrints(t, list, found)
		}
	})
	for _, row := range list {
		old, known := pinned[row.name]
		delete(pinned, row.name)
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			now := printsOf(t, row)
			mutex.Lock()
			found[row.name] = now
			mutex.Unlock()
			switch {
			case *update || now == old:
			case !known:
				t.Errorf("not in the file: %s", line(row.name, now))
			case now.happened == old.happened:
				t.Errorf("the record's format differs, what happened does not; now: %s", line(row.name, now))
			default:
				t.Errorf("something else happened; now: %s", line(row.name, now))
			}
		})
	}
	if !*update {
		for name := range pinned {
			t.Errorf("%s: no such rehearsal any more: %s", printsFile, name)
		}
	}
}

func printsOf(t *testing.T, row pinnedRun) prints {
	rec := rehearsed(t, row.setup(t))
	print, err := rec.Fingerprint()
	if err != nil {
		t.Fatal(err)
	}
	return prints{print[:printDigits], happened(rec)[:printDigits]}
}

func line(name string, p prints) string {
	return fmt.Sprintf("%-46s %s %s", name, p.record, p.happened)
}

func readPrints(t *testing.T) map[string]prints {
	file, err := os.Open(printsFile)
	if os.IsNotExist(err) && *update {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	pinned := map[string]prints{}
	in := bufio.NewScanner(file)
	for number := 1; in.Scan(); number++ {
		if strings.HasPrefix(in.Text(), "#") {
			continue
		}
		words := strings.Fields(in.Text())
		if len(words) != 3 || pinned[words[0]] != (prints{}) {
			if *update { // say after a merge gone wrong
				continue
			}
			t.Fatalf("%s:%d: not three columns, or a second line of its name; write the file anew with -update", printsFile,
				number)
		}
		pinned[words[0]] = prints{words[1], words[2]}
	}
	if err := in.Err(); err != nil {
		t.Fatal(err)
	}
	return pinned
}

func writePrints(t *testing.T, list []pinnedRun, found map[string]prints) {
	if len(found) != len(list) {
		t.Fatalf("%d of %d rows were run: -update needs them all", len(found), len(list))
	}
	err := atomicfile.Write(printsFile, func(w io.Writer) error {
		if _, err := io.WriteString(w, printsHead); err != nil {
			return err
		}
		for _, row := range list {
			if _, err := fmt.Fprintln(w, line(row.name, found[row.name])); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
