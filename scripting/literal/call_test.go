package literal

import (
	"slices"
	"testing"
)

func TestCallsHaveTheirValues(t *testing.T) {
	text := "local function go(a, b) end\nbot.drive:visit(1562, 2 * tile, {reverse = true, speed = 400})\n" +
		"bot.drive:trace({{1, 2},\n {x = -3, y = 4}})\nawait(function() local a, b = 1, 2 if a then go(5) end end, 1)\n"
	calls := Calls(text)
	var names []string
	for _, c := range calls {
		names = append(names, c.Of+":"+c.Name)
	}
	if !slices.Equal(names, []string{"drive:visit", "drive:trace", ":await", ":go"}) {
		t.Fatal(names)
	}
	visit := calls[0]
	if len(visit.Args) != 3 || visit.Line != 2 || visit.Args[0].Number.Text != "1562" || visit.Args[1].Number != nil ||
		text[visit.Args[1].From:visit.Args[1].To] != "2 * tile" || visit.Args[2].List[1].Key != "speed" ||
		visit.Args[2].List[1].Number.Text != "400" {
		t.Errorf("%+v", visit)
	}
	trace := calls[1]
	if trace.Line != 3 || trace.Last != 4 || len(trace.Args) != 1 || len(trace.Args[0].List) != 2 ||
		trace.Args[0].List[1].List[0].Key != "x" || trace.Args[0].List[1].List[0].Number.Text != "-3" {
		t.Errorf("%+v", trace)
	}
	if len(calls[2].Args) != 2 || calls[2].Args[1].Number.Text != "1" || calls[3].Args[0].Number.Text != "5" {
		t.Errorf("%+v", calls[2:])
	}
}

func TestNear(t *testing.T) {
	for _, c := range []struct {
		text  string
		value float64
		want  string
	}{
		{"f(1562)", 1580.4, "1580"}, {"f(1562)", -1580.6, "-1581"}, {"f(-3.5)", 0.26, "0.3"}, {"f(1e3)", 2600, "3e3"},
		{"x = a - 5", -4, "0"},
	} {
		if got := Numbers(c.text)[0].Near(c.value).Text; got != c.want {
			t.Errorf("%s near %g: %s, want %s", c.text, c.value, got, c.want)
		}
	}
}
