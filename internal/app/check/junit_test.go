package check

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// everyState is an outcome with every state, and texts that XML must escape or cannot hold.
func everyState() *Outcome {
	o := &Outcome{}
	o.Add(Judged{File: "a.check.toml", Case: "fine", State: Held, Facts: "12 points"})
	o.Add(Judged{File: "a.check.toml", Case: `<"&'> ` + "\x00\x1b", State: Short, Facts: "2 points",
		Open: "chalkfield open a.lua", Shortfalls: []Shortfall{
			{Expected: "score at least 3 & more", Happened: "2 < 3", T: 4, File: "a.lua", Line: 3},
			{Expected: "x", Happened: "y"},
		}})
	o.Add(Judged{File: "b.check.toml", Case: "lost", State: Wrong, Error: "b.lua: no such file\nsecond line"})
	return o
}

func junitOf(t *testing.T, o *Outcome) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := o.JUnit(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// The published schema junit-4.xsd (Thales 2010, MIT licence; the file's head names where it was published), word by
// word, by the schema validator of libxml2 where it is installed (CI installs it).
func TestJUnitIsValidByThePublishedSchema(t *testing.T) {
	xmllint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("xmllint is not installed: the structural check below stands alone")
	}
	for name, o := range map[string]*Outcome{"every state": everyState(), "no case": {}} {
		path := filepath.Join(t.TempDir(), "junit.xml")
		if err := os.WriteFile(path, junitOf(t, o), 0o644); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command(xmllint, "--nonet", "--noout", "--schema", "testdata/junit-4.xsd",
			path).CombinedOutput(); err != nil {
			t.Errorf("%s: %s", name, out)
		}
	}
	bad := filepath.Join(t.TempDir(), "bad.xml")
	if err := os.WriteFile(bad, []byte(`<testsuites><testsuite name="x"/></testsuites>`), 0o644); err != nil {
		t.Fatal(err)
	}
	if exec.Command(xmllint, "--nonet", "--noout", "--schema", "testdata/junit-4.xsd", bad).Run() == nil {
		t.Error("the schema accepts a suite without its required attributes: it checks nothing")
	}
}

// allowed is the schema's structure, with the counts that CI servers rely on required too: for each element its
// children and its attributes, required ones marked with !.
var allowed = map[string]struct{ children, attributes []string }{
	"":           {[]string{"testsuites"}, nil},
	"testsuites": {[]string{"testsuite"}, []string{"name", "tests", "failures", "errors", "disabled", "time"}},
	"testsuite": {[]string{"properties", "testcase", "system-out", "system-err"},
		[]string{"name!", "tests!", "failures!", "errors!", "time", "skipped", "timestamp", "hostname"}},
	"testcase": {[]string{"skipped", "error", "failure", "system-out", "system-err"},
		[]string{"name!", "classname", "time", "status"}},
	"failure":    {nil, []string{"type", "message"}},
	"error":      {nil, []string{"type", "message"}},
	"system-out": {nil, nil},
}

// structure walks the document by the table above.
func structure(data []byte) error {
	in := xml.NewDecoder(bytes.NewReader(data))
	path := []string{""}
	for {
		token, err := in.Token()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		switch e := token.(type) {
		case xml.StartElement:
			if !slices.Contains(allowed[path[len(path)-1]].children, e.Name.Local) {
				return errors.New(e.Name.Local + " in " + path[len(path)-1])
			}
			if err := attributes(e); err != nil {
				return err
			}
			path = append(path, e.Name.Local)
		case xml.EndElement:
			path = path[:len(path)-1]
		}
	}
}

func attributes(e xml.StartElement) error {
	given := map[string]bool{}
	for _, a := range e.Attr {
		given[a.Name.Local] = true
	}
	for _, name := range allowed[e.Name.Local].attributes {
		bare := strings.TrimSuffix(name, "!")
		if name != bare && !given[bare] {
			return errors.New(e.Name.Local + " lacks " + bare)
		}
		delete(given, bare)
	}
	for name := range given {
		return errors.New(e.Name.Local + " has " + name)
	}
	return nil
}

func TestJUnitHasTheStructureThatReadersExpect(t *testing.T) {
	data := junitOf(t, everyState())
	if err := structure(data); err != nil {
		t.Error(err)
	}
	for _, bad := range []string{`<testsuites><testcase name="x"/></testsuites>`,
		`<testsuites><testsuite name="x" tests="1" failures="0"/></testsuites>`, `<testsuites colour="red"/>`} {
		if structure([]byte(bad)) == nil {
			t.Errorf("%s passes: the check checks nothing", bad)
		}
	}
	var back junitSuites
	if err := xml.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if back.Tests != 3 || back.Failures != 1 || back.Errors != 1 || len(back.Suites) != 2 ||
		back.Suites[0].Cases[1].Failure == nil || back.Suites[1].Cases[0].Error == nil {
		t.Errorf("%+v", back)
	}
	if m := back.Suites[0].Cases[1].Failure.Message; m != "expected score at least 3 & more; happened 2 < 3; and 1 more" {
		t.Errorf("%q", m)
	}
}
