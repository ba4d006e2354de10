package main

import (
	"cmp"
	"os"
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
	// written writes the book of one of two boxes, and names it for compare.
	written := func(box, other, out, in, way string) string {
		file, book := dir+"-"+box+".yaml", dir+"-"+box+".txt"
		back := map[string]string{">": "<", "<": ">"}[way]
		text := "date 2026-05-05\n"
		for _, at := range []string{"08", "09", "10"} { // one box has another name of the train
			text += at + ":05 " + other + " " + way + "3-1 " + back + "3-1 train 2" + box + "\n" + at + ":07 " + other + " " + way + "2 " + back + "2\n"
		}
		err := os.WriteFile(file, []byte("box: "+box+"\ntimezone: Europe/London\nrules: british-later\nsections:\n  - neighbour: "+other+
			"\n    method: absolute\n    lines: [{name: Up Main, way: "+out+"}, {name: Down Main, way: "+in+"}]\n"), 0o600)
		if err = cmp.Or(err, os.WriteFile(book, []byte(text), 0o600)); err != nil {
			t.Fatal(err)
		}
		return file + ":" + book
	}
	commands := []string{"verify", "handover", "audit", "findings", "day", "graph", "codes", "codes 3-1", "rules", "rules accepted-twice", "config", "version",
		"help", "help notation", "help box", "help csv", "help schema", "help audit", "export", "gather " + dir + "-line " + dir, "gather sql", "backup " + dir + "-copy",
		"seal key", "seal now", "seal words", "seal check " + filepath.Join(dir, "seal-167.txt"), "archive due", "findings --all", "audit --all", "help clock", "salvage " + dir + "-saved", "restore " + dir + "-copy",
		"compare " + written("Ash", "Elm", "out", "in", ">") + " " + written("Elm", "Ash", "in", "out", "<")}
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
