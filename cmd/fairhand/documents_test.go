package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	quoted   = regexp.MustCompile("`([^`]+)`")
	pathLike = regexp.MustCompile(`^\.?[\w*-][\w./*-]*$`)
	fileLike = regexp.MustCompile(`/|\.(go|md|txt|css|js|sql|json|yaml|golden|txtar)$`)
	runLine  = regexp.MustCompile(`^    .*\bgo test\b.* -(?:run|bench) '?([^\s']+)`)
	packages = regexp.MustCompile(` \./([\w/.-]+)`)
)

// notOurs are names in the form of a path that are none in this repository.
var notOurs = map[string]bool{"box.yaml": true, "book.txt": true, "modernc.org/libc": true}

// TestDocumentsNameWhatIsThere: every file and folder that README.md and DEVELOPERS.md name
// exists, from the top or in a folder that the same line has named before; and every test
// that a command line there asks for.
func TestDocumentsNameWhatIsThere(t *testing.T) {
	named, asked := 0, 0
	for _, document := range []string{"README.md", "DEVELOPERS.md"} {
		n := 0
		for line := range strings.Lines(string(read(t, filepath.Join("../..", document)))) {
			n++
			dirs := []string{""}
			for _, m := range quoted.FindAllStringSubmatch(line, -1) {
				for _, name := range strings.Fields(m[1]) {
					if !pathLike.MatchString(name) || !fileLike.MatchString(name) || notOurs[name] {
						continue
					}
					named++
					if found := foundIn(dirs, name); found == "" {
						t.Errorf("%s:%d names %s, which is not there", document, n, name)
					} else {
						dirs = append(dirs, found)
					}
				}
			}
			if m := runLine.FindStringSubmatch(line); m != nil {
				asked++
				for _, p := range packages.FindAllStringSubmatch(line, -1) {
					if !hasTest(t, p[1], m[1]) {
						t.Errorf("%s:%d asks for tests %s of %s, which has none", document, n, m[1], p[1])
					}
				}
			}
		}
	}
	if named < 150 || asked < 15 {
		t.Errorf("only %d paths and %d tests are named", named, asked)
	}
}

// foundIn is the folder in which a name is there, or that is itself, from the top.
func foundIn(dirs []string, name string) string {
	for _, dir := range dirs {
		path := filepath.Join(dir, name)
		if list, _ := filepath.Glob(filepath.Join("../..", path)); len(list) > 0 {
			if info, err := os.Stat(list[0]); err == nil && info.IsDir() {
				return path
			}
			return filepath.Dir(path)
		}
	}
	return ""
}

// hasTest says whether a package has a test or a benchmark that a pattern of go test finds.
func hasTest(t *testing.T, dir, pattern string) bool {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("../..", dir, "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	want := regexp.MustCompile(pattern)
	for _, f := range files {
		for _, m := range regexp.MustCompile(`(?m)^func ((?:Test|Benchmark)\w+)\(`).FindAllStringSubmatch(string(read(t, f)), -1) {
			if want.MatchString(m[1]) {
				return true
			}
		}
	}
	return false
}
