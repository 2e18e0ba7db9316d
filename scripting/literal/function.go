package literal

import "slices"

// Function is one that a text defines by a name of its own.
type Function struct {
	Name        string
	First, Last int   // lines, of its definition and its end
	Called      []int // lines outside it that call it
}

// Functions are those of a text, in the order of their ends.
func Functions(text string) []Function {
	p := parser{text: text, tokens: Code(text)}
	var list, open []Function // a block that is no function of a name has none
	for i, t := range p.tokens {
		switch word := p.word(i); word {
		case "if", "do", "repeat", "function":
			f := Function{First: t.Line}
			if word == "function" && p.word(i+2) == "(" && p.tokens[i+1].Kind == Name {
				f.Name = p.word(i + 1)
			}
			open = append(open, f)
		case "end", "until":
			if len(open) == 0 {
				continue
			}
			f := open[len(open)-1]
			if open = open[:len(open)-1]; f.Name != "" {
				f.Last = t.Line
				list = append(list, f)
			}
		}
	}
	for _, c := range Calls(text) {
		at := slices.IndexFunc(list, func(f Function) bool { return f.Name == c.Name })
		if at >= 0 && c.Of == "" && (c.Line < list[at].First || c.Line > list[at].Last) {
			list[at].Called = append(list[at].Called, c.Line)
		}
	}
	return list
}
