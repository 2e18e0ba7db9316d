package command

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// A robot or field that is put beside the routine later is watched for; one that is named takes its place.
func TestFilesBesideTheRoutineAreWatchedBeforeTheyAreThere(t *testing.T) {
	folder := t.TempDir()
	at := func(name string) string { return filepath.Join(folder, name) }
	for _, name := range []string{"mine.lua", "other.lua", "named.toml"} {
		if err := os.WriteFile(at(name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		in   inputs
		want []string
	}{
		{inputs{Routine: at("mine.lua")}, []string{at("mine.lua"), at("other.lua"), at("robot.toml"), at("field.toml")}},
		{inputs{Routine: at("mine.lua"), Robot: at("named.toml")}, []string{at("mine.lua"), at("other.lua"),
			at("named.toml"), at("field.toml")}},
		{inputs{Routine: at("mine.lua"), Robot: "barrow", Field: "core_haul"}, []string{at("mine.lua"), at("other.lua")}},
		{inputs{Routine: "core_haul_demo"}, nil},
	} {
		if got := c.in.diskFiles(); !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v, want %v", c.in, got, c.want)
		}
	}
}
