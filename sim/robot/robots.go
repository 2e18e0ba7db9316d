package robot

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"chalkfield/assets"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/wording"
)

// Suffix of a robot file's name.
const Suffix = ".toml"

// Load reads the robot file at a path. The error names the file, line and column and what to write instead.
func Load(path string) (*Robot, error) {
	data, err := tomlfile.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, atomicfile.Cause(err))
	}
	return Parse(path, data)
}

// Parse reads a robot from the content of a file; the name is what errors and records call it.
func Parse(name string, data []byte) (*Robot, error) {
	hash := sha256.Sum256(data)
	robot := &Robot{Name: filepath.Base(name), SHA256: hex.EncodeToString(hash[:]), Text: string(data)}
	at, err := tomlfile.Decode(name, data, robot)
	if err != nil {
		return nil, err
	}
	(&reader{at, robot}).robot()
	if err := at.Err(); err != nil {
		return nil, err
	}
	return robot, nil
}

// Likely tells a robot file from a field's by a table that only robots have.
func Likely(data []byte) bool { return ofRobot.Match(data) }

var ofRobot = regexp.MustCompile(`(?m)^[ \t]*(\[+[ \t]*)?` +
	`(chassis|wheels|motors|drive|battery|air|parts|sensors|odometry)\b`)

// Embedded lists the names of the robots that come with the program, sorted.
func Embedded() []string {
	files, err := fs.Glob(assets.Robots, "*"+Suffix)
	if err != nil {
		panic(err) // the pattern is a constant
	}
	for i, file := range files {
		files[i] = strings.TrimSuffix(file, Suffix)
	}
	return files
}

// OpenEmbedded reads a robot that comes with the program, by its name with or without the suffix.
func OpenEmbedded(name string) (*Robot, error) {
	data, err := EmbeddedSource(name)
	if err != nil {
		return nil, err
	}
	return Parse(fileName(name), data)
}

// EmbeddedSource is the file of a robot that comes with the program, to copy from.
func EmbeddedSource(name string) ([]byte, error) {
	data, err := fs.ReadFile(assets.Robots, fileName(name))
	if err != nil {
		return nil, fmt.Errorf("no robot named %q comes with the program: %s", name,
			wording.Instead(name, Embedded()))
	}
	return data, nil
}

func fileName(robot string) string { return strings.TrimSuffix(robot, Suffix) + Suffix }

// Find reads the robot file at a path or, if there is none, the embedded robot of that name.
func Find(nameOrPath string) (*Robot, error) {
	if info, err := os.Stat(nameOrPath); err == nil && !info.IsDir() {
		return Load(nameOrPath)
	}
	if robot, err := OpenEmbedded(nameOrPath); robot != nil || isEmbedded(nameOrPath) {
		return robot, err
	}
	if strings.HasSuffix(nameOrPath, Suffix) {
		return Load(nameOrPath)
	}
	return nil, fmt.Errorf("there is no embedded robot %q: %s; the name of a file ends in %s", nameOrPath,
		wording.Instead(nameOrPath, Embedded()), Suffix)
}

func isEmbedded(name string) bool {
	_, err := fs.Stat(assets.Robots, fileName(name))
	return err == nil
}
