package check

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
)

// The results as the JUnit XML that CI servers read. No times and no host: the file is the same on any machine and any
// number of cores.

type junitSuites struct {
	XMLName  xml.Name     `xml:"testsuites"`
	Name     string       `xml:"name,attr"`
	Tests    int          `xml:"tests,attr"`
	Failures int          `xml:"failures,attr"`
	Errors   int          `xml:"errors,attr"`
	Suites   []junitSuite `xml:"testsuite"`
}

type junitSuite struct {
	Name     string      `xml:"name,attr"`
	Tests    int         `xml:"tests,attr"`
	Failures int         `xml:"failures,attr"`
	Errors   int         `xml:"errors,attr"`
	Cases    []junitCase `xml:"testcase"`
}

type junitCase struct {
	Class   string        `xml:"classname,attr"`
	Name    string        `xml:"name,attr"`
	Error   *junitProblem `xml:"error,omitempty"`
	Failure *junitProblem `xml:"failure,omitempty"`
	Out     string        `xml:"system-out,omitempty"`
}

type junitProblem struct {
	Type    string `xml:"type,attr"`
	Message string `xml:"message,attr"`
	Text    string `xml:",chardata"`
}

// JUnit writes the results: a suite a check file, a testcase a case.
func (o *Outcome) JUnit(w io.Writer) error {
	all := junitSuites{Name: "chalkfield check", Tests: len(o.Cases), Failures: o.Short, Errors: o.Wrong}
	for _, c := range o.Cases {
		if n := len(all.Suites); n == 0 || all.Suites[n-1].Name != c.File {
			all.Suites = append(all.Suites, junitSuite{Name: c.File})
		}
		s := &all.Suites[len(all.Suites)-1]
		s.Tests++
		switch c.State {
		case Short:
			s.Failures++
		case Wrong:
			s.Errors++
		}
		s.Cases = append(s.Cases, c.junit())
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	out := xml.NewEncoder(w)
	out.Indent("", "  ")
	if err := out.Encode(all); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

func (c *Judged) junit() junitCase {
	out := junitCase{Class: c.File, Name: cmp.Or(c.Case, "the whole file"),
		Out: strings.TrimSpace(c.Facts + "\n" + strings.Join(c.Notes, "\n"))}
	switch c.State {
	case Wrong:
		out.Error = &junitProblem{Type: string(Wrong), Message: c.Error, Text: c.Error}
	case Short:
		out.Failure = c.failure()
	}
	return out
}

// failure tells of all shortfalls in one element: some readers take no more.
func (c *Judged) failure() *junitProblem {
	first := c.Shortfalls[0]
	f := &junitProblem{Type: string(Short), Message: fmt.Sprintf("expected %s; happened %s", first.Expected,
		first.Happened)}
	if more := len(c.Shortfalls) - 1; more > 0 {
		f.Message += fmt.Sprintf("; and %d more", more)
	}
	for _, s := range c.Shortfalls {
		f.Text += fmt.Sprintf("expected  %s\nhappened  %s\n%s\n", s.Expected, s.Happened, s.Place())
	}
	f.Text += "see it    " + c.Open + "\n"
	return f
}
