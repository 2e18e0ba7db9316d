package tomlfile

import (
	"encoding"
	"fmt"
	"reflect"
	"strconv"
)

// fill gives every key that the file leaves out the default of its struct tag. n is nil where the whole table is left out.
func fill(v reflect.Value, n *node) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			fill(v.Elem(), n)
		}
	case reflect.Slice, reflect.Array:
		for i := range min(v.Len(), len(items(n))) {
			fill(v.Index(i), n.items[i])
		}
	case reflect.Struct:
		for _, m := range members(v.Type()) {
			given := (*node)(nil)
			if n != nil {
				given = n.table[m.key]
			}
			target := v.FieldByIndex(m.index)
			if given == nil && m.usual != "" {
				setDefault(target, m)
				continue
			}
			fill(target, given)
		}
	}
}

func items(n *node) []*node {
	if n == nil {
		return nil
	}
	return n.items
}

// setDefault panics on a tag that its own type cannot read: our mistake, met by the first test that decodes the type.
func setDefault(v reflect.Value, m member) {
	var err error
	switch into, isText := v.Addr().Interface().(encoding.TextUnmarshaler); {
	case isText:
		err = into.UnmarshalText([]byte(m.usual))
	case v.Kind() == reflect.String:
		v.SetString(m.usual)
	case v.CanInt():
		var x int64
		x, err = strconv.ParseInt(m.usual, 10, 64)
		v.SetInt(x)
	case v.CanFloat():
		var x float64
		x, err = strconv.ParseFloat(m.usual, 64)
		v.SetFloat(x)
	case v.Kind() == reflect.Bool:
		var x bool
		x, err = strconv.ParseBool(m.usual)
		v.SetBool(x)
	default:
		err = fmt.Errorf("no default possible for %s", v.Type())
	}
	if err != nil {
		panic(fmt.Sprintf("tomlfile: default of key %q: %v", m.key, err))
	}
}
