package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestNextStep: whatever is named that is not there, or is a folder where a file is
// wanted, is told with what to do next: a line of its own, or after a semicolon.
func TestNextStep(t *testing.T) {
	dir, _ := sealedDemo(t)
	folder, box := t.TempDir(), filepath.Join(dir, "box.yaml")
	none := filepath.Join(folder, "none")
	for _, line := range []string{
		"check NAMED", "check --box NAMED BOX", "audit --box BOX NAMED", "audit -o NAMED/x/y.txt", "compare NAMED:a.txt BOX:b.txt", "compare BOX:NAMED BOX:NAMED", "compare DIR NAMED",
		"verify NAMED", "verify --export NAMED", "gather OUT NAMED", "archive check NAMED", "restore NAMED",
		"seal check NAMED", "import NAMED", "import --csv NAMED", "import --create NAMED", "backup NAMED/x/y.db", "export --date 2026-05-05 -o NAMED/x/y.txt",
		"graph 2026-05-05 --svg NAMED/x/y.svg", "archive hold NONE why", "archive release NONE why", "print --config NAMED", "-C NAMED day",
	} {
		for _, named := range []string{none, folder} {
			var args []string
			for _, a := range strings.Fields(line) {
				args = append(args, strings.NewReplacer("NAMED", named, "NONE", none, "BOX", box, "DIR", dir, "OUT", filepath.Join(t.TempDir(), "out")).Replace(a))
			}
			if !strings.Contains(line, "-C ") {
				args = append([]string{"-C", dir}, args...)
			}
			code, _, errs := fairhand(t, args...)
			lines := strings.Split(strings.TrimSpace(errs), "\n")
			advice := strings.Contains(lines[0], "; ") || strings.HasSuffix(lines[0], "?") || len(lines) > 1 && strings.HasPrefix(lines[1], "  ")
			if code == exitFine || errs == "" || !advice {
				t.Errorf("fairhand %s, of %s: exit code %d, no next step:\n%s", line, map[bool]string{true: "nothing", false: "a folder"}[named == none], code, errs)
			}
			if _, err := os.Stat(none); err == nil {
				t.Fatalf("fairhand %s made something", line)
			}
		}
	}
}
