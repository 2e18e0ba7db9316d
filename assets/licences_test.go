package assets

import (
	"flag"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write licences.txt anew from the modules' own files")

// systems are what .ci/release builds for.
var systems = []string{"linux", "windows", "darwin"}

// module is one that some build of the program links, or a package in it that has terms of its own.
type module struct{ name, folder string }

// linked asks the go command for the modules that the program is built from, on any system and processor.
func linked(t *testing.T) []module {
	t.Helper()
	const each = `{{$p := .}}{{with .Module}}{{if not .Main}}{{.Path}} ` +
		`{{.Version}}|{{.Dir}}{{"\n"}}{{$p.ImportPath}}|{{$p.Dir}}{{end}}{{end}}`
	var lines []string
	for _, system := range systems {
		for _, processor := range []string{"amd64", "arm64"} {
			list := exec.Command("go", "list", "-deps", "-f", each, "chalkfield")
			list.Env = append(os.Environ(), "CGO_ENABLED=0", "GOARCH="+processor, "GOOS="+system)
			out, err := list.Output()
			if err != nil {
				t.Fatalf("%v: %v", list, err)
			}
			lines = append(lines, strings.Split(strings.TrimSpace(string(out)), "\n")...)
		}
	}
	slices.Sort(lines)
	var modules []module
	for _, line := range slices.Compact(lines) {
		name, folder, is := strings.Cut(line, "|")
		root := strings.Contains(name, " ") // it has a version
		known := slices.ContainsFunc(modules, func(m module) bool { return m.folder == folder })
		if is && (root || !known && terms(t, module{name, folder}) != "") {
			modules = append(modules, module{name, folder})
		}
	}
	return modules
}

// own are Chalkfield itself, and what it has a copy of, with the licence beside it.
func own(t *testing.T) []module {
	t.Helper()
	found := []module{{"Chalkfield", ".."}}
	err := filepath.WalkDir("..", func(file string, entry fs.DirEntry, err error) error {
		if err == nil && entry.Name() == "LICENSE" && filepath.Dir(file) != ".." {
			folder := filepath.Dir(file)
			found = append(found, module{"copied in " + filepath.ToSlash(strings.TrimPrefix(folder,
				".."+string(filepath.Separator))), folder})
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// standard is the library that comes with the compiler.
func standard(t *testing.T) module {
	t.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	return module{"the Go standard library", strings.TrimSpace(string(root))}
}

// terms are the licence files at the root of a module, and beside the fonts that the program draws with.
func terms(t *testing.T, m module) string {
	t.Helper()
	var text strings.Builder
	for _, pattern := range []string{"LICEN*", "COPYING*", "NOTICE*", "font/gofont/ttfs/README"} {
		files, err := filepath.Glob(filepath.Join(m.folder, pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			if info, err := os.Stat(file); err != nil || info.IsDir() {
				continue
			}
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			text.WriteString(strings.TrimSpace(strings.ReplaceAll(string(data), "\r\n", "\n")) + "\n\n")
		}
	}
	return text.String()
}

// TestLicences holds licences.txt to the licence files of all that is linked, on every system that is released for.
func TestLicences(t *testing.T) {
	var want strings.Builder
	want.WriteString("What Chalkfield is made from, each part with its licence.\n")
	for _, m := range append(append(own(t), linked(t)...), standard(t)) {
		text := terms(t, m)
		if text == "" {
			t.Errorf("%s: no licence found in %s: such a module may not be passed on", m.name, m.folder)
		}
		want.WriteString("\n=== " + m.name + "\n\n" + text)
	}
	if *update {
		if err := os.WriteFile("licences.txt", []byte(want.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if Licences != want.String() {
		t.Error("licences.txt is not what the modules say: run go test ./assets -run Licences -update")
	}
	if !strings.Contains(Licences, "Copyright (c) 2016 Bigelow & Holmes Inc.") {
		t.Error("the fonts' own terms are lacking")
	}
}
