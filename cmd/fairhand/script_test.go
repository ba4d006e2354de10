package main

import (
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
