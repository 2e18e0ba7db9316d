package tomlfile

import (
	"testing"

	"chalkfield/internal/base/property"

	"github.com/pelletier/go-toml/v2"
)

// Whatever good TOML it is given, what Rewrite gives is good TOML too, with the value in its place, or it is an error.
func FuzzRewrite(f *testing.F) {
	for _, text := range []string{edited, "a.b = {c=[1,\n2] }\r\n[d]\nx='''\n#''' # y", "[[p]]\nq.r=1\n[p.s]\n[t.u]\n"} {
		for _, path := range []string{"chassis.mass", "wheels[1].kind", "new.key", "p[0].s.x", "a.b.z", "list[0].x"} {
			f.Add(text, path)
		}
	}
	f.Fuzz(func(t *testing.T, text, path string) {
		var before map[string]any
		if toml.Unmarshal([]byte(text), &before) != nil {
			t.Skip()
		}
		property.Bounded(t, func() { staysGood(t, text, path) })
	})
}

func staysGood(t *testing.T, text, path string) {
	got, err := Rewrite([]byte(text), []Change{{path, `"7 kg"`}},
		Remark{Of: func([]Change) string { return "# was fitted" }, Earlier: remark.Earlier})
	if err != nil {
		return
	}
	var after map[string]any
	if err := toml.Unmarshal(got, &after); err != nil {
		t.Fatalf("%v: %q with %q is %q", err, text, path, got)
	}
	if value, quotes, there := Written(got, path); value != "7 kg" || quotes != `"` || !there {
		t.Fatalf("%q with %q is %q: %q there", text, path, got, value)
	}
}
