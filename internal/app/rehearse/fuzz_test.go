package rehearse

import (
	"bytes"
	"testing"

	"chalkfield/internal/base/property"
)

func FuzzInputScript(f *testing.F) {
	f.Add([]byte(padHeader + "0.5,0,1,0,-0.5,b+a\n# later\n2,0,0,0,0,\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		property.Bounded(t, func() {
			script, err := ReadInputScript("x.csv", bytes.NewReader(data))
			if (script == nil) == (err == nil) {
				t.Fatalf("script %v, error %v: want exactly one", script, err)
			}
			if script != nil {
				script.At(1)
			}
		})
	})
}
