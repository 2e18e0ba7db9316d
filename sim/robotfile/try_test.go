package robotfile

import "testing"

func TestTry(t *testing.T) {
	for _, n := range Embedded() {
		r, err := OpenEmbedded(n)
		if err != nil {
			t.Error(err)
			continue
		}
		t.Logf("%s %+v plain %.4f", n, r.Model(), r.PlainTrack())
	}
}
