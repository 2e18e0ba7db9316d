package scripting

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/wording"
	"chalkfield/scripting/sandbox"

	lua "github.com/yuin/gopher-lua"
)

// Freedom is the kind of what a routine leaves open to whoever runs it.
type Freedom string

const (
	Choice  Freedom = "choice"  // one of several; its value is the place of the one, from 1
	Order   Freedom = "order"   // several in any order; its value is the order's place among all, from 1, by Lehmer's code
	Whether Freedom = "whether" // yes or no: 1 or 0
)

const (
	mostChoices = 100
	mostOrdered = 12 // 12! orders are 479 million; a record's number has sixteen digits
)

// Param is what a routine leaves open: a number, one of several, an order, yes or no. Each value is a number.
type Param struct {
	Name                    string
	Default, Min, Max, Used float64  // Used: the value in force
	Kind                    Freedom  // "": a number
	Options                 []string // of a choice or an order, as people name them
}

// same reports whether two calls leave the same open.
func (p Param) same(q Param) bool {
	return p.Name == q.Name && p.Kind == q.Kind && p.Default == q.Default && p.Min == q.Min && p.Max == q.Max &&
		slices.Equal(p.Options, q.Options)
}

// Whole reports whether its values are whole numbers.
func (p Param) Whole() bool { return p.Kind != "" }

// takes says what is wrong with a value, "" if nothing is.
func (p Param) takes(value float64) string {
	switch {
	case !(p.Min <= value && value <= p.Max):
		return fmt.Sprintf("%q is given as %.6g, which is not between %.6g and %.6g", p.Name, value, p.Min, p.Max)
	case p.Whole() && value != math.Trunc(value):
		return fmt.Sprintf("%q is given as %.6g: write a whole number from %.6g to %.6g", p.Name, value, p.Min, p.Max)
	}
	return ""
}

// Words is a value as people write it: 0.15; left; c, a, b; yes.
func (p Param) Words(value float64) string {
	switch {
	case p.takes(value) != "":
	case p.Kind == Choice:
		return p.Options[int(value)-1]
	case p.Kind == Whether && value == 1:
		return "yes"
	case p.Kind == Whether:
		return "no"
	case p.Kind == Order:
		var names []string
		for _, i := range OrderAt(int(value)-1, len(p.Options)) {
			names = append(names, p.Options[i])
		}
		return strings.Join(names, ", ")
	}
	return strconv.FormatFloat(value, 'g', 6, 64)
}

// Span is what its values are, in words.
func (p Param) Span() string {
	switch p.Kind {
	case Choice:
		return "one of " + strings.Join(p.Options, ", ")
	case Whether:
		return "yes or no"
	case Order:
		return "in any order"
	}
	return fmt.Sprintf("from %.6g to %.6g", p.Min, p.Max)
}

// Value reads what people write for a value; an error says what to write instead.
func (p Param) Value(text string) (float64, error) {
	text = strings.TrimSpace(text)
	var value float64
	var err error
	switch p.Kind {
	case Choice:
		if i := slices.Index(p.Options, text); i >= 0 {
			return float64(i + 1), nil
		}
		if place, wrong := strconv.Atoi(text); wrong == nil && p.takes(float64(place)) == "" {
			return float64(place), nil
		}
		err = fmt.Errorf("%q is none of its values: %s", text, wording.Instead(text, p.Options))
	case Whether:
		if i := slices.Index([]string{"no", "yes", "false", "true", "0", "1"}, text); i >= 0 {
			return float64(i % 2), nil
		}
		err = fmt.Errorf("write yes or no, not %q", text)
	case Order:
		value, err = p.ordered(text)
	default:
		value, err = strconv.ParseFloat(text, 64)
		switch {
		case err != nil:
			err = fmt.Errorf("%q is no number: write one from %.6g to %.6g", text, p.Min, p.Max)
		case p.takes(value) != "":
			err = fmt.Errorf("%.6g is outside the limits of param(%q), %.6g to %.6g", value, p.Name, p.Min, p.Max)
		}
	}
	return value, err
}

// ordered reads "c, a, b", or an order's place among all.
func (p Param) ordered(text string) (float64, error) {
	if place, err := strconv.Atoi(text); err == nil && p.takes(float64(place)) == "" && !slices.Contains(p.Options, text) {
		return float64(place), nil
	}
	left, places := slices.Clone(p.Options), []int(nil)
	for name := range strings.SplitSeq(text, ",") {
		name = strings.TrimSpace(name)
		i := slices.Index(p.Options, name)
		switch {
		case i < 0:
			return 0, fmt.Errorf("%q is none of what it orders: %s", name, wording.Instead(name, p.Options))
		case slices.Contains(places, i):
			return 0, fmt.Errorf("%s stands twice: write each once, as in %q", name, strings.Join(p.Options, ", "))
		}
		places = append(places, i)
		left = slices.Delete(left, slices.Index(left, name), slices.Index(left, name)+1)
	}
	if len(left) > 0 {
		return 0, fmt.Errorf("%s is not there: write all of %q in the order that you want", left[0],
			strings.Join(p.Options, ", "))
	}
	return float64(PlaceOf(places) + 1), nil
}

// OrderAt is the order at a place, from 0, among all orders of n things, in the order of a dictionary (Lehmer's
// code in the factorial number system: D. E. Knuth, The Art of Computer Programming, vol. 2, section 3.3.2, algorithm
// P; from memory).
func OrderAt(place, n int) []int {
	left := make([]int, n)
	for i := range left {
		left[i] = i
	}
	var order []int
	for ; n > 0; n-- {
		below := factorial(n - 1)
		i := place / below
		place %= below
		order = append(order, left[i])
		left = slices.Delete(left, i, i+1)
	}
	return order
}

// PlaceOf is the place of an order among all, from 0: the inverse of OrderAt.
func PlaceOf(order []int) int {
	place := 0
	for i, x := range order {
		smaller := 0
		for _, y := range order[i+1:] {
			if y < x {
				smaller++
			}
		}
		place += smaller * factorial(len(order)-1-i)
	}
	return place
}

func factorial(n int) int {
	product := 1
	for i := 2; i <= n; i++ {
		product *= i
	}
	return product
}

// choiceOf makes a choice among options, orderOf an order of them: the default is the first, and as they stand.
func choiceOf(name string, options []string) Param {
	return Param{Name: name, Kind: Choice, Default: 1, Used: 1, Min: 1, Max: float64(len(options)), Options: options}
}

func orderOf(name string, options []string) Param {
	return Param{Name: name, Kind: Order, Default: 1, Used: 1, Min: 1, Max: float64(factorial(len(options))),
		Options: options}
}

func whetherOf(name string, yes bool) Param {
	p := Param{Name: name, Kind: Whether, Max: 1}
	if yes {
		p.Default, p.Used = 1, 1
	}
	return p
}

// readChoice is choice(name, {a, b, c}, given): one of several, without a value from outside the given or the first.
func readChoice(c call) int {
	options := c.options(mostChoices)
	p := choiceOf(c.text(1, "the name"), labels(options))
	if given := c.Get(3); given != lua.LNil {
		i := slices.IndexFunc(options, func(o lua.LValue) bool { return c.RawEqual(o, given) })
		if i < 0 {
			c.fail("the third, %s, is none of the options: write one of them there, or leave it out", kindOf(given))
		}
		p.Default = float64(i + 1)
	}
	used, err := c.host.use(p)
	c.mustDo(err)
	c.Push(options[int(used)-1])
	return 1
}

// readOrder is order(name, {a, b, c}): a new list of the same in the order from outside, else as they stand.
func readOrder(c call) int {
	options := c.options(mostOrdered)
	used, err := c.host.use(orderOf(c.text(1, "the name"), labels(options)))
	c.mustDo(err)
	list := c.NewTable()
	for _, i := range OrderAt(int(used)-1, len(options)) {
		list.Append(options[i])
	}
	c.Push(list)
	return 1
}

// readWhether is whether(name, default).
func readWhether(c call) int {
	usual, is := c.Get(2).(lua.LBool)
	if !is {
		c.fail(`needs a name, and true or false as the default, as in whether("second trip", false)`)
	}
	used, err := c.host.use(whetherOf(c.text(1, "the name"), bool(usual)))
	c.mustDo(err)
	c.Push(lua.LBool(used == 1))
	return 1
}

// options is the second argument: a list.
func (c call) options(most int) []lua.LValue {
	table, is := c.Get(2).(*lua.LTable)
	if !is {
		c.fail(`needs a name and a list, as in %s("first", {"left", "right"})`, c.method)
	}
	var list []lua.LValue
	table.ForEach(func(key, value lua.LValue) {
		if key != lua.LNumber(len(list)+1) {
			c.fail("the list has %s: write its members alone, with commas between", kindOf(key))
		}
		if list = append(list, value); len(list) > most {
			c.fail("the list has more than %d members", most)
		}
	})
	if len(list) == 0 {
		c.fail("the list is empty: write what there is to choose from")
	}
	return list
}

// labels name the members of a list: a text or a number by itself, a table by its name. What has none, or has one that
// is taken, is called by its place.
func labels(list []lua.LValue) []string {
	var names []string
	for i, v := range list {
		name := ""
		switch v := v.(type) {
		case lua.LString, lua.LNumber, lua.LBool:
			name = v.String()
		case *lua.LTable:
			if own, is := v.RawGetString("name").(lua.LString); is {
				name = string(own)
			}
		}
		names = append(names, label(name, i, names))
	}
	return names
}

// label is a member's own name, if that can be written among others.
func label(name string, i int, taken []string) string {
	const longest = 40 // bytes
	if name = strings.TrimSpace(name); name == "" || len(name) > longest || odd(name) || slices.Contains(taken, name) {
		return "#" + strconv.Itoa(i+1)
	}
	return name
}

// literalFreedom is what a call in a routine's text leaves open, if all that it says is plain.
func literalFreedom(call sandbox.Called) (Param, bool) {
	name, is := call.Text(0)
	if !is {
		return Param{}, false
	}
	switch Freedom(call.Name) {
	case Whether:
		yes, is := call.Truth(1)
		return whetherOf(name, yes), is
	case Choice, Order:
		values, is := call.List(1)
		var options []string
		for i, v := range values {
			options = append(options, label(v, i, options))
		}
		switch n := len(options); {
		case !is || n == 0:
			return Param{}, false
		case Freedom(call.Name) == Order:
			return orderOf(name, options), n <= mostOrdered
		}
		p := choiceOf(name, options)
		if len(call.Args) > 2 {
			given, _ := call.Plain(2)
			i := slices.Index(options, given)
			p.Default, p.Used, is = float64(i+1), float64(i+1), i >= 0
		}
		return p, is && len(options) <= mostChoices
	}
	return literalParam(call)
}
