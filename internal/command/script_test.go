package command

import (
	"flag"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite the expected output inside the test scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"chalkfield": func() { os.Exit(Main(os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// Each file of testdata is one behaviour of the command line: commands, then input files.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata", UpdateScripts: *update, RequireUniqueNames: true})
}
