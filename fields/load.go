package fields

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/wording"
)

//go:embed *.toml
var embedded embed.FS

// Load reads and validates a field file. Errors in its content are a *tomlfile.Errors.
func Load(path string) (*Field, error) {
	data, err := tomlfile.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, atomicfile.Cause(err))
	}
	return Parse(filepath.ToSlash(path), data)
}

// Parse reads and validates a field from bytes. The name stands in errors; the field's own name is its last part.
func Parse(name string, data []byte) (*Field, error) {
	sum := sha256.Sum256(data)
	field := &Field{Name: filepath.Base(name), SHA256: hex.EncodeToString(sum[:]), Text: string(data)}
	at, err := tomlfile.Decode(name, data, field)
	if err != nil {
		return nil, err
	}
	b := builder{at: at, field: field}
	b.build()
	if err := at.Err(); err != nil {
		return nil, err
	}
	return field, nil
}

// Embedded are the names of the fields that come with the program, sorted.
func Embedded() []string {
	files, err := embedded.ReadDir(".")
	if err != nil {
		panic(err) // the folder is part of the binary
	}
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = strings.TrimSuffix(f.Name(), ".toml")
	}
	return names
}

// OpenEmbedded reads an embedded field: "core_haul".
func OpenEmbedded(name string) (*Field, error) {
	data, err := EmbeddedSource(name)
	if err != nil {
		return nil, err
	}
	return Parse(name+".toml", data)
}

// EmbeddedSource is the text of an embedded field, to copy and change.
func EmbeddedSource(name string) ([]byte, error) {
	data, err := embedded.ReadFile(name + ".toml")
	if err != nil {
		return nil, fmt.Errorf("there is no embedded field %q: %s; the name of a file ends in .toml", name,
			wording.Instead(name, Embedded()))
	}
	return data, nil
}

// Find reads a field by the name of an embedded one or by its file.
func Find(nameOrPath string) (*Field, error) {
	if strings.HasSuffix(nameOrPath, ".toml") || strings.ContainsAny(nameOrPath, `/\`) {
		return Load(nameOrPath)
	}
	return OpenEmbedded(nameOrPath)
}
