package command

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/internal/app/program"

	"github.com/rogpeppe/go-internal/testscript"
)

// Scripts that run the CI recipe's own files, as a project has them, and the demo.
func TestRecipeScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/ci", UpdateScripts: *update, RequireUniqueNames: true,
		Setup: func(env *testscript.Env) error {
			demo, err := fs.ReadFile(assets.Routines, demoRoutine+".lua")
			if err != nil {
				return err
			}
			return errors.Join(os.CopyFS(env.WorkDir, assets.CI), os.WriteFile(filepath.Join(env.WorkDir, "demo.lua"), demo,
				0o644))
		}})
}

// Every command in the recipe must be one that this program has, with flags that it knows.
func TestRecipeNamesCommandsThatExist(t *testing.T) {
	command := regexp.MustCompile(`(?m)(?:^|\s|:)(?:\./)?chalkfield +((?:check|trials|merge|compare|sweep)\b[^\n]*)$`)
	found := 0
	err := fs.WalkDir(assets.CI, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || filepath.Ext(path) == ".toml" {
			return err
		}
		text, err := fs.ReadFile(assets.CI, path)
		if err != nil {
			return err
		}
		for _, match := range command.FindAllStringSubmatch(string(text), -1) {
			line := strings.NewReplacer("${{ matrix.part }}", "2", "`", "", ".", ".").Replace(match[1])
			parser, err := newParser(&commands{}, streams{out: io.Discard, err: io.Discard}, program.NewOwner())
			if err != nil {
				return err
			}
			if _, err := parser.Parse(strings.Fields(line)); err != nil {
				t.Errorf("%s: chalkfield %s: %v", path, line, err)
			}
			found++
		}
		return nil
	})
	if err != nil || found < 5 {
		t.Errorf("%v; only %d commands found", err, found)
	}
}
