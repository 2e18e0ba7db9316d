package build

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"

	"gonum.org/v1/gonum/spatial/r2"
)

// Addings of a robot are wheels, alone and in pairs, parts and sensors of each kind, motors, and its air.
func (r Robot) Addings(s *Sheet) []Adding {
	list := []Adding{
		{Name: "pair of wheels", List: "wheels", Gesture: OnePlace,
			Make: func(at []geom.Vec) []tomlfile.Change { return s.newWheel(at[0]) },
			More: func(at []geom.Vec) []Edit {
				return []Edit{Add("wheels", len(s.Robot.Wheels)+1, s.newWheel(across(at[0]))...)}
			}},
		{Name: "wheel", List: "wheels", Gesture: OnePlace,
			Make: func(at []geom.Vec) []tomlfile.Change { return s.newWheel(at[0]) }},
	}
	for _, of := range []string{"parts", "sensors"} {
		for _, key := range tomlfile.KeysOf(r.Format(), of+"[0]") {
			if key.Takes == tomlfile.Tables {
				list = append(list, r.mounting(s, of, key.Name))
			}
		}
	}
	list = append(list, Adding{Name: "motor", List: "motors", Make: func([]geom.Vec) (made []tomlfile.Change) {
		for _, k := range tomlfile.KeysOf(r.Format(), "motors[0]") {
			if k.Need != "" {
				made = append(made, tomlfile.Change{Path: k.Name, Value: k.Need})
			}
		}
		made[0].Value = quoted(s.freeWord("motors", "motor"))
		return made
	}})
	if s.Robot.Air == nil {
		list = append(list, Adding{Name: "air", List: "air",
			Make: func([]geom.Vec) []tomlfile.Change { return []tomlfile.Change{{Path: "volume", Value: r.airVolume()}} }})
	}
	return list
}

// airVolume is the format's example of a reservoir.
func (r Robot) airVolume() string { return needOf(tomlfile.KeysOf(r.Format(), "air"), "volume") }

func needOf(keys []tomlfile.Key, name string) string {
	for _, k := range keys {
		if k.Name == name {
			return k.Need
		}
	}
	return ""
}

// newWheel is one like the first, on the train of its side.
func (s *Sheet) newWheel(at geom.Vec) []tomlfile.Change {
	text := []byte(s.Robot.Text)
	made := []tomlfile.Change{{Path: "at", Value: placeText(text, at)}, {Path: "train", Value: quoted("left")}}
	if at.Y < 0 {
		made[1].Value = quoted("right")
	}
	if values, err := tomlfile.ValuesOf(text); err == nil {
		for _, key := range []string{"kind", "radius"} {
			if raw, ok := values.Raw("wheels[0]." + key); ok {
				made = append(made, tomlfile.Change{Path: key, Value: raw})
			}
		}
	}
	return made
}

// freeWord is a name that a routine can write and no other of a list has: the stem, else with a number.
func (s *Sheet) freeWord(list, stem string) string {
	name := stem
	for n := 2; s.named(list, name); n++ {
		name = fmt.Sprintf("%s_%d", stem, n)
	}
	return name
}

func (s *Sheet) named(list, name string) bool {
	return slices.ContainsFunc(s.Groups, func(g Group) bool {
		return g.Path == list && slices.ContainsFunc(g.Items, func(i Item) bool { return i.Words == name })
	})
}

// mounting adds a part or sensor of a kind, with what must be given: places from the gesture, else the format's
// examples.
func (r Robot) mounting(s *Sheet, list, kind string) Adding {
	keys := tomlfile.KeysOf(r.Format(), list+"[0]."+kind)
	a := Adding{Name: singular(list) + ": " + strings.ReplaceAll(kind, "_", " "), List: list}
	switch {
	case hasKey(keys, "mouth"), hasKey(keys, "exit"):
		a.Gesture = TwoPlaces
	case hasKey(keys, "at"), hasKey(keys, "out"):
		a.Gesture = OnePlace
	}
	a.Make = func(points []geom.Vec) []tomlfile.Change {
		made := []tomlfile.Change{{Path: "name", Value: quoted(s.freeWord(list, kind))}}
		inner := s.mountKeys(keys, points)
		if list == "parts" && len(inner) > 0 {
			for _, k := range inner {
				made = append(made, tomlfile.Change{Path: kind + "." + k.Path, Value: k.Value})
			}
			return made
		}
		return append(made, tomlfile.Change{Path: kind, Value: table(inner)})
	}
	if hasKey(keys, "piston") && s.Robot.Air == nil { // it could not move without
		a.More = func([]geom.Vec) []Edit { return []Edit{Set("air.volume", r.airVolume())} }
	}
	return a
}

// table is a table in braces.
func table(keys []tomlfile.Change) string {
	if len(keys) == 0 {
		return "{}"
	}
	parts := make([]string, len(keys))
	for i, k := range keys {
		parts[i] = k.Path + " = " + k.Value
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}

// mountKeys are those of the table of a part's or sensor's kind.
func (s *Sheet) mountKeys(keys []tomlfile.Key, points []geom.Vec) (made []tomlfile.Change) {
	text := []byte(s.Robot.Text)
	for _, k := range keys {
		value := k.Need
		switch {
		case k.Takes == tomlfile.Corners && len(points) > 1:
			corners := []string{}
			for _, v := range geom.Rect(points[0], points[1]) {
				corners = append(corners, placeText(text, v))
			}
			value = "[" + strings.Join(corners, ", ") + "]"
		case k.Name == "exit" && len(points) > 1, k.Name == "at" && len(points) > 0:
			value = placeText(text, points[0])
		case k.Name == "out" && len(points) > 0:
			value = placeText(text, points[len(points)-1])
		case k.Name == "length" && hasKey(keys, "exit") && len(points) > 1:
			value = quoted(lengthText(text, "", false, max(geom.Norm(r2.Sub(points[1], points[0])), 0.05)))
		case k.Name == "direction" && hasKey(keys, "exit") && len(points) > 1:
			value = quoted(fmt.Sprintf("%.0f deg", alongAxis(r2.Sub(points[1], points[0]))))
		case k.Name == "direction" && len(points) > 0:
			value = quoted(fmt.Sprintf("%.0f deg", alongAxis(r2.Add(points[0], points[len(points)-1]))))
		}
		if value != "" {
			made = append(made, tomlfile.Change{Path: k.Name, Value: value})
		}
	}
	return made
}

// alongAxis is the direction in deg of the axis that a way is nearest to.
func alongAxis(way geom.Vec) float64 { return math.Round(math.Atan2(way.Y, way.X)/(math.Pi/2))*90 + 0 }

// Names are what a key of a robot may name.
func (Robot) Names(s *Sheet, k tomlfile.Key) (list []string) {
	what, _, _ := strings.Cut(k.Refer, " ")
	for _, g := range s.Groups {
		if what != "" && g.List && g.singular() == what {
			for _, item := range g.Items {
				list = append(list, item.Words)
			}
		}
	}
	return list
}
