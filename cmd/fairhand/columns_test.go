package main

import (
	"cmp"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fairhand/register"
	"fairhand/register/measure"
)

// narrow holds that what a command tells people takes 80 columns at the most, in a pipe
// as on a terminal, but for a word that is longer alone (a hash, a path, an address), which
// stays whole on a line of its own, and a command that is to be copied. What is a line a
// finding for programs is not broken.
func narrow(t *testing.T, command, out string) {
	t.Helper()
	for line := range strings.Lines(out) {
		line = strings.TrimRight(line, "\n")
		if words := strings.Fields(line); measure.Width(line) > 80 && len(words) > 1 && words[0] != "fairhand" && !strings.HasPrefix(command, "seal ") {
			t.Errorf("fairhand %s: %d columns: %s", command, measure.Width(line), line)
		}
	}
}

// TestEightyColumns runs each command that tells people something on the demonstration.
func TestEightyColumns(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	must := func(args ...string) string {
		t.Helper()
		var out, notes strings.Builder
		if code := run(t.Context(), args, strings.NewReader(""), &out, &notes); code == exitUsage || code == exitFailed {
			t.Fatalf("fairhand %s: %d, %s", strings.Join(args, " "), code, notes.String())
		}
		narrow(t, strings.Join(args, " ")+" (standard error)", notes.String())
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
	commands := []string{"config", "verify", "handover", "audit", "findings", "day", "graph", "codes", "codes 3-1", "rules", "rules accepted-twice", "config", "version",
		"help", "help notation", "help box", "help csv", "help schema", "help audit", "export", "gather " + dir + "-line " + dir, "gather sql", "backup " + dir + "-copy",
		"seal key", "seal now", "seal words", "seal check " + filepath.Join(dir, "seal-167.txt"), "archive due", "findings --all", "audit --all", "help clock", "talk", "salvage " + dir + "-saved", "restore " + dir + "-copy",
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
		narrow(t, c, must(args...))
	}
	for _, c := range []string{"audit --since-last-signed", "audit --person Nobody", "findings --rule none", "compare " + dir + " " + dir + "-nothing", "seal check " + dir, "import " + dir,
		"export -o " + dir + "/register.db", "gather " + dir + " " + dir, "log nonsense", "day 2026-13-01", "rules no-such-rule", "audit --from 2027-01-01", "-C " + dir + "/none audit"} {
		var out, notes strings.Builder
		if code := run(t.Context(), append([]string{"-C", dir}, strings.Fields(c)...), strings.NewReader(""), &out, &notes); code == exitFine || code == exitFindings || notes.Len() == 0 {
			t.Errorf("fairhand %s: %d, %q", c, code, notes.String())
		}
		narrow(t, c, notes.String())
	}
	bad := dir + ".txt"
	if err := os.WriteFile(bad, []byte("date 2026-05-05\n08:00 Nowhere of all the places that there are "+strings.Repeat("nonsense ", 20)+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	var notes strings.Builder
	run(t.Context(), []string{"-C", dir, "check", bad}, strings.NewReader(""), io.Discard, &notes)
	first, rest, _ := strings.Cut(notes.String(), "\n")
	if !strings.HasPrefix(first, bad+":2:") || measure.Width(first) <= 80 || !strings.HasPrefix(rest, "  nothing of the book was used") {
		t.Errorf("a fault of a book is no line for programs: %s", notes.String())
	}
}

// TestEightyColumnsUntidy runs those that show a book on books as tired hands write them:
// times of another date, long names, many kinds of findings.
func TestEightyColumnsUntidy(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	text := string(read(t, "../../register/testdata/untidy.txt"))
	_, rest, _ := strings.Cut(text, "=== ")
	books := strings.Split(rest, "\n=== ")
	step := 24
	if thorough() {
		step = 3 // of three hundred; most findings stand in many of them
	}
	for i := 0; i < len(books); i += step {
		head, body, _ := strings.Cut(books[i], "\n")
		part := strings.Split(head, " | ")
		name, _, _ := strings.Cut(part[1], " in ")
		dir := filepath.Join(t.TempDir(), "box")
		if !strings.HasPrefix(body, "date ") {
			body = "date 2026-05-05\n" + body
		}
		box := "railway: Thrackley Vale Railway\n" + string(read(t, filepath.Join("../../block/testdata/clauses/boxes", name+".yaml")))
		if err := cmp.Or(os.Mkdir(dir, 0o700), os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(box), 0o600), os.WriteFile(dir+".txt", []byte(body), 0o600)); err != nil {
			t.Fatal(err)
		}
		if code, _, errs := fairhand(t, "-C", dir, "import", "--transcription", "", "--create", "--older", dir+".txt"); code == exitUsage || code == exitFailed {
			t.Fatalf("%s: %s", head, errs)
		}
		commands := []string{"config", "verify", "handover", "audit --all", "findings --all", "compare " + dir + " " + dir}
		for _, date := range regexp.MustCompile(`(?m)^date (\S+)`).FindAllStringSubmatch(body, -1) {
			commands = append(commands, "day "+date[1], "graph "+date[1], "export --format text --date "+date[1])
		}
		for _, c := range commands {
			var out, notes strings.Builder
			code := run(t.Context(), append([]string{"-C", dir}, strings.Fields(c)...), strings.NewReader(""), &out, &notes)
			if code == exitUsage || code == exitFailed && out.Len() == 0 && !strings.HasPrefix(c, "compare") {
				t.Errorf("%s: fairhand %s: %d %s", head, c, code, notes.String())
			}
			narrow(t, c, out.String()+notes.String())
		}
	}
}
