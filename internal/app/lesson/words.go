package lesson

import (
	"fmt"
	"io/fs"
	"sync"

	"chalkfield/assets"
	"chalkfield/internal/base/tomlfile"
)

// Say is a text of assets/lessons/words.toml by its key, with the values that it has room for.
func Say(key string, values ...any) string {
	text, known := words().Text(key)
	if !known {
		panic(fmt.Sprintf("assets/lessons/words.toml has no %q", key)) // a test compares the two
	}
	return fmt.Sprintf(text, values...)
}

var words = sync.OnceValue(func() *tomlfile.Values {
	data, err := fs.ReadFile(assets.Lessons, "words.toml")
	if err != nil {
		panic(err) // it is part of the binary
	}
	list, err := tomlfile.ValuesOf(data)
	if err != nil {
		panic(err) // see TestWords
	}
	return list
})
