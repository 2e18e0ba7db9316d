package literal

import "math"

// place is where a token stands: as a value of a call or of a table.
type place struct {
	call  string // the function or method before the bracket; "" in a table or in neither
	first int    // token after the call's bracket
	arg   int    // of the call, from 0
	key   string // of the table's value; "" for none
}

// placesOf gives every token its place, by the bracket that is open around it.
func placesOf(text string, tokens []Token) []place {
	places := make([]place, len(tokens))
	var open []place
	for i, t := range tokens {
		var now place
		if len(open) > 0 {
			now = open[len(open)-1]
		}
		places[i] = now
		switch word := t.Of(text); {
		case t.Kind != Sign:
		case word == "(" || word == "{" || word == "[":
			next := place{first: i + 1}
			if word == "(" && i > 0 && tokens[i-1].Kind == Name {
				next.call = tokens[i-1].Of(text)
			}
			open = append(open, next)
		case (word == ")" || word == "}" || word == "]") && len(open) > 0:
			open = open[:len(open)-1]
		case word == "," && len(open) > 0:
			open[len(open)-1].arg++
			open[len(open)-1].key = ""
		case word == "=" && len(open) > 0 && now.call == "" && i > 0:
			open[len(open)-1].key = tokens[i-1].Of(text)
		}
	}
	return places
}

// aboveZero are the options of motions that must be more than nothing.
var aboveZero = map[string]bool{"speed": true, "accel": true, "turn_speed": true, "turn_accel": true, "exit": true,
	"within": true, "within_angle": true, "timeout": true}

// fromZero are the gains, and what else takes no negative number.
var fromZero = map[string]bool{"along": true, "damping": true}

// limit sets what the call or option takes whose whole value the number is.
func (p place) limit(n *Number, text string, tokens []Token) {
	switch {
	case aboveZero[p.key]:
		n.Low = n.unit()
	case fromZero[p.key]:
		n.Low = 0
	case p.call == "wait":
		n.Low = 0
	case p.call == "param":
		n.limitParam(p, text, tokens)
	}
}

// aloneIn reports whether what stands between two tokens is the whole of a value: nothing is reckoned with it.
func aloneIn(text string, tokens []Token, before, after int) bool {
	if before < 0 || after >= len(tokens) {
		return false
	}
	switch tokens[before].Of(text) {
	case "(", ",", "=", "{", ";":
	default:
		return false
	}
	switch tokens[after].Of(text) {
	case ")", ",", "}", ";":
		return true
	}
	return false
}

// limitParam keeps param(name, default, least, greatest) in its order, where these are numbers and not reckoned.
func (n *Number) limitParam(p place, text string, tokens []Token) {
	values := [4]float64{0, math.NaN(), math.Inf(-1), math.Inf(1)}
	arg := 0
	for i := p.first; i < len(tokens) && arg < len(values); i++ {
		switch word := tokens[i].Of(text); {
		case word == ")" || word == "(" || word == "{":
			i = len(tokens)
		case word == ",":
			arg++
		case tokens[i].Kind == Digits && aloneWithSign(text, tokens, i):
			values[arg] = valueOf(word)
			if signed(text, tokens, i) {
				values[arg] = -values[arg]
			}
		}
	}
	if arg < 3 {
		return
	}
	switch p.arg {
	case 1:
		n.Low, n.High = values[2], values[3]
	case 2:
		n.High = least(values[1], values[3])
	case 3:
		n.Low = -least(-values[1], -values[2])
	}
}

// least is the less of two, of which the first may be no number.
func least(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return math.Min(a, b)
}

// aloneWithSign reports whether a number, with the sign before it if it has one, is the whole of a value.
func aloneWithSign(text string, tokens []Token, i int) bool {
	before := i - 1
	if signed(text, tokens, i) {
		before--
	}
	return aloneIn(text, tokens, before, i+1)
}
