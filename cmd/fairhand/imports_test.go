package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/mod/modfile"
)

// goTool asks the go tool in the directory of the module.
func goTool(t *testing.T, args ...string) string {
	t.Helper()
	cmd := exec.Command("go", args...)
	cmd.Dir = "../.."
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go %s: %v", strings.Join(args, " "), err)
	}
	return string(out)
}

// may says which of our packages those of each directory may import beside
// their own: one way, from the program down to the regulations. The desk and the
// exports do not know each other.
var may = map[string][]string{
	"block":    {},
	"register": {"block"},
	"export":   {"register", "block"},
	"tui":      {"register", "block"},
	"cmd":      {"tui", "export", "register", "block"},
}

// pure are the packages of the standard library that block may import: none
// reads the world. sync is there for sync.Pool, which lends working memory.
var pure = []string{"cmp", "errors", "fmt", "iter", "maps", "math", "math/bits", "slices", "sort", "strconv", "strings", "sync", "unicode", "unicode/utf8"}

// TestImportDirection holds the order of the packages (design, section 2).
func TestImportDirection(t *testing.T) {
	seen := map[string]bool{}
	for line := range strings.Lines(goTool(t, "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "./...")) {
		fields := strings.Fields(line)
		name := strings.TrimPrefix(fields[0], "fairhand/")
		layer, _, _ := strings.Cut(name, "/")
		seen[layer] = true
		for _, imp := range fields[1:] {
			own, ours := strings.CutPrefix(imp, "fairhand/")
			other, _, _ := strings.Cut(own, "/")
			switch {
			case ours && other != layer && !slices.Contains(may[layer], other):
				t.Errorf("%s imports %s; it may import only %v", name, own, may[layer])
			case ours && name == "block/rulebook":
				t.Errorf("%s imports %s; the rule book is data and knows nothing else of ours", name, own)
			case own == "register/registertest" || own == "register/internal/dear" && !slices.Contains([]string{"register/pins", "register/seal", "register/registertest"}, name):
				t.Errorf("%s imports %s; what tests lower is no business of the program", name, own)
			case ours && name == "register/store" && own != "register/calendar":
				t.Errorf("%s imports %s; it knows nothing of block working", name, own)
			case !ours && (imp == "net" || strings.HasPrefix(imp, "net/") && imp != "net/url") && name != "register/seal": // which speaks to an SSH agent
				t.Errorf("%s imports %s; the program opens no network", name, imp)
			case layer == "block" && !ours && !slices.Contains(pure, imp):
				t.Errorf("block imports %s; it may import only %v", imp, pure)
			}
		}
	}
	for layer := range may {
		if !seen[layer] {
			t.Errorf("there is no package under %s", layer)
		}
	}
}

// TestDriverHasOneDoor: only the store opens the database. The program asks the
// driver's constants for the version it prints, and nothing else.
func TestDriverHasOneDoor(t *testing.T) {
	for line := range strings.Lines(goTool(t, "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "./...")) {
		fields := strings.Fields(line)
		for _, imp := range fields[1:] {
			driver := imp == "database/sql" || imp == "modernc.org/sqlite"
			if driver && fields[0] != "fairhand/register/store" {
				t.Errorf("%s imports %s; only register/store may", fields[0], imp)
			}
		}
	}
}

// TestBlockHasNoClock looks into the source as well: nothing of block, its tests
// apart, so much as mentions a clock.
func TestBlockHasNoClock(t *testing.T) {
	var files []string
	for _, dir := range []string{"block", "block/rulebook"} {
		in, err := filepath.Glob("../../" + dir + "/*.go")
		if err != nil || len(in) == 0 {
			t.Fatalf("no files of %s: %v", dir, err)
		}
		files = append(files, in...)
	}
	clock := regexp.MustCompile(`\btime\.[A-Z]|\bgo func\b|\bos\.[A-Z]|\blog\.[A-Z]`)
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if m := clock.Find(text); m != nil {
			t.Errorf("%s has %q: block reads no clock, file or log and starts nothing", file, m)
		}
	}
}

// TestLibcIsTheDriversOwn: modernc.org/sqlite works only with the very version of
// modernc.org/libc that its go.mod names (its documentation, "Fragile").
func TestLibcIsTheDriversOwn(t *testing.T) {
	version := func(mod string) (v, gomod string) {
		var m struct{ Version, GoMod string }
		if err := json.Unmarshal([]byte(goTool(t, "list", "-m", "-json", mod)), &m); err != nil {
			t.Fatal(err)
		}
		return m.Version, m.GoMod
	}
	driver, gomod := version("modernc.org/sqlite")
	ours, _ := version("modernc.org/libc")
	text, err := os.ReadFile(gomod)
	if err != nil {
		t.Fatal(err)
	}
	f, err := modfile.ParseLax(gomod, text, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range f.Require {
		if r.Mod.Path == "modernc.org/libc" {
			if r.Mod.Version != ours {
				t.Errorf("modernc.org/sqlite %s wants modernc.org/libc %s; the module has %s", driver, r.Mod.Version, ours)
			}
			return
		}
	}
	t.Errorf("the go.mod of modernc.org/sqlite %s names no libc", driver)
}

// TestTopLevel: the first thing a newcomer sees stays as designed.
func TestTopLevel(t *testing.T) {
	allowed := []string{"cmd", "register", "block", "tui", "export", "go.mod", "go.sum", "README.md", "DEVELOPERS.md", "LICENSE"}
	entries, err := os.ReadDir("../..")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if name := e.Name(); !strings.HasPrefix(name, ".") && !slices.Contains(allowed, name) {
			t.Errorf("%s stands at the top level of the repository; allowed are %v", name, allowed)
		}
	}
}
