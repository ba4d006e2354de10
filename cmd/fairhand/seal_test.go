package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/store"
)

// fairhand runs the program in this process.
func fairhand(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(t.Context(), args, strings.NewReader(""), &out, &errs)
	return code, out.String(), unbroken(errs.String())
}

// must runs it and expects the exit code.
func must(t *testing.T, want int, args ...string) string {
	t.Helper()
	code, out, errs := fairhand(t, args...)
	if code != want {
		t.Fatalf("fairhand %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), code, want, out, errs)
	}
	return out
}

// sealedDemo makes a box with a seal and an export, and a neighbour whose book
// holds the words of the same head.
func sealedDemo(t *testing.T) (dir, neighbour string) {
	t.Helper()
	t.Setenv("HOME", t.TempDir())
	dir, neighbour = filepath.Join(t.TempDir(), "ennerholme"), filepath.Join(t.TempDir(), "saltgarth")
	must(t, exitFine, "demo", "--no-desk", dir)
	must(t, exitFine, "-C", dir, "seal", "key")
	must(t, exitFine, "-C", dir, "seal", "now")
	must(t, exitFine, "-C", dir, "export", "--format", "json", "-o", filepath.Join(dir, "day.json"))
	words := strings.TrimSpace(must(t, exitFine, "-C", dir, "seal", "words"))
	if err := os.Mkdir(neighbour, 0o755); err != nil {
		t.Fatal(err)
	}
	files := map[string]string{
		register.BoxFileName: "railway: Thrackley Vale Railway\nbox: Saltgarth\nrules: british-later\nsections:\n" +
			"  - {neighbour: Ennerholme, method: absolute, lines: [{name: Up Main, way: in}, {name: Down Main, way: out}]}\n",
		"book.txt": "date 2026-05-05\n09:00 duty on \"T. Moor\"\n09:00 clock right\n09:00 box open\n10:40 seal Ennerholme \"" + words + "\"\n",
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(neighbour, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	must(t, exitFine, "-C", neighbour, "import", "--transcription", "", "--create", filepath.Join(neighbour, "book.txt"))
	return dir, neighbour
}

// changed is a register after somebody has had his way with it.
type changed struct {
	name  string
	sql   string                             // by another SQLite program
	rows  func(rows []store.Row) []store.Row // the same, before all is chained anew
	first string                             // what verify names without the new chain
}

var changes = []changed{
	{"one byte of an old entry altered",
		"update entry set line = replace(line, '10:02', '10:01') where seq = 139",
		func(rows []store.Row) []store.Row {
			rows[138].Line, rows[138].At = strings.Replace(rows[138].Line, "10:02", "10:01", 1), rows[138].At-60
			return rows
		}, "entry 139 "},
	{"an old entry removed",
		"delete from entry where seq = 118",
		func(rows []store.Row) []store.Row { return slices.Delete(rows, 117, 118) }, "entry 118 "},
	{"two entries changed about",
		"update entry set seq = 9999 where seq = 50; update entry set seq = 50 where seq = 51; update entry set seq = 51 where seq = 9999",
		func(rows []store.Row) []store.Row {
			rows[49], rows[50] = rows[50], rows[49]
			return rows
		}, "entry 50 "},
}

// TestTampering holds that verify names the first bad entry of a
// register that was altered by another program (the sqlite3 tool, its protecting
// triggers put back afterwards); one that was chained anew from there on is sound
// in itself, and caught by the seal beside it, by a neighbour's book and by an export.
func TestTampering(t *testing.T) {
	dir, neighbour := sealedDemo(t)
	file, day := filepath.Join(dir, register.RegisterName), filepath.Join(dir, "day.json")
	sound, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	checks := [][]string{
		{"seal", "check", filepath.Join(dir, "seal-167.txt")},
		{"seal", "check", "--neighbour", neighbour},
		{"verify", "--export", day},
		{"verify"},
	}
	for _, form := range export.Names() {
		page := filepath.Join(t.TempDir(), "page"+export.Ending(form))
		must(t, exitFine, "-C", dir, "export", "--format", form, "--date", "2026-05-05", "-o", page)
		checks = append(checks, []string{"verify", "--export", page})
	}
	for _, c := range checks {
		must(t, exitFine, append([]string{"-C", dir}, c...)...)
	}
	for _, c := range changes {
		t.Run(c.name, func(t *testing.T) {
			alter(t, file, c.sql)
			code, out, errs := fairhand(t, "-C", dir, "verify")
			if code != exitFailed || out != "" || !strings.Contains(errs, c.first) {
				t.Errorf("verify: exit code %d, want %s named\n%s%s", code, c.first, out, errs)
			}
			for _, check := range checks[:2] {
				if code, _, errs := fairhand(t, append([]string{"-C", dir}, check...)...); code != exitFailed || !strings.Contains(errs, c.first) {
					t.Errorf("%v: exit code %d, want %s named\n%s", check, code, c.first, errs)
				}
			}
			if err := os.WriteFile(file, sound, 0o644); err != nil {
				t.Fatal(err)
			}
			chainAnew(t, file, c.rows)
			must(t, exitFine, "verify", file) // away from its seal
			for _, check := range checks {
				code, out, errs := fairhand(t, append([]string{"-C", dir}, check...)...)
				if code != exitFailed || out != "" || errs == "" {
					t.Errorf("%v of a register chained anew: exit code %d\n%s%s", check, code, out, errs)
				}
			}
			if err := os.WriteFile(file, sound, 0o644); err != nil {
				t.Fatal(err)
			}
		})
	}
	must(t, exitFine, "-C", dir, "verify")

	// the words in a neighbour's book that was made anew prove nothing
	must(t, exitFine, "-C", neighbour, "seal", "key")
	must(t, exitFine, "-C", neighbour, "seal", "now")
	must(t, exitFine, append([]string{"-C", dir}, checks[1]...)...)
	f := forge(t, neighbour)
	f.do(`UPDATE entry SET writer = 'N. Body' WHERE seq = 1`)
	f.rechain()
	f.done()
	if code, out, errs := fairhand(t, append([]string{"-C", dir}, checks[1]...)...); code != exitFailed || out != "" || !strings.Contains(errs, "SEAL DOES NOT FIT: "+neighbour) {
		t.Errorf("by the book of a neighbour that was made anew: exit code %d\n%s%s", code, out, errs)
	}
}

// alter runs statements on a register by the sqlite3 tool, with the triggers out
// of the way meanwhile.
func alter(t *testing.T, file, sql string) {
	t.Helper()
	tool, err := exec.LookPath("sqlite3")
	if err != nil {
		t.Skip("sqlite3 is not on this machine")
	}
	sqlite := func(text string) string {
		out, err := exec.Command(tool, "-batch", file, text).CombinedOutput()
		if err != nil {
			t.Fatalf("sqlite3: %v\n%s", err, out)
		}
		return string(out)
	}
	triggers := sqlite("select sql || ';' from sqlite_schema where type = 'trigger'")
	drops := sqlite("select 'drop trigger ' || name || ';' from sqlite_schema where type = 'trigger'")
	sqlite(drops + sql + ";" + triggers)
}

// chainAnew makes a register with the same heading from the altered entries.
func chainAnew(t *testing.T, file string, alter func([]store.Row) []store.Row) {
	t.Helper()
	st, err := store.OpenReadOnly(file)
	if err != nil {
		t.Fatal(err)
	}
	meta := st.Meta()
	rows, err := st.Range(1, st.Tail().Seq)
	if err != nil {
		t.Fatal(err)
	}
	st.Close()
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	if st, err = store.Create(file, meta); err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	var drafts []store.Draft
	for _, r := range alter(rows) {
		drafts = append(drafts, store.Draft{At: r.At, Recorded: r.Recorded, Day: r.Day, Writer: r.Writer, Line: r.Line})
	}
	if _, err := st.AppendBatch(drafts); err != nil {
		t.Fatal(err)
	}
}
