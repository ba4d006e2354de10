package main

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"fairhand": main})
}

// TestScripts runs the program as its users do: each script under
// testdata/script is a session with the real main in a process of its own, and
// says also what must not happen.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("HOME", env.WorkDir+"/home") // for the usual places of data and configuration
			return nil
		},
	})
}

// TestReadmeCommands: every command line of the README is part of the session in
// demo.txtar, so that none is promised and not run.
func TestReadmeCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	session, err := os.ReadFile("testdata/script/demo.txtar")
	if err != nil {
		t.Fatal(err)
	}
	lines := regexp.MustCompile(`(?m)^    (fairhand [^#\n]*[^#\s])`).FindAllSubmatch(readme, -1)
	if len(lines) < 3 {
		t.Fatalf("found only %d command lines in the README", len(lines))
	}
	for _, m := range lines {
		line := strings.ReplaceAll(string(m[1]), "DIR", "thrackley")
		if !strings.Contains(string(session), "exec "+line+"\n") {
			t.Errorf("the README promises %q and testdata/script/demo.txtar does not run it", line)
		}
	}
}
