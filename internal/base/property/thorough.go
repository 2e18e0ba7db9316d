package property

import "os"

// thorough is the environment variable with which `.ci/run` takes the tests at full length.
const thorough = "THOROUGH"

// Cases is how many cases a costly test takes: a few in `go test ./...`, which everybody runs all day, and all in
// `.ci/run`.
func Cases(few, all int) int {
	if os.Getenv(thorough) != "" {
		return all
	}
	return few
}
