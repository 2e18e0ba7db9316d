package viewmodel

import (
	"math"
	"regexp"
	"strconv"

	"chalkfield/internal/base/geom"
)

const luaNumber = `(-?\d+(?:\.\d+)?)`

// placeText is a place as LuaPose and LuaPoint write it, and as people do.
var placeText = regexp.MustCompile(`^\s*\{?\s*(?:x\s*=\s*)?` + luaNumber + `\s*,\s*(?:y\s*=\s*)?` + luaNumber +
	`(?:\s*,\s*(?:heading\s*=\s*)?` + luaNumber + `)?\s*\}?\s*$`)

// farthest is how far off a place may be that is taken for one, mm.
const farthest = 1e6

// ReadPlace reads a place from text, in mm and degrees: {600, 450} or {x = 600, y = 450, heading = 90}. turned tells
// that it has a heading.
func ReadPlace(text string) (at geom.Pose, turned, ok bool) {
	found := placeText.FindStringSubmatch(text)
	if found == nil {
		return geom.Pose{}, false, false
	}
	var numbers [3]float64
	for i := range numbers {
		if found[i+1] == "" {
			continue
		}
		n, err := strconv.ParseFloat(found[i+1], 64)
		if err != nil || math.Abs(n) > farthest {
			return geom.Pose{}, false, false
		}
		numbers[i] = n
	}
	return geom.Pose{X: numbers[0] / 1000, Y: numbers[1] / 1000, Heading: numbers[2] * math.Pi / 180}, found[3] != "", true
}
