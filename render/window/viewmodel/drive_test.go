package viewmodel

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
	"chalkfield/scripting"
)

// driveFor drives the field's first driver session for so many updates with the controls held.
func driveFor(t *testing.T, d *Model, updates int, controls scripting.PadState) {
	t.Helper()
	d.BeginDrive(d.DriverSessions()[0].Name, nil)
	if !d.Driving() {
		t.Fatal(d.Notice)
	}
	for range updates {
		d.AdvanceDrive(1.0/60, controls)
	}
}

var ahead = scripting.PadState{LeftY: 0.5}

func TestADriveThatDidNotBeginLeavesEverythingAsItWas(t *testing.T) {
	d, disk := opened(t)
	disk.routine = text(700)
	d.Reload()
	finish(t, d)
	d.Seek(1.5)
	now, before, runs, end := d.Now, d.Before, d.Runs, d.End
	driveFor(t, d, 30, scripting.PadState{})
	if d.EndDrive() || d.Now != now || d.Before != before || d.Driven != nil || d.Runs != runs || d.Time != 1.5 ||
		d.End != end || d.Mode != Watch {
		t.Errorf("time %g of %g, runs %d, driven %v, mode %s", d.Time, d.End, d.Runs, d.Driven != nil, d.Mode)
	}
}

func TestARehearsalCutShortByAnEmptyDriveIsMadeAgain(t *testing.T) {
	d, disk := opened(t)
	disk.routine = text(700)
	d.Reload()
	driveFor(t, d, 1, scripting.PadState{})
	d.EndDrive()
	finish(t, d)
	if d.Runs != 2 || !strings.Contains(strings.Join(d.Now.Source.Lines, ""), "ahead(700)") {
		t.Errorf("runs %d", d.Runs)
	}
}

func TestADriveIsKeptAndTheRehearsalAfterItIsComparedWithTheOneBefore(t *testing.T) {
	d, disk := opened(t)
	first := d.Now
	driveFor(t, d, 60, ahead)
	if want := d.Now.Seconds(); d.Length() != want || want < 30 {
		t.Errorf("a drive under way lasts %g s, want the session's %g", d.Length(), want)
	}
	if !d.EndDrive() || d.Now != d.Driven || d.Length() != d.End {
		t.Fatal("the drive is not shown")
	}
	drive := d.Driven
	disk.routine = text(700)
	d.Reload()
	finish(t, d)
	if d.Before != first || !strings.Contains(d.Notice.Text, "later") {
		t.Errorf("compared with the first run: %v, notice %q", d.Before == first, d.Notice.Text)
	}
	second := d.Now
	d.ShowDriven()
	if d.Now != drive || d.Time != 0 || d.End != drive.Index.End() || d.Before != nil {
		t.Errorf("the drive is shown: %v, at %g of %g", d.Now == drive, d.Time, d.End)
	}
	d.Rehearse()
	finish(t, d)
	if d.Before != second || d.Driven != drive {
		t.Error("the drive took the place of the run before")
	}
}

func TestRehearsingEndsADriveAndKeepsIt(t *testing.T) {
	d, _ := opened(t)
	driveFor(t, d, 60, ahead)
	d.Reload()
	finish(t, d)
	if d.Driving() || d.Driven == nil || d.Now == d.Driven || d.Mode != Watch {
		t.Errorf("driving %v, kept %v, mode %s", d.Driving(), d.Driven != nil, d.Mode)
	}
}

func TestTheFirstPressRunsItsMacro(t *testing.T) {
	for _, c := range []struct {
		name    string
		nominal bool // without it the robot's drawn reaction time passes first
		held    int  // updates
	}{
		{"held", true, 6}, {"tapped", true, 1}, {"held, slow to react", false, 6}, {"tapped, slow to react", false, 1},
	} {
		d, disk := opened(t)
		disk.routine = strings.Replace(text(300), "while true do",
			`pad:bind("a", function() note("macro") end) while true do`, 1)
		d.Reload()
		finish(t, d)
		d.Setup.Nominal, d.Setup.Seed = c.nominal, 1
		driveFor(t, d, c.held, scripting.PadState{Buttons: []string{"a"}})
		for range 40 {
			d.AdvanceDrive(1.0/60, scripting.PadState{})
		}
		macros := 0
		for _, e := range d.Now.Record.Events {
			if e.Kind == record.Note && e.Text == "macro" {
				macros++
			}
		}
		if macros != 1 {
			t.Errorf("%s: the macro ran %d times", c.name, macros)
		}
	}
}

func TestAPressIsForgottenWhenNobodyAsksForIt(t *testing.T) {
	p := &livePad{}
	p.hold(scripting.PadState{Buttons: []string{"b"}}, 1)
	p.hold(scripting.PadState{Buttons: []string{"a"}}, 1.2)
	p.hold(scripting.PadState{}, 1.3)
	if got := p.At(1.4).Buttons; len(got) != 1 || got[0] != "a" {
		t.Errorf("asked after 0.2 s and 0.4 s: %q", got)
	}
	if got := p.At(1.41).Buttons; len(got) != 0 {
		t.Errorf("asked again: %q", got)
	}
}

func TestADriveByPlainWheelsLightsNoLineOfTheRoutine(t *testing.T) {
	d, _ := opened(t)
	hand, err := scripting.LoadTexts("hand.lua", map[string]string{
		"hand.lua": "return routine {driver = function() while true do wait() end end}"})
	if err != nil {
		t.Fatal(err)
	}
	d.BeginDrive(d.DriverSessions()[0].Name, hand)
	d.Go()
	for range 30 {
		d.AdvanceDrive(1.0/60, scripting.PadState{})
		for _, line := range d.LitLines() {
			if line != 0 {
				t.Fatalf("line %d of the routine is lit at %g s though plain wheels run", line, d.Time)
			}
		}
	}
	d.EndDrive()
	d.BeginDrive(d.DriverSessions()[0].Name, nil)
	if !d.Now.Source.Same(d.Text) {
		t.Error("the routine's own driver function has no lines")
	}
	if (Source{}).Same(Source{}) {
		t.Error("no text is the same as no text: its lines would be lit")
	}
}

func TestADriveOfAnotherFieldOpposesNobody(t *testing.T) {
	d, _ := opened(t)
	driveFor(t, d, 30, ahead)
	d.EndDrive()
	if err := d.Oppose(); err != nil || d.Opponent() == nil {
		t.Fatal(err)
	}
	other := *d.Setup.Field
	other.SHA256 = strings.Repeat("0", 64)
	d.Setup.Field = &other
	if d.Opponent() != nil || d.Oppose() == nil {
		t.Error("a drive of another field is taken as an opponent")
	}
	driveFor(t, d, 1, scripting.PadState{})
	if robots := len(d.Now.Record.Header.Robots); robots != 1 {
		t.Errorf("%d robots", robots)
	}
}

func TestTheEndOfTheSessionEndsTheDrive(t *testing.T) {
	d, _ := opened(t)
	driveFor(t, d, 2, ahead)
	for i := 0; d.Driving() && i < 5000; i++ {
		d.AdvanceDrive(mostLag, scripting.PadState{})
	}
	if d.Driving() || d.Driven == nil || math.Abs(d.End-d.Driven.Seconds()) > 1e-6 {
		t.Errorf("driving %v, end %g", d.Driving(), d.End)
	}
}

// Esc after a second of driving: the sheet is that of the moment, and the record is whole.
func TestADriveEndedEarlyHasItsScoreSheet(t *testing.T) {
	d, _ := opened(t)
	driveFor(t, d, 60, ahead)
	if !d.EndDrive() {
		t.Fatal("nothing was driven")
	}
	sheet := d.Driven.Record.Sheet
	if len(sheet.Sides) != 2 || len(sheet.Rows) == 0 || len(sheet.Left) != 1 || !(sheet.Left[0].Battery > 0) {
		t.Fatalf("the sheet is %+v", sheet)
	}
	for side, total := range sheet.Total {
		if shown := d.Driven.Total(side, d.End); shown != fmt.Sprintf("%g", total) {
			t.Errorf("side %d: the sheet says %g, the strip %s", side, total, shown)
		}
	}
	var file bytes.Buffer
	if err := d.Driven.Record.Write(&file); err != nil {
		t.Fatal(err)
	}
	back, err := record.Read("drive", &file)
	if err != nil || len(back.Sheet.Rows) != len(sheet.Rows) {
		t.Errorf("read back: %v", err)
	}
	last := d.Driven.Record.Samples[len(d.Driven.Record.Samples)-1]
	if d.End != last.T || d.End < 0.8 || d.End > 1.1 {
		t.Errorf("it ends at %g s, the last sample is of %g s", d.End, last.T)
	}
}

// A match driven from the driver's phase on: the autonomous phase has been lived through as it is otherwise, and the
// clock waits.
func TestADriveBeginsAtTheDriversPhase(t *testing.T) {
	d, _ := opened(t)
	session := ""
	for _, s := range d.DriverSessions() {
		if d.BeginsAlone(s.Name) {
			session = s.Name
		}
	}
	d.BeginDrive(session, nil)
	d.SkipToDriver()
	for range 500 {
		d.Go() // too early
		d.AdvanceDrive(1.0/60, ahead)
		if d.drive.until == 0 {
			break
		}
	}
	phases := d.Now.Record.Header.Phases
	if d.Begun() || d.Time != phases[1].Start {
		t.Fatalf("begun %v at %g s, the driver's phase begins at %g s", d.Begun(), d.Time, phases[1].Start)
	}
	auto := d.Now.Record.Samples[len(d.Now.Record.Samples)-1].Robots[0].True
	for range 30 {
		d.AdvanceDrive(1.0/60, ahead)
	}
	if !d.EndDrive() || d.Driven == nil {
		t.Fatal("nothing was driven")
	}
	driven := d.Driven.Record
	d.BeginDrive(session, nil)
	d.Go()
	for d.Time < phases[1].Start-0.01 {
		d.AdvanceDrive(mostLag, scripting.PadState{})
	}
	d.EndDrive()
	for i, s := range driven.Samples {
		if s.T > phases[1].Start-0.05 {
			break
		}
		if other := d.Driven.Record.Samples[i].Robots[0].True; other != s.Robots[0].True {
			t.Fatalf("at %g s the robot stands at %v, lived through with the clock at %v", s.T, s.Robots[0].True, other)
		}
	}
	if end := driven.Samples[len(driven.Samples)-1].Robots[0].True; end == auto {
		t.Error("the keys did not drive")
	}

	d.BeginDrive(session, nil) // given up before the first move: nothing of it stays
	d.SkipToDriver()
	for range 60 {
		d.AdvanceDrive(1.0/60, scripting.PadState{})
	}
	if before := d.Driven; d.EndDrive() || d.Driven != before {
		t.Error("a drive that did not begin is kept")
	}
}
