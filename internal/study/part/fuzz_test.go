package part

import (
	"testing"

	"chalkfield/internal/fuzzed"
)

func FuzzPart(f *testing.F) {
	f.Add([]byte("{\"header\":{\"format\":\"chalkfield study\",\"version\":1,\"kind\":\"trials\",\"count\":3,\"shard\":{\"number\":1,\"of\":1}}}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		fuzzed.Bounded(t, func() {
			if file, err := parse(data); (file == nil) == (err == nil) {
				t.Errorf("file %v, error %v: want exactly one", file, err)
			}
		})
	})
}
