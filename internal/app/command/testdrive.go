package command

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/testdrive"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/render/picture"
	"chalkfield/render/webpage"
	"chalkfield/sim/robot"
)

type testdriveCommand struct {
	Robot   string `arg:"" help:"Robot file (.toml), or the name of an embedded robot."`
	Room    string `help:"The floor that is free." default:"2.4 m x 1.6 m" placeholder:"SIZE"`
	Out     string `help:"Folder to write into; made if it is not there." default:"drives" placeholder:"FOLDER"`
	Report  string `help:"Write the page that explains the drives for a browser and for paper (.html)." placeholder:"FILE"`
	Replace bool   `help:"Write over the files of earlier test drives."`
}

// Help is shown under the flags.
func (testdriveCommand) Help() string {
	return `Examples:
  chalkfield testdrive robot.toml --room "2.4 m x 1.6 m" --out drives   what to drive in that room, and what to log
  chalkfield testdrive robot.toml --report drives.html                  a page to print; the files go into drives
  chalkfield run drives/ramp.lua --robot robot.toml                     the same drive with the simulated robot

Each drive is a table of volts, every 20 ms: NAME.csv, NAME.h for programs in C, NAME.lua for the simulated robot.
README.md says how to drive them and what to measure, drives.svg draws them, field.toml is the room. Each was rehearsed
with robots that are stronger, lighter, more slippery and so on than the file says, and is made so that none leaves the
room and none tips. A person at the disable switch all the same.`
}

// Run plans the drives and writes all files, or none.
func (c testdriveCommand) Run(ctx context.Context, s streams) error {
	room, err := testdrive.ParseRoom(c.Room)
	if err != nil {
		return err
	}
	if filepath.Ext(c.Robot) != "" && filepath.Ext(c.Robot) != robot.Suffix {
		return fmt.Errorf("%s: a robot file's name ends in .toml", c.Robot)
	}
	spec, err := findRobot(c.Robot)
	if err != nil {
		return err
	}
	if err := c.refuse(spec); err != nil {
		return err
	}
	plan, err := testdrive.Make(ctx, spec, room)
	if err != nil {
		return err
	}
	told := report.TestDrives(s.units, plan)
	if err := c.write(plan, told); err != nil {
		return err
	}
	if c.Report != "" {
		write := func(w io.Writer) error { return webpage.WriteDrives(w, plan, told) }
		if err := atomicfile.Write(c.Report, write); err != nil {
			return err
		}
	}
	told.Foot = fmt.Sprintf("%s\nwrote %s\nBefore you drive read %s: blocks first, a person at the switch.\n"+
		"Next: chalkfield run %s --robot %s", s.units.Retold(plan.Tipping()), c.Out, filepath.Join(c.Out, "README.md"),
		filepath.Join(c.Out, plan.First()+".lua"), c.Robot)
	return told.Text(s.out)
}

// refuse finds outputs that cannot be written before anything is rehearsed.
func (c testdriveCommand) refuse(spec *robot.Robot) error {
	if info, err := os.Stat(c.Out); c.Out == "" || err == nil && !info.IsDir() {
		return fmt.Errorf("--out %q is no folder to write into: name another", c.Out)
	}
	if err := pageFile.mayBe(c.Report); err != nil {
		return err
	}
	if filepath.Clean(filepath.Dir(c.Report)) != filepath.Clean(c.Out) { // that will be there
		if err := foldersExist(c.Report); err != nil {
			return err
		}
	}
	if c.Replace {
		return c.replaceable(spec)
	}
	if err := free(c.files(spec)); err != nil {
		return fmt.Errorf("%w, or say --replace", err)
	}
	return nil
}

// files are all that may be written, without what will be in them: what is left out is known after the rehearsals.
func (c testdriveCommand) files(spec *robot.Robot) (list []file) {
	var names []string
	for _, drive := range testdrive.Names(spec) {
		names = append(names, drive+".csv", drive+".h", drive+".lua")
	}
	for _, name := range append(names, "field.toml", drivesPicture, "README.md") {
		list = append(list, file{path: filepath.Join(c.Out, name)})
	}
	return list
}

// write writes the drives.
func (c testdriveCommand) write(plan *testdrive.Plan, told *report.Document) error {
	var files []file
	add := func(name, text string) {
		files = append(files, file{filepath.Join(c.Out, name), []byte(text)})
	}
	for i := range plan.Drives {
		d := &plan.Drives[i]
		add(d.Name+".csv", d.CSV())
		add(d.Name+".h", d.Header())
		add(d.Name+".lua", d.Routine())
	}
	add("field.toml", plan.FieldFile())
	var page, drawn strings.Builder
	err := picture.WriteSVG(&drawn, picture.Drives(told.In, plan, drivesWidth), drivesWidth)
	if err == nil {
		err = told.Markdown(&page, drivesPicture, "The drives in the room")
	}
	if err != nil {
		return err
	}
	add(drivesPicture, drawn.String())
	add("README.md", page.String())
	if err := writeAll(io.Discard, files); err != nil || !c.Replace {
		return err
	}
	return c.clear(files)
}

// clear takes away the files of earlier test drives that are now left out.
func (c testdriveCommand) clear(files []file) error {
	routines, err := filepath.Glob(filepath.Join(escaped(c.Out), "*.lua"))
	if err != nil {
		return err
	}
	for _, routine := range routines {
		stem := strings.TrimSuffix(routine, ".lua")
		if slices.ContainsFunc(files, func(f file) bool { return f.path == routine }) ||
			!begunWith(routine, ours[".lua"]+filepath.Base(stem)+":") {
			continue
		}
		for _, path := range []string{stem + ".csv", stem + ".h", routine} {
			if begunWith(path, ours[filepath.Ext(path)]) && (filepath.Ext(path) != ".csv" || hasVoltsAlone(path)) {
				if err := os.Remove(path); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// begunWith reports whether a file begins with some words.
func begunWith(path, words string) bool {
	first, is := firstLineOf(path)
	return is && strings.HasPrefix(first, words)
}

// hasVoltsAlone reports whether a table's columns are the time and volts: a log of the drive has what was measured too.
func hasVoltsAlone(path string) bool {
	first, is := firstLineOf(path)
	columns := strings.Split(first, ", ")
	return is && !slices.ContainsFunc(columns[1:], func(name string) bool { return !strings.HasSuffix(name, " V") })
}

// firstLineOf a file; false for none.
func firstLineOf(path string) (line string, is bool) {
	file, err := os.Open(path)
	if err != nil || !isFile(path) {
		return "", false
	}
	defer file.Close()
	head, err := io.ReadAll(io.LimitReader(file, begins))
	line, _, _ = strings.Cut(string(head), "\n")
	return strings.TrimSuffix(line, "\r"), err == nil
}

const (
	drivesWidth   = 1200 // pixels
	drivesPicture = "drives.svg"
)

// ours are the words that stand near the beginning of the files of test drives, by their ending.
var ours = map[string]string{".csv": "time s, left V", ".h": "/* Test drive ", ".lua": "-- Test drive ",
	".toml": testdrive.RoomTitle, ".svg": `aria-label="Test drives for `, ".md": "# Test drives for "}

// replaceable refuses what is not a file of earlier test drives.
func (c testdriveCommand) replaceable(spec *robot.Robot) error {
	for _, f := range c.files(spec) {
		ending := filepath.Ext(f.path)
		drives := output{"--replace:", "a file of test drives", []string{ending}, ours[ending]}
		if err := refuseRead(f.path, []string{c.Robot}); err != nil {
			return err
		}
		if err := drives.mayBe(f.path); err != nil {
			return err
		}
		if _, err := os.Stat(f.path); ending == ".csv" && err == nil && isFile(f.path) && !hasVoltsAlone(f.path) {
			return fmt.Errorf("--replace: %s: would overwrite what is a log, not a table of volts: take it away", f.path)
		}
		if !isFile(f.path) {
			return fmt.Errorf("%s: is no file, so it is not written over: take it away", f.path)
		}
	}
	return nil
}
