package rehearse

import (
	"context"
	"errors"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/fields"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/scripting"
	"chalkfield/sim/robot"

	"pgregory.net/rapid"
)

// number is every number of a TOML file as a value, with its unit left out.
var number = regexp.MustCompile(`(?m)(= |\[|, |")([-+]?\d[\d.]*)( [a-zA-Z]|\]|,|$| }|")`)

// odd are numbers that a slip, a script or ill will may put into a file.
var odd = []string{"nan", "inf", "-inf", "1e308", "-1e308", "1e-308", "5e-324", "0", "-0", "-1", "1e-9", "1e9",
	"0.0001", "10000", "3", "-0.5"}

// everyPart is what the embedded robot leaves at its default.
const everyPart = `
[control]
speed = "900 mm/s"
accel = "2000 mm/s^2"
turn_rate = "200 deg/s"
turn_accel = "700 deg/s^2"
along_p = "4 1/s"
heading_p = "5 1/s"
heading_d = 0.1
`

// busy uses each of the robot's parts, so that no number of its file is idle.
const busy = `return routine { title = "busy", start = {x = 600, y = 450, heading = 0},
  auto = function(bot)
    bot.intake:run(11)
    bot.conveyor:run(6)
    task(function() bot.lift:to("rack") end)
    bot.drive:ahead(180, {speed = 700, timeout = 0.4})
    bot.clamp:shut()
    bot.claw:grab()
    bot.drive:visit(600, 950, {reverse = true, timeout = 0.5})
    bot.drive:face(-90, {timeout = 0.3})
    bot.clamp:open()
    note(string.format("%.1f mm, %.1f deg", bot.sense.front:mm(), bot.lift:angle()))
  end,
}`

// mangled replaces some of a file's numbers.
func mangled(t *rapid.T, what, text string) string {
	spots := number.FindAllStringSubmatchIndex(text, -1)
	for range rapid.IntRange(0, 2).Draw(t, what+": how many") {
		at := spots[rapid.IntRange(0, len(spots)-1).Draw(t, what+": which")]
		was := text[at[4]:at[5]]
		now := rapid.SampledFrom(odd).Draw(t, what+": odd number")
		if rapid.Bool().Draw(t, what+": a factor") {
			now = was + rapid.SampledFrom([]string{"e-300", "e-5", "e-3", "e-1", "e0", "e1", "e2", "e4", "e300"}).Draw(t,
				what+": which factor")
		}
		text = text[:at[4]] + now + text[at[5]:]
		spots = number.FindAllStringSubmatchIndex(text, -1)
	}
	return text
}

// Whatever numbers a robot and a field file hold: each is refused with its place, or gives a rehearsal of finite
// numbers. A rehearsal refuses the first number that is not finite, so its error would show here.
func TestNoNumberOfAFileMakesARehearsalLoseItsNumbers(t *testing.T) {
	robotText, err := robot.EmbeddedSource("hauler")
	if err != nil {
		t.Fatal(err)
	}
	fieldText, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	program, err := scripting.LoadFS(fstest.MapFS{"busy.lua": {Data: []byte(busy)}}, "busy.lua")
	if err != nil {
		t.Fatal(err)
	}
	short := regexp.MustCompile(`length = "\d+ s"`).ReplaceAllString(string(fieldText), `length = "2 s"`)
	ran := 0
	mangle := func(t *rapid.T) {
		robot, err := robot.Parse("robot.toml", []byte(mangled(t, "robot", string(robotText)+everyPart)))
		if refused(t, err) {
			return
		}
		field, err := fields.Parse("field.toml", []byte(mangled(t, "field", short)))
		if refused(t, err) {
			return
		}
		setup := Setup{Field: field, Seed: 3, Entrants: []Entrant{{Robot: robot, Routine: program}}}
		setup.Session = field.Sessions[len(field.Sessions)-1].Name
		if len(field.Sessions) == 0 || seconds(field) > 10 {
			return
		}
		ran++
		rec, err := Run(context.Background(), setup)
		if err != nil && strings.Contains(err.Error(), "no finite number") {
			t.Fatal(err)
		}
		if err != nil {
			return // a start where a goal now stands
		}
		if _, err := rec.Fingerprint(); err != nil {
			t.Fatal(err)
		}
	}
	property.Check(t, func(t *rapid.T) {
		for range property.Cases(3, 1) { // most files are refused: it takes a hundred
			mangle(t)
		}
	})
	if ran < 5 { // about a quarter of 100 are read
		t.Errorf("only %d rehearsals were made: the numbers are refused too often for this to test anything", ran)
	}
	t.Logf("%d rehearsals", ran)
}

// refused reports whether a file has an error, which must have a place.
func refused(t *rapid.T, err error) bool {
	var all *tomlfile.Errors
	if err != nil && (!errors.As(err, &all) || all.List[0].Line < 1) {
		t.Fatalf("an error without a place: %v", err)
	}
	return err != nil
}

func seconds(f *fields.Field) (sum float64) {
	for _, p := range f.Phases {
		sum += p.Seconds
	}
	return sum
}

// What slips through all the same ends the rehearsal with its time, the robot and the quantity, instead of a record of
// NaN.
func TestANumberThatIsNotFiniteEndsTheRehearsal(t *testing.T) {
	field, err := fields.OpenEmbedded("practice_yard")
	if err != nil {
		t.Fatal(err)
	}
	program, err := scripting.LoadFS(fstest.MapFS{"far.lua": {Data: []byte(
		"return routine { title = \"far\", start = {x = 600, y = 600, heading = 0}, auto = function(bot) " +
			"bot.drive:ahead(400) end }")}}, "far.lua")
	if err != nil {
		t.Fatal(err)
	}
	robot, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	robot.Sensors[1].Encoder.Resolution = 1e-311 // as no file can have it
	setup := Setup{Field: field, Nominal: true, Entrants: []Entrant{{Robot: robot, Routine: program}}}
	rec, err := Run(context.Background(), setup)
	if err == nil {
		t.Fatalf("a record of %d samples", len(rec.Samples))
	}
	want := regexp.MustCompile(`^at 0\.\d\d s the sensor "right_encoder" of robot 1 \(hauler\.toml, far\.lua\) is no ` +
		`finite number any more, so the rehearsal ends: `)
	if !want.MatchString(err.Error()) {
		t.Error(err)
	}
}
