package literal

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Number is a number in a text, with the minus before it where that is its sign and no subtraction.
type Number struct {
	From, To  int // bytes of the text
	Line      int // from 1
	Text      string
	Low, High float64 // that may stand there: by the call that takes it, else infinite
}

// Numbers are those of a text, in its order.
func Numbers(text string) []Number {
	tokens := Code(text)
	places := placesOf(text, tokens)
	var list []Number
	for i, t := range tokens {
		if t.Kind != Digits {
			continue
		}
		n := Number{From: t.From, To: t.To, Line: t.Line, Low: math.Inf(-1), High: math.Inf(1)}
		before := i - 1
		if signed(text, tokens, i) {
			n.From, before = tokens[i-1].From, i-2
		}
		n.Text = text[n.From:n.To]
		if aloneIn(text, tokens, before, i+1) {
			places[i].limit(&n, text, tokens)
		}
		n.keepSign(text, tokens, before)
		list = append(list, n)
	}
	return list
}

// Nth is a number of a line, both counted from 1, of those that can be stepped.
func Nth(text string, line, nth int) (Number, error) {
	have := 0
	for _, n := range Numbers(text) {
		if n.Line != line || !n.Turns() {
			continue
		}
		if have++; have == nth {
			return n, nil
		}
	}
	if have == 0 {
		return Number{}, fmt.Errorf("line %d has no number", line)
	}
	return Number{}, fmt.Errorf("line %d has %d numbers: there is no %d", line, have, nth)
}

// Code is the tokens without remarks.
func Code(text string) []Token {
	var list []Token
	for _, t := range Tokens(text) {
		if t.Kind != Remark {
			list = append(list, t)
		}
	}
	return list
}

// signed reports whether the token before a number is its minus: it touches the number, and nothing is subtracted from.
func signed(text string, tokens []Token, i int) bool {
	if i == 0 || tokens[i-1].Of(text) != "-" || tokens[i-1].To != tokens[i].From {
		return false
	}
	return i == 1 || !endsValue(text, tokens[i-2])
}

// endsValue reports whether a minus after the token subtracts.
func endsValue(text string, t Token) bool {
	switch word := t.Of(text); t.Kind {
	case Digits, Quoted:
		return true
	case Name:
		switch word {
		case "and", "or", "not", "return", "in", "if", "elseif", "while", "until", "then", "do", "else", "repeat":
			return false
		}
		return true
	default:
		return word == ")" || word == "]" || word == "}" || word == "..."
	}
}

// keepSign: after an operator a number gets no minus, which might make a remark of the rest of the line, and one that
// stands hard after a word keeps its own.
func (n *Number) keepSign(text string, tokens []Token, before int) {
	if before < 0 {
		return
	}
	t := tokens[before]
	if word := t.Of(text); t.Kind == Sign && strings.Contains("+-*/%^..", word) && n.Text[0] != '-' {
		n.Low = math.Max(n.Low, 0)
	}
	if n.Text[0] == '-' && t.To == n.From && t.Kind == Name {
		n.High = math.Min(n.High, -n.unit())
	}
}

// Value is the number itself.
func (n Number) Value() float64 { return valueOf(n.Text) }

func valueOf(text string) float64 {
	body, minus := strings.CutPrefix(text, "-")
	var value float64
	if isHex(body) {
		whole, err := strconv.ParseUint(body[2:], 16, 64)
		if value = float64(whole); err != nil {
			return math.NaN()
		}
	} else {
		var err error
		if value, err = strconv.ParseFloat(body, 64); err != nil {
			return math.NaN()
		}
	}
	if minus {
		return -value
	}
	return value
}

// form is how a number is written: a whole number of units, where the point stands, and what comes after.
type form struct {
	units    int64
	decimals int // digits after the point
	point    bool
	bare     bool   // .5: no digit before the point
	width    int    // digits before the point that are written at least
	exponent string // "e3"; "" for none
	hex      string // "0x"
	upper    bool
}

const mostDigits = 15 // more do not fit a float64 exactly

func (n Number) form() (form, bool) {
	body, minus := strings.CutPrefix(n.Text, "-")
	var f form
	var err error
	if isHex(body) {
		f.hex, f.upper, f.width = body[:2], strings.ToLower(body[2:]) != body[2:], len(body)-2
		if f.width > 12 {
			return f, false
		}
		f.units, err = strconv.ParseInt(body[2:], 16, 64)
	} else {
		if at := strings.IndexAny(body, "eE"); at >= 0 {
			body, f.exponent = body[:at], body[at:]
		}
		whole, part, point := strings.Cut(body, ".")
		f.point, f.decimals, f.bare = point, len(part), whole == ""
		if len(whole) > 1 && whole[0] == '0' {
			f.width = len(whole)
		}
		if len(whole)+len(part) > mostDigits {
			return f, false
		}
		f.units, err = strconv.ParseInt(whole+part, 10, 64)
	}
	if minus {
		f.units = -f.units
	}
	return f, err == nil && !math.IsNaN(n.Value())
}

// text writes the number as it was written before.
func (f form) text() string {
	units, sign := f.units, ""
	if units < 0 {
		units, sign = -units, "-"
	}
	if f.hex != "" {
		digits := strconv.FormatInt(units, 16)
		if f.upper {
			digits = strings.ToUpper(digits)
		}
		return sign + f.hex + strings.Repeat("0", max(0, f.width-len(digits))) + digits
	}
	digits := strconv.FormatInt(units, 10)
	digits = strings.Repeat("0", max(0, f.decimals+max(f.width, 1)-len(digits))) + digits
	whole, part := digits[:len(digits)-f.decimals], digits[len(digits)-f.decimals:]
	if f.bare && whole == "0" {
		whole = ""
	}
	if f.point {
		whole += "."
	}
	return sign + whole + part + f.exponent
}

// Turns reports whether the number can be stepped; one with too many digits cannot.
func (n Number) Turns() bool {
	_, ok := n.form()
	return ok
}

// Unit is so many of its last digit as they would be written.
func (n Number) Unit(count int) string {
	f, _ := n.form()
	f.units, f.width = int64(count), 0
	return f.text()
}

// Stride is how many of its last digits a usual step is: 1, 2 or 5 of a decimal place, a fiftieth of the number at
// most, so that a hand's width goes through what may be meant. 1562 goes by 20, 260 by 5, 90
// by 1, 0.12 by 0.01.
func (n Number) Stride() int {
	f, ok := n.form()
	if !ok || f.hex != "" {
		return 1
	}
	const share = 50
	most := max(f.units, -f.units) / share
	stride := int64(1)
	for _, by := range []int64{2, 5, 10} {
		for decade := int64(1); decade*by <= most; decade *= 10 {
			stride = max(stride, decade*by)
		}
	}
	return int(stride)
}

// unit is what a step changes the number by: one of its last digit.
func (n Number) unit() float64 {
	f, ok := n.form()
	if !ok {
		return 0
	}
	f.units = 1
	return math.Abs(valueOf(f.text()))
}

// Step is the number so many steps on, one of its last digit each, within its limits.
func (n Number) Step(by int) Number {
	f, ok := n.form()
	if !ok {
		return n
	}
	const most = 999_999_999_999_999
	low, high := int64(-most), int64(most)
	if unit := n.unit(); unit > 0 {
		const slip = 1e-6 // of a unit, by which a quotient may be off
		low = int64(max(math.Ceil(n.Low/unit-slip), -most))
		high = int64(min(math.Floor(n.High/unit+slip), most))
	}
	if to := f.units + int64(by); by > 0 {
		f.units = min(to, max(f.units, high)) // one beyond the limits already stays where it is
	} else {
		f.units = max(to, min(f.units, low))
	}
	n.Text = f.text()
	return n
}

func (n Number) allows(value float64) bool { return value >= n.Low && value <= n.High }

// Typed is the number with what a person typed in its place.
func (n Number) Typed(typed string) (Number, error) {
	list := Numbers(typed)
	if len(list) != 1 || list[0].Text != typed || math.IsNaN(valueOf(typed)) || math.IsInf(valueOf(typed), 0) {
		return n, fmt.Errorf("%q is no number: write digits, such as 12, -0.5 or 1e3", typed)
	}
	if value := list[0].Value(); !n.allows(value) {
		return n, fmt.Errorf("%s %s", typed, n.refusal())
	}
	n.Text = typed
	return n, nil
}

// refusal says what may stand in the number's place.
func (n Number) refusal() string {
	switch {
	case math.IsInf(n.High, 1):
		return fmt.Sprintf("is too small here: %g is the least", n.Low)
	case math.IsInf(n.Low, -1):
		return fmt.Sprintf("is too large here: %g is the greatest", n.High)
	}
	return fmt.Sprintf("does not fit here: write from %g to %g", n.Low, n.High)
}
