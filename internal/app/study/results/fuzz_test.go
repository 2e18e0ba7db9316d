package results

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"chalkfield/internal/base/property"
)

func FuzzPart(f *testing.F) {
	short := header()
	short.Count = 2
	path := filepath.Join(f.TempDir(), "whole")
	if err := work(path, short, 1, false); err != nil {
		f.Fatal(err)
	}
	whole, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	if file, err := parse(bytes.NewReader(whole)); err != nil || !file.Finished {
		f.Fatalf("the seed is no finished study: %v", err)
	}
	f.Add(whole)
	f.Add([]byte("{\"header\":{\"format\":\"chalkfield " +
		"study\",\"version\":1,\"kind\":\"trials\",\"count\":3,\"shard\":{\"number\":1,\"of\":1}}}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		property.Bounded(t, func() {
			if file, err := parse(bytes.NewReader(data)); (file == nil) == (err == nil) {
				t.Errorf("file %v, error %v: want exactly one", file, err)
			}
		})
	})
}
