package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"fairhand/register/registertest"
)

func TestMain(m *testing.M) {
	testscript.Main(tests{m}, map[string]func(){"fairhand": func() {
		registertest.Program()
		main()
	}})
}

// tests are those of this package, as all are run that make registers.
type tests struct{ *testing.M }

func (m tests) Run() int { return registertest.Main(m.M) }

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
			env.Setenv("GOGC", "400")               // a start of the tests' libraries is mostly garbage
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"told": wasTold},
	})
}

// wasTold is stderr of a message however it was broken into lines, which the length of a path
// decides.
func wasTold(ts *testscript.TestScript, not bool, args []string) {
	if len(args) != 1 {
		ts.Fatalf("usage: told PATTERN")
	}
	text, pattern := ts.ReadFile("stderr"), regexp.MustCompile("(?m)"+args[0])
	if (pattern.MatchString(text) || pattern.MatchString(unbroken(text))) == not {
		ts.Fatalf("told %s: it is not so that there is one: %t", args[0], !not)
	}
}

// unbroken are the lines of a message made one again where it was broken.
func unbroken(text string) string { return regexp.MustCompile(`\n {4,}`).ReplaceAllString(text, " ") }

// TestReadmeCommands: every whole command line of the README is part of the session
// in demo.txtar, and a command named with what it asks for (DIR, NAME, or nothing)
// of some session, so that none is promised and not run.
func TestReadmeCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	scripts, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range scripts {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
	}
	whole := 0
	for _, m := range regexp.MustCompile("`(fairhand ([^`]+))`").FindAllSubmatch(readme, -1) {
		line, words := strings.ReplaceAll(string(m[1]), "-C DIR", "-C thrackley"), strings.Fields(string(m[2]))
		want := "exec " + regexp.QuoteMeta(line) + `\n`
		if len(words) == 1 || regexp.MustCompile(`\b[A-Z]{3,}\b`).MatchString(line) {
			want = `exec fairhand (-\S+ \S+ )*` + words[0] + `\b`
		} else {
			whole++
		}
		if !regexp.MustCompile(want).MatchString(all.String()) {
			t.Errorf("the README promises %q and no session under testdata/script runs it", line)
		}
	}
	if whole < 12 {
		t.Fatalf("found only %d whole command lines in the README", whole)
	}
}
