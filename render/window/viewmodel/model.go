// Package viewmodel is the window's memory: which files are open, what was rehearsed, where in time the viewer is, what
// is selected, arranged and measured. It knows nothing of pixels, keys or Ebiten; the window draws it and calls its
// methods.
//
// The model computes no rehearsal of its own. It starts internal/app/rehearse in the background and plays its records
// back.
package viewmodel

import (
	"chalkfield/internal/app/build"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/scripting/history"
)

// Files are the inputs that a person can exchange while the window is open. Empty: what the command line gave, else the
// embedded demo.
type Files struct {
	Routine string `json:"routine"`
	Robot   string `json:"robot,omitempty"`
	Field   string `json:"field,omitempty"`
	Session string `json:"session,omitempty"`

	// Record is a record that is open; the other members are then empty.
	Record string `json:"record,omitempty"`

	Chosen *Choices `json:"-"` // what is chosen beside; nil: nothing
}

// Loaded is what stands behind a rehearsal. With an error of the loader, Source and Watch are as far as they could be
// read.
type Loaded struct {
	Setup  rehearse.Setup
	Source Source   // text of the first robot's routine
	Watch  []string // files whose change calls for another rehearsal
	Name   string   // what the person calls the routine; "": as its file
	Replay string   // the arguments of `chalkfield open` that bring it up, without the seed
	Log    *Log     // nil: none

	Setpoints *Setpoints // nil: none
	Other     *Other     // nil: none
}

// Loader reads the files that stand behind a rehearsal.
type Loader func(Files) (Loaded, error)

// Mode is what the pointer does on the field.
type Mode string

const (
	Watch   Mode = "watch"   // look and ask
	Measure Mode = "measure" // take distances
	Arrange Mode = "arrange" // drag the start, pieces and goals
	Drive   Mode = "drive"   // a person drives a rehearsal that runs in real time
)

// Tab is a page of the notebook beside the field.
type Tab string

const (
	RoutineTab Tab = "routine"
	RobotTab   Tab = "robot"
	ScoreTab   Tab = "score"
	EventsTab  Tab = "events"
	StudyTab   Tab = "study"
)

// Tabs in their order.
var Tabs = [...]Tab{RoutineTab, RobotTab, ScoreTab, EventsTab, StudyTab}

// Notice is one line for the person at the window.
type Notice struct {
	Text string
	Bad  bool // something went wrong
}

// Model is the window's memory. One goroutine owns it.
type Model struct {
	Files Files
	Setup rehearse.Setup // as last loaded without error
	Text  Source         // the routine as it is on disk now, whether it loads or not
	Watch []string       // files whose change calls for Reload
	Log   *Log           // that rehearsals are laid beside; nil: none

	Setpoints *Setpoints // that are laid over them; nil: none
	Other     *Other     // that is run beside them; nil: none
	Now       *Run       // what is shown; nil until the first rehearsal ended
	Before    *Run       // the run that Now replaced, the pale trace; nil if there is none
	Fault     *Fault     // why the files as they are now cannot be rehearsed; nil: they can
	Runs      int        // rehearsals finished and shown

	Clock
	Mode     Mode
	Tab      Tab
	Follows  bool // the notebook's page goes along with the run
	Overlays scene.Overlay
	Units    units.System // in which quantities are shown
	Pale     bool         // show the run before
	Bundle   bool         // show the paths of the study
	Signals  []string     // keys of the signals shown, in order
	Robot    int          // index of the robot that the notebook and the signals speak of
	Notice   Notice
	Measured Measurement
	Selected Thing
	Driven   *Run // the last drive; nil: none yet

	Stops []Stop // of the routine shown, in the order in which they were put

	Saved     bool // files were saved during a drive and not read since
	rehearsed *Run // the last good rehearsal before what is shown

	arranged  Arrangement
	tried     Arrangement // of the last rehearsal that could be run
	wrote     string      // what a person is to read of a file that was written, instead of what the next run changed
	opened    string      // name of another routine or field that was opened and not shown yet; empty: none
	turns     turns
	handles   []Handle // as found last, in a run and a text
	handlesOf *Run
	handlesIn string
	grasped   grasped
	known     vocabulary
	added     added
	modules   []Source // that the routine requires, as they are on disk
	module    string   // the one that the routine's page shows; "": the routine itself
	trial     *trial   // what of the routine's text is tried and not written; nil: nothing
	undo      []step
	redo      []step

	chosen   *Choices // nil: as loaded
	name     string   // of the routine and the arguments that bring it up, for studies
	replay   string
	versions []version // of the files, as they were read
	writes   int       // since the first of them
	study    *Study    // nil: none
	gains    turnedGains
	search   *Search    // for numbers with which the routine ends sooner; nil: none
	first    *Run       // of the routine as it was opened; nil: none yet
	times    []LineTime // as found last, of a history and a text
	timesOf  *history.History
	timesIn  string
	ways     []Way // of its file
	waysOf   *results.File
	laidFile string // of which it is; "": of none
	laid     *Other // that is run beside, as chosen in the window; nil: what the command line named

	line     linePlace           // that is chosen
	carried  map[string][]string // by module: the lines that it and the stops' lines are numbers in
	stopsOf  string              // the routine that the stops belong to
	putStops map[string][]Stop   // of other routines
	unfolded map[string]bool     // tables of variables whose entries are shown

	load     Loader
	starter  Starter // nil: no program is started here
	named    string  // the command of a program that the person named
	job      *job
	observer *observer
	drive    *driving     // nil: nobody drives
	board    *build.Board // nil: nothing is built
	learning learning

	built    map[string]*build.Board // by path: put away, with its steps of undo
	opponent *record.Record          // that drives against the person
	alone    bool                    // the opponents given are left out of drives
}

// New makes a model with nothing in it. Reload starts the first rehearsal.
func New(files Files, load Loader) *Model {
	chosen := files.Chosen
	files.Chosen = nil
	return &Model{
		Files: files, chosen: chosen, load: load, Clock: Clock{Rate: 1, Playing: true}, Mode: Watch, Tab: RoutineTab,
		Follows: true, Overlays: scene.Usual, Pale: true, Signals: []string{"speed"}, Selected: Nothing,
		job: newJob(), observer: newObserver(), carried: map[string][]string{},
	}
}

// ShowIn shows quantities in another system.
func (d *Model) ShowIn(in units.System) {
	d.Units = in
	if d.study != nil {
		d.study.showIn(in)
	}
}

// Tells has it told, on other goroutines, when there is something to Poll.
func (d *Model) Tells(tell func()) { d.job.tell = tell }

// Say puts a line before the person.
func (d *Model) Say(text string) { d.Notice = Notice{Text: text} }

// Also puts a line under the one that is there.
func (d *Model) Also(text string) { d.Notice.Text += "\n" + text }

// Warn puts a line about something that went wrong before the person.
func (d *Model) Warn(text string) { d.Notice = Notice{Text: text, Bad: true} }

// SetMode changes what the pointer does on the field, and begins anew with it. Things are arranged where they stand
// before the run. Drives begin with BeginDrive.
func (d *Model) SetMode(m Mode) {
	switch m {
	case Measure:
		d.Measured = Measurement{}
	case Arrange:
		d.GoTo(0)
	}
	d.Mode = m
}

// Page shows a page of the notebook; Turn one that follows the run again.
func (d *Model) Page(tab Tab) { d.Tab = tab }
func (d *Model) Turn(tab Tab) { d.Tab, d.Follows = tab, true }

// Follow makes the notebook's pages go along with the run, or stay where they are put.
func (d *Model) Follow(on bool) { d.Follows = on }

// Toggle plays or pauses. Playing, the notebook follows the run again.
func (d *Model) Toggle() {
	d.Clock.Toggle()
	d.Follows = d.Follows || d.Playing
}

// Layer draws a layer on the field, or leaves it out; Paler does that with the run before.
func (d *Model) Layer(o scene.Overlay) { d.Overlays ^= o }
func (d *Model) Paler()                { d.Pale = !d.Pale }

// ToggleBundle draws the paths of the study, or leaves them out.
func (d *Model) ToggleBundle() { d.Bundle = !d.Bundle }

// Select chooses a thing; Nothing: none.
func (d *Model) Select(thing Thing) { d.Selected = thing }

// NextRobot makes notebook and signals speak of the next robot.
func (d *Model) NextRobot() {
	if d.Now != nil && len(d.Now.Record.Header.Robots) > 0 {
		d.Robot = (d.Robot + 1) % len(d.Now.Record.Header.Robots)
		d.Say("Speaks of " + d.RobotWords(d.Robot) + ".")
	}
}

// Close ends what runs in the background.
func (d *Model) Close() {
	d.job.cancel()
	d.StopStudy()
	d.StopSearch()
	d.stopJudging()
	d.observer.cancel()
	if d.drive != nil {
		d.drive.rehearsal.Close()
	}
}
