package check

import (
	"testing"

	"chalkfield/internal/base/property"
)

// Whatever a check file holds: a file or an error.
func FuzzParse(f *testing.F) {
	f.Add([]byte("routine = \"a.lua\"\n[[cases]]\nname = \"a\"\nnominal = true\nscore_at_least = 1\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		property.Bounded(t, func() {
			if file, err := Parse("x.check.toml", data); (file == nil) == (err == nil) {
				t.Errorf("file %v, error %v: want exactly one", file, err)
			}
		})
	})
}

func FuzzGolden(f *testing.F) {
	f.Add([]byte(`{"golden":{"format":"chalkfield golden","version":1,"routine":"a.lua","session":"match","seed":1,` +
		`"nominal":true}}
{"pose":{"t":0,"at":[1,2,3]}}
{"did":{"t":0.1,"event":"scored","what":"core 1"}}
{"sheet":{"total":[1],"rows":[]}}
`))
	f.Fuzz(func(t *testing.T, data []byte) {
		property.Bounded(t, func() {
			if g, err := readGolden("x", data); (g == nil) == (err == nil) {
				t.Errorf("golden %v, error %v: want exactly one", g, err)
			}
		})
	})
}
