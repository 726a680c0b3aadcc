package main

import (
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"bandwright/demo"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"bandwright": func() { os.Exit(program()) }})
}

// The scripts are the manual: each tells what one verb does, in an empty
// folder with the demo's files beside it in bass-head.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			return unpack(filepath.Join(env.WorkDir, "bass-head"))
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"exits": exits, "serves": serves},
	})
}

// exits CODE COMMAND… runs a command that must end with just that code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ARGUMENT…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	err = ts.Exec(args[1], args[2:]...)
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		code = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if code != want {
		ts.Fatalf("exit code %d, want %d", code, want)
	}
}

// unpack writes the demo's files to a folder.
func unpack(folder string) error {
	outputs, err := copies(demo.BassHead(), folder)
	if err != nil {
		return err
	}
	for _, o := range outputs {
		if err := os.MkdirAll(filepath.Dir(o.path), 0o777); err != nil {
			return err
		}
		if err := os.WriteFile(o.path, o.data, 0o666); err != nil {
			return err
		}
	}
	return nil
}

// Every script is read by somebody: each verb has the one named after it.
func TestEveryVerbHasItsScript(t *testing.T) {
	scripts := os.DirFS(filepath.Join("testdata", "script"))
	for _, verb := range verbNames(t) {
		if _, err := fs.Stat(scripts, verb+".txt"); err != nil {
			t.Errorf("verb %s: %v", verb, err)
		}
	}
}
