package main

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"fairhand/register"
)

// deed is a command as it is tried on a register; OUT stands for a file that is not there,
// FOLDER for an empty folder, and what is typed stands behind a <.
type deed struct{ name, args string }

var deeds = []deed{
	{"verify", "verify"}, {"day", "day 2026-05-05"}, {"next", "day 2026-05-06"}, {"text", "export --date 2026-05-05 --format text"},
	{"json", "export --date 2026-05-05 --format json"}, {"html", "export --date 2026-05-05 --format html"},
	{"csv", "export --date 2026-05-05 --format csv"}, {"notation", "export --date 2026-05-05 --format notation"},
	{"xlsx", "export --date 2026-05-05 --format xlsx"}, {"pdf", "export --date 2026-05-05 --format pdf"},
	{"handover", "handover"}, {"graph", "graph 2026-05-05"}, {"svg", "graph 2026-05-05 --svg -"},
	{"audit", "audit"}, {"from", "audit --from 2026-05-05 --to 2026-05-05"}, {"compare", "compare BOX SALTGARTH"},
	{"words", "seal words"}, {"now", "seal now"}, {"check", "seal check BOX/seal-170.txt"}, {"backup", "backup OUT"},
	{"export", "verify --export BOX/day.json"}, {"findings", "findings"}, {"gather", "gather OUT BOX"}, {"parquet", "export --format parquet -o OUT"}, {"log", `log note_"x"`},
}

// further are deeds that read what others of them read, and must tell what any of those
// tells. They are tried in a thorough run.
var further = []struct {
	deed
	reads string
}{
	{deed{"sign", "audit --sign R._Garth"}, "audit log"}, {deed{"copies", "backup --copies FOLDER"}, "backup copies"},
	{deed{"desk", "talk < s | r"}, "log"}, {deed{"search", "talk < r | s | 2A10"}, "log"},
	{deed{"due", "archive due"}, "words due"}, {deed{"import", "import BOX/later.txt"}, "log"}, {deed{"page", "verify --export BOX/day.html"}, "export"},
}

// outcome of a deed on a forged register.
type outcome string

const (
	toldIt   outcome = "told"  // it failed, and said why; what it printed says so across itself
	sameAs   outcome = "same"  // it gave what it gave before
	wrongOne outcome = "WRONG" // neither
)

// try runs a deed in a box.
func (d deed) try(t *testing.T, dir, saltgarth string) given {
	t.Helper()
	out, folder := filepath.Join(t.TempDir(), "out"), t.TempDir()
	args := []string{"-C", dir}
	line, lines, _ := strings.Cut(d.args, " < ")
	for _, a := range strings.Fields(line) {
		a = strings.NewReplacer("BOX", dir, "SALTGARTH", saltgarth, "OUT", out, "FOLDER", folder, "_", " ").Replace(a)
		args = append(args, a)
	}
	var stdout, stderr strings.Builder
	code := run(t.Context(), args, strings.NewReader(strings.ReplaceAll(lines, " | ", "\n")), &stdout, &stderr)
	names := strings.NewReplacer(dir, "BOX", out, "OUT", folder, "FOLDER")
	said := folds.ReplaceAllString(written.ReplaceAllString(names.Replace(stdout.String()), "NOW"), " ")
	return given{code, said, names.Replace(unbroken(stderr.String()))}
}

// written is an entry with its time, or the time at the desk, which is by a clock that goes
// on while a busy machine opens the register.
var written = regexp.MustCompile(`\d\d:\d\d(:\d\d)? note "x"|20\d\d, \d\d:\d\d:\d\d,`)

// folds are where a line goes on below, which is elsewhere when the names of folders are longer.
var folds = regexp.MustCompile(`\n +`)

// given is what a deed gave.
type given struct {
	code        int
	out, stderr string
}

// said says whether it is told that the box is described otherwise than before.
func said(g given) bool {
	return strings.Contains(g.out, "box.yaml is not the description in force") || strings.Contains(g.stderr, "box.yaml has come into force; entry 171: ")
}

// judge says what became of a deed, beside what it gave on the register as it was.
func judge(got, was given) outcome {
	alarm := func(s string) bool {
		return strings.Contains(s, "DAMAGED") || strings.Contains(s, "SEAL DOES NOT FIT") || strings.Contains(s, register.ForgedState) || strings.Contains(s, "nothing of it is in the collection")
	}
	printed := got.out == "" || alarm(got.out) || strings.HasPrefix(got.out, "%PDF") || strings.HasPrefix(got.out, "PK") ||
		alarm(got.stderr) && len(strings.Split(got.out, "\n")) < 5 // words, or some lines about a copy
	switch {
	case got == was:
		return sameAs
	case said(got) && !said(was): // of what is no damage
		return toldIt
	case strings.HasPrefix(got.out, "The desk in lines.") && alarm(got.out): // it stays open
		return toldIt
	case (got.code == exitFailed || got.code == exitUsage) && got.stderr != "" && printed, alarm(got.stderr) && (strings.HasPrefix(got.out, "entry ") || strings.Contains(got.out, " imported: ")):
		return toldIt
	}
	return wrongOne
}
