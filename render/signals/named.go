package signals

import "slices"

// Named is the signal of a name: all its curves by its key, or its title, one of them by the name of its column.
func Named(list []Signal, name string) (Signal, bool) {
	for _, s := range list {
		if s.Key == name || s.Title == name || s.Column == name {
			return s, true
		}
	}
	for _, s := range list {
		if i := slices.IndexFunc(s.Curves, func(c Curve) bool { return s.nameOf(c) == name }); i >= 0 {
			s.Curves = s.Curves[i : i+1 : i+1]
			return s, true
		}
	}
	return Signal{}, false
}

// Names are those that Named knows, but titles.
func Names(list []Signal) (names []string) {
	add := func(name string) {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, s := range list {
		if s.Column == "" {
			add(s.Key)
		}
		for _, c := range s.Curves {
			add(s.nameOf(c))
		}
	}
	return names
}
