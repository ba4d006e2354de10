package main

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fairhand/register"
)

// TestAttacks is the table of what a register can be made to say: each attack of
// somebody who has the file, by each command that shows the place. A command tells
// it (t) or gives what it gave before (.), because the attack touches nothing that
// it shows; anything else is wrong (W). -v prints it. Forms of one page that read it as
// the others do are left to a thorough run, which tries every command after every attack.
func TestAttacks(t *testing.T) {
	pristine, _ := sealedDemo(t)
	saltgarth := neighbourOf(t, pristine)
	// another description and a correction after the seal, so that there are both; a
	// second day; sealed again
	f := &forger{T: t, dir: pristine}
	f.edit(register.BoxFileName, "people:", "people:\n  - {name: L. Marsh, role: trainee}")
	fairhand(t, "-C", pristine, "log", `correct 160 "note \"struck out\""`)
	next := filepath.Join(t.TempDir(), "next.txt")
	if err := os.WriteFile(next, []byte("date 2026-05-06\n06:00 duty on \"M. Dunn\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	fairhand(t, "-C", pristine, "import", "--transcription", "", next)
	must(t, exitFine, "-C", pristine, "seal", "now")
	must(t, exitFine, "-C", pristine, "export", "--format", "json", "--date", "2026-05-05", "--force", "-o", filepath.Join(pristine, "day.json"))
	must(t, exitFine, "-C", pristine, "export", "--format", "html", "--date", "2026-05-05", "-o", filepath.Join(pristine, "day.html"))
	if err := os.WriteFile(filepath.Join(pristine, "later.txt"), []byte("date 2026-05-07\n06:00 duty on \"M. Dunn\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	tried := slices.DeleteFunc(slices.Clone(deeds), func(d deed) bool {
		return !thorough() && slices.Contains([]string{"html", "xlsx", "pdf", "svg", "parquet", "graph", "text"}, d.name)
	})
	reads := map[string]string{}
	for _, more := range further {
		if reads[more.name] = more.reads; thorough() {
			tried = append(tried, more.deed)
		}
	}
	was := map[string]given{}
	for _, d := range tried {
		got := d.try(t, copyBox(t, pristine), saltgarth)
		if got.code == exitUsage || got.code == exitFailed && d.name != "now" { // which says that it is sealed already
			t.Fatalf("%s on the register as it is: exit code %d\n%s", d.name, got.code, got.stderr)
		}
		was[d.name] = got
	}
	var table strings.Builder
	fmt.Fprintf(&table, "%-36s", "")
	for _, d := range tried {
		fmt.Fprintf(&table, " %-4.4s", d.name)
	}
	for i, a := range attacks {
		dir := copyBox(t, pristine)
		f := forge(t, dir)
		a.do(f)
		f.done()
		fmt.Fprintf(&table, "\n%-36s", a.name)
		var proved []string // named by verify
		for j, d := range tried {
			if !tries(i, j, 16) {
				fmt.Fprintf(&table, " %-4s", "")
				continue
			}
			box := dir
			if d.name == "log" || reads[d.name] != "" { // it may write
				box = copyBox(t, dir)
			}
			got := d.try(t, box, saltgarth)
			want, is := a.wants(cmp.Or(reads[d.name], d.name)), judge(got, was[d.name])
			fmt.Fprintf(&table, " %-4s", map[outcome]string{toldIt: "t", sameAs: ".", wrongOne: "W"}[is])
			if names := named(got, was[d.name]); d.name == "verify" {
				proved = names
			} else if more := slices.DeleteFunc(names, func(n string) bool { return slices.Contains(proved, n) }); len(more) > 0 {
				t.Errorf("%s: %s tells of %q, and verify of %q alone", a.name, d.name, more, proved)
			}
			if is != want {
				t.Errorf("%s, then %s: %s, want %s; exit code %d\n%s%.300s", a.name, d.name, is, want, got.code, got.stderr, got.out)
			}
		}
	}
	shown(t, table.String())
}

// shown prints the table, into a file where FAIRHAND_ATTACKS names one.
func shown(t *testing.T, table string) {
	t.Log("\n" + table)
	if name := os.Getenv("FAIRHAND_ATTACKS"); name != "" {
		if err := os.WriteFile(name, []byte(table+"\n"), 0o644); err != nil {
			t.Error(err)
		}
	}
}

// wants is what a command must do after an attack that reads what these read.
func (a *attack) wants(commands string) outcome {
	for command := range strings.FieldsSeq(commands) {
		if slices.Contains(strings.Fields(a.told), command) {
			return toldIt
		}
	}
	return sameAs
}

// culprits are by what it is known which alarms are told: damage, each seal by its
// file, the public key, a state kept.
var culprits = regexp.MustCompile(`register is damaged|seal-\d+\.txt|seal_ed25519\.pub|state kept`)

// named are the alarms that a command tells beside what it says of the sound register:
// verify, which is asked first, must tell each that any other does.
func named(got, was given) []string {
	got.stderr = strings.TrimPrefix(strings.ReplaceAll(got.stderr, `\`, "/"), "fairhand: BOX/seal-170.txt: BOX/register.db") // the one asked about
	sound := culprits.FindAllString(was.stderr, -1)
	return slices.DeleteFunc(culprits.FindAllString(got.stderr, -1), func(n string) bool { return slices.Contains(sound, n) })
}

// tries says whether the command numbered j, where verify is 0, is tried after the damage
// numbered i: always verify and in turn one in so many of the others, so that each is tried
// after one in so many kinds, and in a thorough run all.
func tries(i, j, in int) bool { return thorough() || j == 0 || (i+j)%in == 0 }

// thorough says whether long rows of like cases are tried whole, as the searches are at
// their full depth.
func thorough() bool { return os.Getenv("FAIRHAND_DEPTH") == "full" }

// neighbourOf makes the box at the other end of the line to Saltgarth, with a book of
// what it must have heard and sent.
func neighbourOf(t *testing.T, dir string) string {
	t.Helper()
	var book strings.Builder
	book.WriteString("date 2026-05-05\n06:00 duty on \"T. Moor\"\n")
	for line := range strings.Lines(must(t, exitFine, "-C", dir, "export", "--format", "notation", "--date", "2026-05-05")) {
		if clock, rest, ok := strings.Cut(line, " Saltgarth "); ok && len(clock) == 5 && !strings.Contains(rest, "seal") && !strings.Contains(rest, "written") {
			fmt.Fprintf(&book, "%s Ennerholme %s", clock, strings.NewReplacer("<", ">", ">", "<").Replace(rest))
		}
	}
	saltgarth := filepath.Join(t.TempDir(), "saltgarth")
	if err := os.Mkdir(saltgarth, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"book.txt": book.String(),
		register.BoxFileName: "railway: Thrackley Vale Railway\nbox: Saltgarth\nrules: british-later\nsections:\n" +
			"  - {neighbour: Ennerholme, method: absolute, lines: [{name: Up Main, way: in}, {name: Down Main, way: out}]}\n"} {
		if err := os.WriteFile(filepath.Join(saltgarth, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if code, _, errs := fairhand(t, "-C", saltgarth, "import", "--transcription", "", "--create", filepath.Join(saltgarth, "book.txt")); code == exitFailed || code == exitUsage {
		t.Fatal(errs)
	}
	return saltgarth
}
