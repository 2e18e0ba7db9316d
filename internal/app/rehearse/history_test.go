package rehearse

import (
	"os"
	"testing"

	"chalkfield/scripting/history"
)

// A rehearsal whose routines' lines and variables are kept leaves the same record, byte for byte: that of the row in
// testdata/fingerprints.txt.
func TestHistoryChangesNothing(t *testing.T) {
	pinned := readPrints(t)
	for _, row := range pinnedRuns() {
		if row.seed != 7 && row.crew != fullMatch && os.Getenv("THOROUGH") == "" {
			continue
		}
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			setup := row.setup(t)
			for i := range setup.Entrants {
				setup.Entrants[i].History = history.New(history.Usual)
			}
			rec := rehearsed(t, setup)
			print, err := rec.Fingerprint()
			if err != nil {
				t.Fatal(err)
			}
			if print[:printDigits] != pinned[row.name].record {
				t.Errorf("kept: %s, else: %s", print[:printDigits], pinned[row.name].record)
			}
			for i, e := range setup.Entrants {
				if e.History.Full > 0 || len(e.History.Moments) < 2 || len(e.History.Files[e.Routine.Name]) == 0 {
					t.Errorf("robot %d: %d moments, lines of %d files, full at %g", i, len(e.History.Moments),
						len(e.History.Files), e.History.Full)
				}
			}
		})
	}
}
