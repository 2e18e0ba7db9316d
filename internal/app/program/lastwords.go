package program

import (
	"cmp"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/scripting/talk"
)

// How languages begin a call of a traceback, and how they end one: what they print is common practice, from memory.
var (
	pythonCall = regexp.MustCompile(`^ *File "([^"]+)", line (\d+)`)
	javaCall   = regexp.MustCompile(`^\s*at ([\w.$]+)\([\w$]*?([\w$]+\.java):(\d+)\)`)
	ownPlace   = regexp.MustCompile(`^(?:[\w.+-]+: )?((?:[\w.+-]*/)*[\w.+-]+\.[A-Za-z]\w*):(\d+):(?:\d+:)? *(.+)`)
	javaDeath  = regexp.MustCompile(`^Exception in thread "[^"]*" *`)
	cppThrown  = regexp.MustCompile(`^terminate called after throwing an instance of '([^']+)'`)
	cppWhat    = regexp.MustCompile(`^ *what\(\): *`)
	address    = regexp.MustCompile(`\b0x[0-9a-fA-F]{6,}`) // is another one in each run
)

// clients are the files that speak for a program: no place in them is one of the user's.
var clients = []string{"chalkfield.py", "chalkfield.hpp", "Chalkfield.java", "follower.py", "follower.hpp"}

// mostReason is how much of a line is given as a reason, in bytes.
const mostReason = 300

// lastWords reads why a program ended from what it wrote last, and the line of its own text at which it did, if that is
// told: of Python's and Java's tracebacks the innermost call in a file of the program's folder, else file:line: at the
// beginning of the last line.
func lastWords(said []string, folder string) (reason string, at talk.Place) {
	for i := len(said) - 1; i >= 0 && reason == ""; i-- {
		reason = strings.TrimSpace(said[i])
	}
	for i, line := range said {
		m := pythonCall.FindStringSubmatch(line)
		switch {
		case m != nil && isOwn(m[1], folder):
			at = placeOf(m[1], m[2])
		case javaDeath.MatchString(line):
			reason, at = javaDeath.ReplaceAllString(line, ""), javaPlace(said[i+1:])
		case cppThrown.MatchString(line):
			reason = cmp.Or(what(said[i+1:]), cppThrown.FindStringSubmatch(line)[1])
		}
	}
	if m := ownPlace.FindStringSubmatch(reason); m != nil && at.Line == 0 {
		reason, at = m[3], placeOf(m[1], m[2])
	}
	if reason = address.ReplaceAllString(reason, "0x..."); len(reason) > mostReason {
		reason = strings.ToValidUTF8(reason[:mostReason], "") + "..."
	}
	return reason, at
}

// isOwn tells the program's files from its language's and from the clients.
func isOwn(file, folder string) bool {
	if slices.Contains(clients, filepath.Base(file)) || strings.HasPrefix(file, "<") ||
		strings.Contains(file, "site-packages") {
		return false
	}
	within, err := filepath.Abs(folder)
	if !filepath.IsAbs(file) || err != nil {
		return !filepath.IsAbs(file)
	}
	inside, err := filepath.Rel(within, file)
	return err == nil && filepath.IsLocal(inside)
}

// javaPlace is the innermost call of a Java traceback that is not of Java's own packages nor of the client.
func javaPlace(said []string) talk.Place {
	for _, line := range said {
		m := javaCall.FindStringSubmatch(line)
		if m != nil && !strings.HasPrefix(m[1], "java.") && !slices.Contains(clients, m[2]) {
			return placeOf(m[2], m[3])
		}
	}
	return talk.Place{}
}

// what is the text of a C++ exception as g++'s programs print it, "" without one.
func what(said []string) string {
	for _, line := range said {
		if cppWhat.MatchString(line) {
			return cppWhat.ReplaceAllString(line, "")
		}
	}
	return ""
}

func placeOf(file, line string) talk.Place {
	n, _ := strconv.Atoi(line) // digits alone; too many are no line
	if n < 1 {
		return talk.Place{}
	}
	return talk.Place{File: filepath.Base(file), Line: n}
}
