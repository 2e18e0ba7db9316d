package literal

// Declared is a name that a text declares: a local, a parameter, a function of its own.
type Declared struct {
	Name  string
	At    int // byte
	Depth int // blocks and functions around it; 0: it can be used in all that follows
}

// Declarations are those of a text, in its order.
func Declarations(text string) []Declared {
	p := parser{text: text, tokens: Code(text)}
	var list []Declared
	depth := 0
	for i := range p.tokens {
		from, deeper := 0, 0
		switch word := p.word(i); word {
		case "function", "do", "if", "repeat":
			depth++
			from = i + 1
			if word != "function" {
				continue
			}
			for ; p.word(from) != "(" && from < len(p.tokens); from++ { // its name
				if from == i+1 && p.word(i+2) == "(" && p.tokens[from].Kind == Name {
					list = append(list, Declared{p.word(from), p.tokens[from].From, depth - 1})
				}
			}
			from++
		case "end", "until":
			depth--
			continue
		case "local":
			if from = i + 1; p.word(from) == "function" {
				continue
			}
		case "for":
			from, deeper = i+1, 1
		default:
			continue
		}
		for k := from; k < len(p.tokens) && p.tokens[k].Kind == Name && !keyword(p.word(k)); k += 2 {
			list = append(list, Declared{p.word(k), p.tokens[k].From, depth + deeper})
			if p.word(k+1) != "," {
				break
			}
		}
	}
	return list
}

// Used are the names that a text uses which are no members of anything, each once.
func Used(text string) []string {
	p := parser{text: text, tokens: Code(text)}
	var list []string
	seen := map[string]bool{}
	for i, t := range p.tokens {
		word := p.word(i)
		member := p.word(i-1) == "." || p.word(i-1) == ":"
		key := p.word(i+1) == "=" && (p.word(i-1) == "{" || p.word(i-1) == ",")
		if t.Kind == Name && !member && !key && !seen[word] {
			seen[word] = true
			list = append(list, word)
		}
	}
	return list
}

// Before is the part of a text that stands before a call in a return at its end, as in `return routine {...}`; false
// where it has none.
func Before(text, name string) (string, bool) {
	p := parser{text: text, tokens: Code(text)}
	depth := 0
	for i, t := range p.tokens {
		switch p.word(i) {
		case "function", "do", "if", "repeat":
			depth++
		case "end", "until":
			depth--
		case "return":
			if depth == 0 && p.word(i+1) == name {
				return text[:t.From], true
			}
		}
	}
	return "", false
}
