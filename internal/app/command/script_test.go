package command

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"chalkfield/internal/base/property"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the expected output inside the test scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"chalkfield": func() { os.Exit(Main(os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// Each file of testdata is one behaviour of the command line: commands, then input files. `exec chalkfield` starts the
// program; `call chalkfield` does the same inside the test's own process, which saves a tenth of a second of both
// cores' time each. What hangs on the process itself, its environment or its end, is for exec, and so is what two
// processes must agree on. What is behind [thorough] is costly, and waits for .ci/run.
func TestScripts(t *testing.T) {
	folder, err := filepath.Abs("testdata") // calls change the working folder
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{Dir: folder, UpdateScripts: *update, RequireUniqueNames: true, Cmds: called(),
		Condition: atLength})
}

// atLength is the condition [thorough]: whether the tests are taken at full length.
func atLength(condition string) (bool, error) {
	if condition != "thorough" {
		return false, fmt.Errorf("unknown condition %q", condition)
	}
	return property.Cases(0, 1) == 1, nil
}

// called is `call chalkfield`. A process has one working folder, so calls come one after the other.
func called() map[string]func(*testscript.TestScript, bool, []string) {
	var one sync.Mutex
	return map[string]func(*testscript.TestScript, bool, []string){"call": func(ts *testscript.TestScript, not bool,
		args []string) {
		if len(args) == 0 || args[0] != "chalkfield" {
			ts.Fatalf("usage: call chalkfield ARGUMENTS")
		}
		one.Lock()
		defer one.Unlock()
		before, err := os.Getwd()
		ts.Check(err)
		ts.Check(os.Chdir(ts.MkAbs(".")))
		code := Main(args[1:], ts.Stdout(), ts.Stderr())
		ts.Check(os.Chdir(before))
		if code != held != not {
			ts.Fatalf("exit code %d", code)
		}
	}}
}
