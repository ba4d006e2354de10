package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestRequirementsHaveTests: the table of what record books must do names tests and
// sessions that are there.
func TestRequirementsHaveTests(t *testing.T) {
	text, err := os.ReadFile("../../register/RECORDS.md")
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("git", "-C", "../..", "grep", "-hoE", "^func Test[A-Za-z0-9_]+", "--", "*_test.go").Output()
	if err != nil {
		t.Skip("git cannot be asked here:", err)
	}
	there := map[string]bool{}
	for line := range strings.Lines(string(out)) {
		there[strings.TrimPrefix(strings.TrimSpace(line), "func ")] = true
	}
	there["TestRequirementsHaveTests"] = true
	named := regexp.MustCompile(`\bTest[A-Z][A-Za-z0-9]+`).FindAllString(string(text), -1)
	if len(named) < 60 {
		t.Fatalf("only %d tests are named", len(named))
	}
	for _, name := range named {
		if !there[name] {
			t.Errorf("%s is named and is no test", name)
		}
	}
	for _, m := range regexp.MustCompile(`script ([a-z]+) \||script ([a-z]+),`).FindAllStringSubmatch(string(text), -1) {
		if _, err := os.Stat(filepath.Join("testdata/script", m[1]+m[2]+".txtar")); err != nil {
			t.Error(err)
		}
	}
}
