package build

import (
	"math"
	"strconv"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
)

// Set writes a TOML value at a path.
func Set(path, value string) Edit {
	return func(text []byte) ([]byte, error) { return tomlfile.Put(text, path, value) }
}

// Take takes a key, a table or an element of a list away.
func Take(path string) Edit {
	return func(text []byte) ([]byte, error) { return tomlfile.Remove(text, path) }
}

// Add puts a new element before the one at a place of a list.
func Add(list string, at int, keys ...tomlfile.Change) Edit {
	return func(text []byte) ([]byte, error) { return tomlfile.Insert(text, list, at, keys) }
}

// Length writes a length in m, in the unit that stands there.
func Length(path string, m float64) Edit {
	return func(text []byte) ([]byte, error) {
		old, _, there := tomlfile.Written(text, path)
		return tomlfile.Put(text, path, quoted(lengthText(text, old, there, m)))
	}
}

// Place writes a place, each number in the unit that stands there.
func Place(path string, v geom.Vec) Edit {
	return func(text []byte) ([]byte, error) {
		x, _, there := tomlfile.Written(text, path+"[0]")
		y, _, both := tomlfile.Written(text, path+"[1]")
		if !there || !both {
			return tomlfile.Put(text, path, placeText(text, v))
		}
		text, err := moved(text, path+"[0]", x, v.X)
		if err != nil {
			return nil, err
		}
		return moved(text, path+"[1]", y, v.Y)
	}
}

// moved writes a length in place of another, unless it is the same: then the file's own digits stay.
func moved(text []byte, path, old string, m float64) ([]byte, error) {
	if was, _, err := units.Parse("m", old); err == nil && math.Abs(was-m) < same {
		return text, nil
	}
	return tomlfile.Put(text, path, quoted(lengthText(text, old, true, m)))
}

// Angle writes an angle in rad, in the unit that stands there.
func Angle(path string, rad float64) Edit {
	return func(text []byte) ([]byte, error) {
		const tenth = math.Pi / 1800
		old, _, _ := tomlfile.Written(text, path)
		return tomlfile.Put(text, path, quoted(units.Like(old, math.Round(geom.WrapAngle(rad)/tenth)*tenth, 0, "rad")))
	}
}

// finest is what lengths are written to, m: no field is measured finer. same is less than any of them, m.
const (
	finest = 1e-3
	same   = 1e-6
)

// lengthText writes a length as another is written, or as the file's tile; else in mm, and in m from 1 m on.
func lengthText(text []byte, old string, there bool, m float64) string {
	m = math.Round(m/finest) * finest
	if !there {
		old, _, _ = tomlfile.Written(text, "tile")
		if old == "" {
			old, _, _ = tomlfile.Written(text, "chassis.length")
		}
	}
	if _, unit, _ := strings.Cut(old, " "); there || unit != "mm" && unit != "m" && unit != "" {
		return units.Like(old, m, 0, "m")
	}
	if math.Abs(m) >= 1 {
		return units.Like("1 m", m, 0, "m")
	}
	return units.Like("1 mm", m, 0, "m")
}

// placeText is a place as TOML.
func placeText(text []byte, v geom.Vec) string {
	return "[" + quoted(lengthText(text, "", false, v.X)) + ", " + quoted(lengthText(text, "", false, v.Y)) + "]"
}

// quoted is a text as TOML.
func quoted(s string) string {
	var out strings.Builder
	out.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			out.WriteByte('\\')
			out.WriteRune(r)
		case r < ' ' || r == 0x7f:
			out.WriteString(`\u` + strings.Repeat("0", 4-len(strconv.FormatInt(int64(r), 16))) + strconv.FormatInt(int64(r), 16))
		default:
			out.WriteRune(r)
		}
	}
	out.WriteByte('"')
	return out.String()
}
