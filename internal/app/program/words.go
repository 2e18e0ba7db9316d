package program

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// ErrNoName is of a command without words.
var ErrNoName = errors.New(`no program is named: write, for example, --program "python3 robot.py"`)

// split parts a command into words: at spaces, except within quotes. No shell reads it.
func split(command string) ([]string, error) {
	var words []string
	var word strings.Builder
	inside, quote := false, rune(0)
	for _, r := range command {
		switch {
		case r == 0 || r == '\n':
			return nil, errors.New("a program's command is one line of text")
		case quote != 0 && r == quote:
			quote = 0
		case quote != 0:
			word.WriteRune(r)
		case r == '\'' || r == '"':
			quote, inside = r, true
		case r == ' ' || r == '\t':
			if inside {
				words = append(words, word.String())
				word.Reset()
			}
			inside = false
		default:
			word.WriteRune(r)
			inside = true
		}
	}
	if quote != 0 {
		return nil, fmt.Errorf("%s: a quote is not closed: write %c at its end", command, quote)
	}
	if inside {
		words = append(words, word.String())
	}
	if len(words) == 0 || words[0] == "" {
		return nil, ErrNoName
	}
	return words, nil
}

// Home is the folder of the program's own file: of the first word that names a file in or below the folder in which it
// runs; else that folder.
func Home(command, dir string) string {
	words, _ := split(command)
	for _, word := range words {
		path := word
		if !filepath.IsAbs(path) {
			path = filepath.Join(dir, path)
		}
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() && strings.ContainsAny(word, "./\\") {
			return filepath.Dir(path)
		}
	}
	return filepath.Join(dir, ".")
}

// From is a command that runs in a folder as it is written outside of it: words that name files there lead to them.
func From(command, dir string) string {
	words, err := split(command)
	if err != nil || dir == "" || filepath.Clean(dir) == "." {
		return command
	}
	for i, word := range words {
		path := filepath.Join(dir, word)
		if info, err := os.Stat(path); err == nil && !filepath.IsAbs(word) && (info.IsDir() || info.Mode().IsRegular()) {
			words[i] = path
		}
		if strings.ContainsAny(words[i], " \t'\"") {
			words[i] = `"` + words[i] + `"`
		}
	}
	return strings.Join(words, " ")
}
