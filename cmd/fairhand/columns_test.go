package main

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/register/measure"
)

// What a command tells people takes 80 columns at the most, in a pipe as on a terminal,
// but for a line with a hash or a path, which stays whole. What is a line a finding for
// programs, and what is to be copied out (the commands of seal), is not broken.
func TestEightyColumns(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	must := func(args ...string) string {
		t.Helper()
		var out, notes strings.Builder
		if code := run(t.Context(), args, strings.NewReader(""), &out, &notes); code == exitUsage || code == exitFailed {
			t.Fatalf("fairhand %s: %d, %s", strings.Join(args, " "), code, notes.String())
		}
		return out.String()
	}
	must("demo", "--no-desk", dir)
	commands := []string{"verify", "handover", "audit", "findings", "day", "graph", "codes", "codes 3-1", "rules", "rules accepted-twice", "config", "version",
		"help", "help notation", "help box", "help csv", "help schema", "help audit", "export", "gather " + dir + "-line " + dir, "gather sql", "backup " + dir + "-copy"}
	for line := range strings.Lines(must("help")) {
		if f := strings.Fields(line); len(f) > 1 && strings.HasPrefix(line, "  ") && !strings.HasPrefix(line, "   ") && !strings.HasPrefix(f[0], "-") && f[0] != "fairhand" {
			commands = append(commands, f[0]+" --help")
		}
	}
	if len(commands) < 40 {
		t.Fatalf("only %d commands are known", len(commands))
	}
	for _, c := range commands {
		args := append([]string{"-C", dir}, strings.Fields(c)...)
		for line := range strings.Lines(must(args...)) {
			line = strings.TrimRight(line, "\n")
			long := func(word string) bool { return measure.Width(word) > 40 }
			if measure.Width(line) > 80 && !slices.ContainsFunc(strings.Fields(line), long) {
				t.Errorf("fairhand %s: %d columns: %s", c, measure.Width(line), line)
			}
		}
	}
}
