package scripting

import (
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// An L of 3 m by 2 m whose upper right square metre is missing.
var elbow = geom.Polygon{{}, {X: 3}, {X: 3, Y: 1}, {X: 2, Y: 1}, {X: 2, Y: 2}, {Y: 2}}

// Whether a place is off the field is asked in the field's frame, and told in the routine's.
func TestAPlaceOffTheFieldIsWarnedOf(t *testing.T) {
	turned := geom.Symmetry{Kind: geom.HalfTurn, Centre: geom.Vec{X: 1.5, Y: 1}}
	const off, corner = " is off the field\nwrite a place on it, in mm: it lies from (0, 0) to (3000, 2000)",
		" is off the field, in a corner that its floor does not have\nwrite a place on the floor"
	for _, c := range []struct {
		name  string
		frame geom.Symmetry
		place string
		want  string
	}{
		{"on it", geom.Symmetry{}, "(500, 500)", ""},
		{"the missing corner", geom.Symmetry{}, "(2500, 1500)", corner},
		{"beyond the wall", geom.Symmetry{}, "(3100, 500)", off},
		{"below", geom.Symmetry{}, "(500, -100)", off},
		{"the corner that is missing for the other side", turned, "(500, 500)", corner},
		{"on it for the other side", turned, "(2500, 1500)", ""},
		{"beyond the wall for the other side", turned, "(3100, 500)", off},
	} {
		s := stageOf(t, load(t, auto("bot.drive:visit"+c.place)), Env{Floor: elbow, Frame: c.frame})
		s.play(Auto, 0.1)
		want := c.want
		if want != "" {
			want = "bot.drive:visit: " + c.place + want
		}
		if got := s.warnings(); got != want {
			t.Errorf("%s: warns %q, want %q", c.name, got, want)
		}
	}
}

// A line is warned of once for each call on it, however often it runs; another line with the same call again.
func TestALineIsWarnedOfOnce(t *testing.T) {
	body := "for i = 1, 5 do bot.intake:run(-13) bot.lift:volts(13) end\nbot.intake:run(-13)"
	s := stageOf(t, load(t, auto(body)), Env{Charge: 12.5})
	s.play(Auto, 0.1)
	const instead = "\nit is 12.5 V: write from -12.5 to 12.5, what is beyond has no effect"
	want := "bot.intake:run: 13 V are more than the charged battery has" + instead + "\n" +
		"bot.lift:volts: 13 V are more than the charged battery has" + instead + "\n" +
		"bot.intake:run: 13 V are more than the charged battery has" + instead
	if got := s.warnings(); got != want {
		t.Errorf("warns\n%s\nwant\n%s", got, want)
	}
}

// Where the host is told neither charge nor floor, and at the charge itself, there is nothing to warn of.
func TestNothingIsWarnedOfWithoutReason(t *testing.T) {
	for _, env := range []Env{{}, {Charge: 20, Floor: geom.Rect(geom.Vec{}, geom.Vec{X: 10, Y: 10})}} {
		body := "bot.intake:run(20) bot.drive:visit(9000, 9000, {timeout = 0.1}) bot.drive:face({-1, -1})"
		s := stageOf(t, load(t, auto(body)), env)
		if s.play(Auto, 0.3); s.warnings() != "" || s.failure() != "" {
			t.Errorf("warns %q, fails %q", s.warnings(), s.failure())
		}
	}
}

func (s *stage) warnings() string {
	var texts []string
	for _, e := range s.events {
		if e.Kind == record.Warning {
			texts = append(texts, strings.TrimSpace(e.Text+"\n"+e.Instead))
		}
	}
	return strings.Join(texts, "\n")
}
