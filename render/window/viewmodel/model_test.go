package viewmodel

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// text is a routine that drives ahead in the free middle of the field.
func text(ahead int) string {
	return fmt.Sprintf(`return routine {
  title = "test",
  start = {x = 600, y = 1000, heading = 0},
  auto = function(bot)
    task(function() wait(1) note("beside") end)
    bot.drive:ahead(%d)
  end,
  driver = function(bot, pad)
    while true do bot.drive:arcade(pad.left_y, pad.right_x) wait(0.01) end
  end,
}
`, ahead)
}

// files is a disk that a test can write on.
type files struct {
	t       *testing.T
	routine string
	broken  error
}

func (f *files) load(Files) (Loaded, error) {
	loaded := Loaded{Source: SourceOf("mine.lua", "", f.routine), Watch: []string{"mine.lua"}}
	if f.broken != nil {
		return loaded, f.broken
	}
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		f.t.Fatal(err)
	}
	robot, err := robot.Find("hauler")
	if err != nil {
		f.t.Fatal(err)
	}
	program, err := scripting.LoadFS(fstest.MapFS{"mine.lua": {Data: []byte(f.routine)}}, "mine.lua")
	if err != nil {
		return loaded, err
	}
	loaded.Setup = rehearse.Setup{Field: field, Nominal: true,
		Entrants: []rehearse.Entrant{{Robot: robot, Routine: program}}}
	return loaded, nil
}

// opened is a model with its first run in it.
func opened(t *testing.T) (*Model, *files) {
	t.Helper()
	disk := &files{t: t, routine: text(300)}
	d := New(Files{}, disk.load)
	t.Cleanup(d.Close)
	d.Reload()
	finish(t, d)
	if d.Now == nil {
		t.Fatal(d.Notice)
	}
	return d, disk
}

// finish waits for the work in the background.
func finish(t *testing.T, d *Model) {
	t.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(time.Millisecond) {
		d.Poll()
		if _, busy := d.Busy(); !busy {
			return
		}
	}
	t.Fatal("the rehearsal does not end")
}

func TestReloadKeepsTheTimeAndTheRunBefore(t *testing.T) {
	d, disk := opened(t)
	d.Playing = false
	d.Seek(1.5)
	first := d.Now
	disk.routine = text(700)
	d.Reload()
	finish(t, d)
	if d.Time != 1.5 || d.Before != first || d.Now == first || d.Runs != 2 {
		t.Errorf("time %g, runs %d", d.Time, d.Runs)
	}
	if !strings.Contains(d.Notice.Text, "later") {
		t.Errorf("the difference is not told: %q", d.Notice.Text)
	}
}

func TestAFaultKeepsTheRunAndSavingRecovers(t *testing.T) {
	d, disk := opened(t)
	run := d.Now
	disk.routine = strings.Replace(text(300), "wait(1)", "wait(1", 1)
	d.Reload()
	if d.Now != run || d.Fault == nil || d.Fault.Line == 0 || !d.Fault.In("mine.lua") || !d.Notice.Bad {
		t.Errorf("fault %+v, notice %+v", d.Fault, d.Notice)
	}
	if d.Text.Lines[4] != strings.Split(disk.routine, "\n")[4] {
		t.Error("the notebook does not have the text with the fault")
	}
	disk.broken = errors.New("robot.toml:3:1: wrong")
	d.Reload()
	if d.Fault.File != "robot.toml" || d.Fault.Line != 3 {
		t.Errorf("fault %+v", d.Fault)
	}
	disk.broken, disk.routine = nil, text(300)
	d.Reload()
	finish(t, d)
	if d.Fault != nil || d.Runs != 2 || d.Notice.Bad {
		t.Errorf("fault %+v, runs %d, notice %+v", d.Fault, d.Runs, d.Notice)
	}
}

func TestAFailureOfTheRoutineIsARunWithItsLine(t *testing.T) {
	d, disk := opened(t)
	disk.routine = strings.Replace(text(300), "bot.drive:ahead", "bot.nothing.at", 1)
	d.Reload()
	finish(t, d)
	if d.Runs != 2 || d.Fault == nil || d.Fault.Line != 6 {
		t.Errorf("runs %d, fault %+v", d.Runs, d.Fault)
	}
}

func TestMoveRehearsesFromThereAndUndoGoesBack(t *testing.T) {
	d, _ := opened(t)
	robot := Thing{RobotThing, 0}
	was, _ := d.Now.PoseOf(robot, 0)
	d.Move(robot, geom.Pose{X: 0.7004, Y: 0.9, Heading: 0.1})
	finish(t, d)
	at, _ := d.Now.PoseOf(robot, 0)
	want := geom.Pose{X: 0.7, Y: 0.9, Heading: math.Round(0.1*1800/math.Pi) * math.Pi / 1800}
	if math.Abs(at.X-want.X)+math.Abs(at.Y-want.Y)+math.Abs(at.Heading-want.Heading) > 3e-6 {
		t.Errorf("starts at %v, want %v: whole millimetres and tenths of a degree", at, want)
	}
	d.Undo()
	finish(t, d)
	if at, _ := d.Now.PoseOf(robot, 0); at != was {
		t.Errorf("after undo at %v, was %v", at, was)
	}
	d.Redo()
	finish(t, d)
	if at, _ := d.Now.PoseOf(robot, 0); math.Abs(at.X-0.7) > 1e-6 {
		t.Errorf("after redo at %v", at)
	}
	d.PutBack()
	finish(t, d)
	if at, _ := d.Now.PoseOf(robot, 0); at != was {
		t.Errorf("put back to %v, was %v", at, was)
	}
}

// What the spread draws must not get into the start that is moved, written, or driven from.
func TestTheDrawnOffsetIsNotPartOfTheStart(t *testing.T) {
	disk := &files{t: t, routine: text(300)}
	d := New(Files{}, func(f Files) (Loaded, error) {
		loaded, err := disk.load(f)
		loaded.Setup.Nominal, loaded.Setup.Seed = false, 1
		return loaded, err
	})
	t.Cleanup(d.Close)
	d.Reload()
	finish(t, d)
	robot, written := Thing{RobotThing, 0}, geom.Pose{X: 0.6, Y: 1}
	if drawn, _ := d.Now.PoseOf(robot, 0); math.Hypot(drawn.X-written.X, drawn.Y-written.Y) < 0.001 {
		t.Fatalf("the spread draws nothing here: starts at %v", drawn)
	}
	if at, ok := d.Standing(robot); !ok || at != written {
		t.Errorf("stands at %v, the routine says %v", at, written)
	}
	for range 2 { // the second drive must not start where the first one's spread put it
		d.BeginDrive(d.DriverSessions()[0].Name, d.Setup.Entrants[0].Routine)
		if start := d.drive.run.Record.Samples[0].Robots[0].Belief.Geom(); start != written {
			t.Errorf("a drive starts from %v", start)
		}
		d.Go()
		d.AdvanceDrive(0.1, scripting.PadState{LeftY: 1})
		d.EndDrive()
	}
}

// A macro has one lane however often it runs.
func TestRunsOfAMacroShareALane(t *testing.T) {
	event := func(at float64, kind record.Kind, task int, what string) record.Event {
		what, macro, _ := strings.Cut(what, " ")
		return record.Event{T: at, Kind: kind, Task: task, What: what, Macro: macro}
	}
	list := lanes(&record.Record{Events: []record.Event{
		event(0, record.TaskStart, 0, "driver"),
		event(1, record.TaskStart, 1, "macro a"), event(1, record.MotionStart, 1, "ahead"),
		event(2, record.MotionEnd, 1, "ahead"), event(2, record.TaskEnd, 1, "macro a"),
		event(3, record.TaskStart, 1, "macro b"), event(4, record.TaskStart, 2, "macro a"),
		event(5, record.TaskEnd, 1, "macro b"), event(6, record.TaskEnd, 2, "macro a"),
		event(7, record.TaskStart, 1, "task"), event(8, record.TaskEnd, 1, "task"), event(9, record.TaskStart, 1, "task"),
	}}, 0)
	var got []string
	for _, l := range list {
		got = append(got, fmt.Sprintf("%d %s %g-%g %d %d", l.Task, l.Macro, l.From, l.To, len(l.Earlier), len(l.Motions)))
	}
	if want := "[0  0-+Inf 0 0 1 a 4-6 1 1 1 b 3-5 0 0 1  7-8 0 0 1  9-+Inf 0 0]"; fmt.Sprint(got) != want {
		t.Errorf("got  %v\nwant %s", got, want)
	}
}

func TestMovingAPieceLeavesTheFieldOfOtherRunsAlone(t *testing.T) {
	d, _ := opened(t)
	field, piece := d.Setup.Field, Thing{PieceThing, 8}
	was := field.Pieces[8].At
	if why := d.Movable(piece); why != "" {
		t.Fatal(why)
	}
	d.Move(piece, geom.Pose{X: 1, Y: 1.2})
	finish(t, d)
	if at, _ := d.Now.PoseOf(piece, 0); math.Hypot(at.X-1, at.Y-1.2) > 1e-6 {
		t.Errorf("the piece is at %v", at)
	}
	if field.Pieces[8].At != was || d.Before.Setup.Field.Pieces[8].At != was {
		t.Error("the field as loaded was changed")
	}
}

func TestWhatCannotStandThereGoesBack(t *testing.T) {
	d, _ := opened(t)
	goal := d.Setup.Field.Goals[0].At
	d.Move(Thing{RobotThing, 0}, goal)
	finish(t, d)
	if d.Runs != 1 || !d.arranged.Empty() || d.Fault != nil || !strings.HasPrefix(d.Notice.Text, "Not moved: robot 1 ") ||
		strings.Contains(d.Notice.Text, "change start") { // the start in the routine is as good as before
		t.Errorf("runs %d, fault %v, notice %q", d.Runs, d.Fault, d.Notice.Text)
	}
}

func TestFixedGoalsAndMarkingsAreNotMoved(t *testing.T) {
	d, _ := opened(t)
	f := d.Setup.Field
	for i, g := range f.Goals {
		why := d.Movable(Thing{GoalThing, len(f.Pieces) + i})
		if fixed := f.GoalKinds[g.Kind].Fixed; fixed != (why != "") {
			t.Errorf("%s: fixed %v, but %q", g.Name, fixed, why)
		}
	}
	for _, thing := range []Thing{{ZoneThing, 0}, {LineThing, 0}, {FloorThing, 0}, Nothing, {RobotThing, 3},
		{PieceThing, 9999}} {
		if d.Movable(thing) == "" {
			t.Errorf("%v can be moved", thing)
		}
	}
}

func TestThingAtFindsWhatLiesOnTop(t *testing.T) {
	d, _ := opened(t)
	f := d.Setup.Field
	for _, c := range []struct {
		at   geom.Vec
		want Thing
	}{
		{geom.Vec{X: 0.6, Y: 1}, Thing{RobotThing, 0}},
		{f.Pieces[10].At.At(), Thing{PieceThing, 10}},
		{f.Goals[0].At.At(), Thing{GoalThing, len(f.Pieces)}},
		{geom.Vec{X: 0.15, Y: 0.15}, Thing{ZoneThing, 0}},
		{geom.Vec{X: 1.0, Y: 1.3}, Thing{FloorThing, 0}},
		{geom.Vec{X: -1, Y: -1}, Nothing},
	} {
		if got := d.Now.ThingAt(c.at, 0, 0.01); got != c.want {
			t.Errorf("at %v: %v, want %v", c.at, got, c.want)
		}
	}
}

func TestFactsGiveThePlaceAsLua(t *testing.T) {
	d, _ := opened(t)
	_, lua := d.Facts(Thing{RobotThing, 0}, 0, geom.Vec{})
	if lua != "{x = 600, y = 1000, heading = 0}" {
		t.Errorf("robot: %q", lua)
	}
	if _, lua := d.Facts(Thing{FloorThing, 0}, 0, geom.Vec{X: 1.2344, Y: -0.0001}); lua != "{1234, 0}" {
		t.Errorf("floor: %q", lua)
	}
	for _, thing := range []Thing{{PieceThing, 3}, {GoalThing, len(d.Setup.Field.Pieces)}, {ZoneThing, 0},
		{LineThing, 0}, {EventThing, 0}} {
		if facts, _ := d.Facts(thing, 1, geom.Vec{}); len(facts) == 0 {
			t.Errorf("nothing is said about %v", thing)
		}
	}
}

func TestLanesHaveEachTaskAndItsMotions(t *testing.T) {
	d, _ := opened(t)
	if len(d.Now.Lanes) != 1 || len(d.Now.Lanes[0]) != 2 {
		t.Fatalf("lanes: %+v", d.Now.Lanes)
	}
	main, beside := d.Now.Lanes[0][0], d.Now.Lanes[0][1]
	if main.Task != 0 || len(main.Motions) != 1 || main.Motions[0].What != "ahead" ||
		main.Motions[0].Why != record.Arrived {
		t.Errorf("main: %+v", main)
	}
	if len(beside.Motions) != 0 || math.Abs(beside.To-beside.From-1) > 0.03 {
		t.Errorf("beside: %+v", beside)
	}
}

func TestDrivingGivesTheRecordOfAnInputScriptWithTheSameControls(t *testing.T) {
	d, _ := opened(t)
	sessions := d.DriverSessions()
	if len(sessions) == 0 {
		t.Fatal("no session to drive")
	}
	d.BeginDrive(sessions[0].Name, nil)
	if !d.Driving() || d.Time != 0 {
		t.Fatal(d.Notice)
	}
	d.AdvanceDrive(0.5, scripting.PadState{})
	if d.Begun() || len(d.Now.Record.Samples) != 1 {
		t.Error("the clock runs before the first move")
	}
	full := scripting.PadState{LeftY: 0.8, RightX: 0.1}
	d.AdvanceDrive(0, full)
	for range 120 {
		d.AdvanceDrive(1.0/60, full)
	}
	d.EndDrive()
	driven := d.Driven.Record

	setup := d.Driven.Setup
	setup.Entrants = append([]rehearse.Entrant(nil), setup.Entrants...)
	const pad = "time,left_x,left_y,right_x,right_y,buttons\n0,0,0.8,0.1,0,\n"
	script, err := rehearse.ReadInputScript("pad", strings.NewReader(pad))
	if err != nil {
		t.Fatal(err)
	}
	setup.Entrants[0].Pad = script
	r, err := rehearse.New(setup)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	for len(r.Record().Samples) < len(driven.Samples) {
		r.Tick()
	}
	want := r.Record()
	// The first tick of the drive was made before any control was touched, so the script is a tick ahead.
	a, b := driven.Samples[len(driven.Samples)-1].Robots[0].True, want.Samples[len(want.Samples)-1].Robots[0].True
	if math.Hypot(a[0]-b[0], a[1]-b[1]) > 0.02 {
		t.Errorf("driven to %v, the script went to %v", a, b)
	}
	if start := driven.Samples[0].Robots[0].True; math.Hypot(a[0]-start[0], a[1]-start[1]) < 0.5 {
		t.Errorf("it only went from %v to %v", start, a)
	}
}

func TestADriveCanOpposeTheNextOne(t *testing.T) {
	d, _ := opened(t)
	session := d.DriverSessions()[0].Name
	d.BeginDrive(session, nil)
	d.Go()
	for range 60 {
		d.AdvanceDrive(1.0/60, scripting.PadState{LeftY: 0.5})
	}
	d.EndDrive()
	if err := d.Oppose(); err != nil {
		t.Fatal(err)
	}
	d.BeginDrive(session, nil)
	if !d.Driving() {
		t.Fatal(d.Notice)
	}
	d.Go()
	for range 60 {
		d.AdvanceDrive(1.0/60, scripting.PadState{})
	}
	robots := d.Now.Record.Header.Robots
	if len(robots) != 2 || robots[0].Side == robots[1].Side {
		t.Fatalf("robots %+v", robots)
	}
	last := d.Now.Record.Samples[len(d.Now.Record.Samples)-1]
	want := d.Setup.Field.Mirror(d.Driven.Record.Samples[len(d.Now.Record.Samples)-1].Robots[0].True.Geom())
	if got := last.Robots[1].True; math.Hypot(got[0]-want.X, got[1]-want.Y) > 0.05 {
		t.Errorf("the opponent is at %v, the mirrored drive was at %v", got, want)
	}
}

func TestARoutineWithoutADriverIsDrivenByHand(t *testing.T) {
	d, disk := opened(t)
	disk.routine = "return routine {title = \"auto only\", start = {x = 600, y = 1000, heading = 0}, auto = " +
		"function(bot) end}"
	d.Reload()
	finish(t, d)
	hand, err := scripting.LoadFS(fstest.MapFS{"hand.lua": {Data: []byte(`return routine {driver = function(bot, pad)
  while true do bot.drive:tank(pad.left_y, pad.right_y) wait(0.01) end end}`)}}, "hand.lua")
	if err != nil {
		t.Fatal(err)
	}
	d.BeginDrive(d.DriverSessions()[0].Name, hand)
	if !d.Driving() {
		t.Fatal(d.Notice)
	}
	d.Go()
	for range 60 {
		d.AdvanceDrive(1.0/60, scripting.PadState{LeftY: 0.5, RightY: 0.5})
	}
	if pose, _ := d.Now.PoseOf(Thing{RobotThing, 0}, d.Time); pose.X < 0.8 {
		t.Errorf("it stands at %v", pose)
	}
}

func TestCancelKeepsTheLastRun(t *testing.T) {
	d, _ := opened(t)
	run := d.Now
	d.Rehearse()
	d.Cancel()
	d.Poll()
	if _, busy := d.Busy(); busy || d.Now != run {
		t.Error("the cancelled rehearsal was shown")
	}
	d.Rehearse()
	finish(t, d)
	if d.Now == run || d.Runs != 2 {
		t.Errorf("after a cancel another is rehearsed, and no more than it: %d runs", d.Runs)
	}
}

func TestOnlyTheLatestRehearsalIsShown(t *testing.T) {
	d, disk := opened(t)
	for _, ahead := range []int{400, 500, 600} {
		disk.routine = text(ahead)
		d.Reload()
	}
	finish(t, d)
	d.Rehearse() // after it, none of those before can be on its way
	finish(t, d)
	if d.Runs != 3 || !strings.Contains(strings.Join(d.Now.Source.Lines, ""), "ahead(600)") {
		t.Errorf("runs %d", d.Runs)
	}
}

func TestARecordWrittenAndReadBackIsShownTheSame(t *testing.T) {
	d, _ := opened(t)
	var file bytes.Buffer
	if err := d.Now.Record.Write(&file); err != nil {
		t.Fatal(err)
	}
	back, err := record.Read("x", &file)
	if err != nil {
		t.Fatal(err)
	}
	run := NewRun(d.Setup, back, Source{})
	for _, at := range []float64{0, 0.5, 3, 20} {
		a, _ := d.Now.PoseOf(Thing{RobotThing, 0}, at)
		b, _ := run.PoseOf(Thing{RobotThing, 0}, at)
		if a != b {
			t.Errorf("at %g s: %v and %v", at, a, b)
		}
	}
}

// A first rehearsal that is given up leaves nothing to show, and that is what is said.
func TestCancellingTheFirstRehearsalSaysHowToGoOn(t *testing.T) {
	f := &files{t: t, routine: text(300)}
	d := New(Files{}, f.load)
	defer d.Close()
	d.Reload()
	d.Cancel()
	if _, busy := d.Busy(); busy || d.Now != nil || d.Notice.Text != "Cancelled: R rehearses." {
		t.Errorf("busy %v, run %v, notice %q", busy, d.Now, d.Notice.Text)
	}
}

func TestHalfATurnIsWritten180(t *testing.T) {
	for deg, want := range map[float64]string{-179.97: "180.0", 180: "180.0", -180: "180.0", 540: "180.0",
		178.7: "178.7", -179.9: "-179.9", -0.04: "0.0", 270: "-90.0"} {
		if got := Fixed(WholeTurn(deg), 1); got != want {
			t.Errorf("%g: %s, want %s", deg, got, want)
		}
	}
}

// A page that follows the run begins at the main task's first line.
func TestTheFirstLineOfARun(t *testing.T) {
	r := &Run{Record: &record.Record{Header: record.Header{Robots: make([]record.Robot, 1)}}}
	for i, lines := range [][]int{{}, {0, 3}, {24, 3}, {30}} {
		r.Record.Samples = append(r.Record.Samples, record.Sample{T: float64(i) * record.SamplePeriod,
			Robots: []record.RobotSample{{Lines: lines}}})
	}
	r.Index = record.NewIndex(r.Record)
	if got := r.FirstLine(0); got != 24 {
		t.Errorf("line %d, want 24", got)
	}
	if got := r.FirstLine(1); got != 0 {
		t.Errorf("of a robot that is not there: line %d", got)
	}
}

// N and P go to every event that the strip or the page of events has, and to no time between.
func TestEveryEventIsGoneTo(t *testing.T) {
	d, _ := opened(t)
	want := map[float64]bool{}
	for _, e := range d.Now.Record.Events {
		if e.Kind == record.MotionEnd { // it has a number on the page, and none on the strip
			want[e.T] = true
		}
	}
	var on, back []float64
	d.Seek(0)
	for before := -1.0; d.Time != before; d.EventOn() {
		before = d.Time
		on = append(on, d.Time)
	}
	for before := -1.0; d.Time != before; d.EventBack() {
		before = d.Time
		back = append(back, d.Time)
	}
	slices.Reverse(back)
	if len(want) == 0 || !slices.Equal(on, back) {
		t.Errorf("on by %v, back by %v", on, back)
	}
	for at := range want {
		if !slices.Contains(on, at) {
			t.Errorf("the arrival at %g s is passed over", at)
		}
	}
}
