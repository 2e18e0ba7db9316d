package rehearse

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
)

// Whoever has a record alone can rehearse it again, to the byte.
func TestARecordIsRehearsedAgainFromItself(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("own.lua", `local far = require "far"
return routine {title = "own", start = {x = 600, y = 450, heading = 90},
  auto = function(bot) bot.drive:ahead(far) end}`)
	write("far.lua", "return param('far', 300, 100, 900)")
	program, err := scripting.Load(filepath.Join(folder, "own.lua"))
	if err != nil {
		t.Fatal(err)
	}
	own := onField(t, "core_haul", "hauler", program)
	own.Params, own.Seed = map[string]float64{"far": 420}, 3
	moved := onField(t, "core_haul", "hauler", program)
	moved.Entrants[0].Start = &geom.Pose{X: 0.9, Y: 0.8, Heading: 0.25}
	setups := map[string]Setup{"own files": own, "start moved": moved}
	for _, row := range pinnedRuns() {
		if strings.HasPrefix(row.name, "core_haul_demo/") && strings.Contains(row.name, "seed_7") &&
			!strings.Contains(row.name, "drive") {
			setups[row.name] = row.setup(t)
		}
	}
	if len(setups) < 4 {
		t.Fatalf("%d setups", len(setups))
	}
	for name, setup := range setups {
		rec := reread(t, rehearsed(t, setup))
		again, err := SetupOf(rec)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		want, err1 := rec.Fingerprint()
		got, err2 := rehearsed(t, again).Fingerprint()
		if err1 != nil || err2 != nil || got != want {
			t.Errorf("%s: rehearsed again it is %s, not %s; %v, %v", name, got, want, err1, err2)
		}
	}
}

func TestARecordWithoutItsFilesSaysWhichIsMissing(t *testing.T) {
	whole := rehearsed(t, demo(t))
	for i, want := range []string{"core_haul.toml", "hauler.toml", "core_haul_demo.lua"} {
		rec := *whole
		rec.Sources = append(append([]record.Source{}, whole.Sources[:i]...), whole.Sources[i+1:]...)
		if _, err := SetupOf(&rec); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("without %s: %v", want, err)
		}
	}
	odd := *reread(t, whole)
	odd.Header.Robots[0].Side = 9
	if _, err := SetupOf(&odd); err == nil || !strings.Contains(err.Error(), "side 9") {
		t.Errorf("a side that is not there: %v", err)
	}
	if _, err := SetupOf(&record.Record{}); err == nil {
		t.Error("a record of nothing has a setup")
	}
}
