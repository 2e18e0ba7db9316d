package viewmodel

import (
	"regexp"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/scripting"
	"chalkfield/scripting/literal"
	"chalkfield/sim/robot"
)

// Known is a name of the reference: the tables of the guide's page *routine*, and the robot's own parts and sensors.
type Known struct {
	After string // what stands before it: "bot.drive:"; ":" and "." alone: any value; "{": in a motion's options
	Name  string
	Then  string // what is written after it: "(", ".", " = "
	Form  string // the whole call as it is told of
	Does  string // in a line
}

// inOptions is what stands before the name of an option.
const inOptions = "{"

var (
	quotedForm = regexp.MustCompile("`([^`]+)`")
	calledForm = regexp.MustCompile(`^((?:[a-z_]+[.:])*)([a-z_]+)([({]?)(\)?)`)
)

// Reference is all that can be written for a robot; nil: for any.
func Reference(r *robot.Robot) []Known {
	page, err := assets.GuidePage("routine")
	if err != nil {
		panic(err) // it is part of the program
	}
	var list []Known
	head := ""
	for line := range strings.SplitSeq(page, "\n") {
		cells := strings.Split(strings.Trim(line, "|"), "|")
		switch {
		case !strings.HasPrefix(line, "|"):
			head = ""
		case head == "":
			head = strings.TrimSpace(cells[0])
		case head == "call" && len(cells) > 1:
			list = append(list, knownIn(cells[0], cells[1])...)
		case head == "option" && len(cells) > 2:
			for _, name := range quotedForm.FindAllStringSubmatch(cells[0], -1) {
				list = append(list, Known{inOptions, name[1], " = ", name[1] + " = ", plain(strings.TrimSpace(cells[1]))})
			}
		}
	}
	if r != nil {
		for _, c := range scripting.Calls(r) {
			list = append(list, known(c.Form, plain(c.Does)))
		}
	}
	return append(list, owners(list, r)...)
}

// knownIn are the calls of a table's cell, which share what is told of them.
func knownIn(forms, does string) (list []Known) {
	for _, form := range quotedForm.FindAllStringSubmatch(forms, -1) {
		list = append(list, known(form[1], plain(strings.TrimSpace(does))))
	}
	return list
}

func known(form, does string) Known {
	m := calledForm.FindStringSubmatch(form)
	if m == nil {
		return Known{Name: form, Form: form, Does: does}
	}
	after := m[1]
	if after != "" && !strings.HasPrefix(after, "bot") && !strings.HasPrefix(after, "pad") { // a value's own, by any name
		after = after[len(after)-1:]
	}
	return Known{after, m[2], m[3] + m[4], form, does}
}

// owners are what calls are made on: bot, its parts and sensors.
func owners(list []Known, r *robot.Robot) (more []Known) {
	does := map[string]string{"bot": "the robot", "bot.drive": "the drive base", "bot.sense": "the sensors",
		"pad": "the driver's pad"}
	if r != nil {
		for _, p := range r.Parts {
			does["bot."+p.Name] = string(p.Kind)
		}
		for _, s := range r.Sensors {
			does["bot.sense."+s.Name] = string(s.Kind)
		}
	}
	for _, k := range list {
		for form := k.After; len(form) > 1; {
			owner, sign := form[:len(form)-1], form[len(form)-1:]
			form = owner[:strings.LastIndexAny(owner, ".:")+1]
			if told, is := does[owner]; is {
				more = append(more, Known{form, owner[len(form):], sign, owner, told})
				delete(does, owner)
			}
		}
	}
	return more
}

// Completions are what may be meant by the name that ends at a caret, and the byte at which it begins.
func Completions(reference []Known, line string, caret int, bot string) (list []Known, from int) {
	after, name, ok := spelt(line[:caret], bot)
	if !ok || after == "" && name == "" {
		return nil, caret
	}
	fits := func(k Known) bool {
		any := len(k.After) == 1 && after != "" && strings.HasSuffix(after, k.After) && !strings.HasPrefix(after, "bot") &&
			!strings.HasPrefix(after, "pad")
		option := k.After == inOptions && after == "" && openBrace(line[:caret])
		return (k.After == after || any || option) && strings.HasPrefix(k.Name, name)
	}
	for _, k := range reference {
		if k.Form == "bot" {
			k.Name = bot
		}
		if fits(k) && !slices.ContainsFunc(list, func(o Known) bool { return o.Name == k.Name }) {
			list = append(list, k)
		}
	}
	if len(list) == 1 && list[0].Name == name {
		return nil, caret
	}
	return list, caret - len(name)
}

// spelt is the name that a text ends with, and what stands before it as the reference has it. False: it ends in a
// remark, a text or a number.
func spelt(text, bot string) (after, name string, ok bool) {
	tokens := literal.Tokens(text)
	i := len(tokens) - 1
	if i < 0 {
		return "", "", true
	}
	if last := tokens[i]; last.To == len(text) && last.Kind != literal.Name && last.Kind != literal.Sign {
		return "", "", false
	} else if last.Kind == literal.Remark { // to the end of the line
		return "", "", false
	} else if last.Kind == literal.Name && last.To == len(text) {
		name, i = last.Of(text), i-1
	}
	for ; i > 0; i -= 2 {
		sign, owner := tokens[i].Of(text), tokens[i-1]
		if sign != "." && sign != ":" || owner.Kind != literal.Name {
			break
		}
		of := owner.Of(text)
		if of == bot && (i < 2 || tokens[i-2].Of(text) != "." && tokens[i-2].Of(text) != ":") {
			of = "bot"
		}
		after = of + sign + after
	}
	return after, name, true
}

// openBrace reports whether a brace is open at the end of a text.
func openBrace(text string) bool {
	depth := 0
	for _, t := range literal.Code(text) {
		switch t.Of(text) {
		case "{":
			depth++
		case "}":
			depth--
		}
	}
	return depth > 0
}

// Around is the call whose brackets a caret is in; false: there is none, or no one knows it.
func Around(reference []Known, line string, caret int, bot string) (Known, bool) {
	text := line[:caret]
	tokens := literal.Code(text)
	depth := 0
	for i := len(tokens) - 1; i > 0; i-- {
		switch tokens[i].Of(text) {
		case ")", "}":
			depth++
		case "(", "{":
			if depth--; depth >= 0 {
				continue
			}
			depth = 0
			after, name, _ := spelt(text[:tokens[i-1].To], bot)
			for _, k := range reference {
				if name != "" && k.Name == name && (k.After == after || len(k.After) == 1 && strings.HasSuffix(after, k.After)) {
					return k, true
				}
			}
		}
	}
	return Known{}, false
}

// Taken is a line with a completion in place of what stands from a byte to the caret, and where the caret is then.
func (k Known) Taken(line string, from, caret int) (text string, at int) {
	word := k.Name
	if !strings.HasPrefix(line[caret:], strings.TrimSpace(k.Then)) || k.Then == "" {
		word += k.Then
	}
	return line[:from] + word + line[caret:], from + len(word)
}
