package export

import (
	"bytes"
	"flag"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fairhand/register"
	"fairhand/register/registertest"
)

// The draws of every run are the same unless -rapid.seed says otherwise (0: new
// ones), so that no change is refused for what another's chance has found.
func init() {
	_ = flag.Set("rapid.seed", "1")
	_ = flag.Set("rapid.checks", registertest.Depth("25", "100"))
}

// Whatever a book holds, every format can write it: no error, no panic.
func TestAnyDayInEveryFormat(t *testing.T) {
	box, _ := registertest.Demo(t, "..")
	outer := t
	word := rapid.OneOf(rapid.StringMatching(`[A-Za-z0-9 🚂日é=+@'<>&{}$\\|-]{1,40}`), rapid.StringMatching(`[a-z]{200,900}`))
	rapid.Check(t, func(t *rapid.T) {
		var book strings.Builder
		book.WriteString("date 2026-10-25\n") // the hour from 01:00 comes twice
		at := 0
		for range rapid.IntRange(1, 12).Draw(t, "entries") {
			at += rapid.IntRange(0, 100).Draw(t, "minutes")
			if at >= 24*60 {
				break
			}
			name, text := quoted(word.Draw(t, "name")), quoted(word.Draw(t, "text"))
			line := rapid.SampledFrom([]string{
				"Saltgarth <1 >1 <3-1 >3-1 train " + name, "Saltgarth <2 >2", "train " + name + " arrived at \"Platform 2\" complete", "note " + text,
				"Coldbeck token 3 out", "train " + name + " departed for Coldbeck", "message to Control " + text, "Saltgarth >1 <1 >2-1 <2-1",
				"train " + name + " moved to " + name, "duty on " + name, "failure " + name + " " + text,
			}).Draw(t, "line")
			fmt.Fprintf(&book, "%02d:%02d %s\n", at/60, at%60, line)
		}
		b, err := registertest.Make(outer.TempDir(), box, book.String())
		if err != nil {
			t.Skip(err)
		}
		defer b.Close()
		d, err := registertest.DayOf(b, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range Formats() {
			if err := Write(&bytes.Buffer{}, f.Name, d); err != nil {
				t.Fatalf("%s of\n%s: %v", f.Name, book.String(), err)
			}
		}
		if err := WriteParquet(&bytes.Buffer{}, oneDay(d)); err != nil {
			t.Fatal(err)
		}
	})
}

func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}

// A seal that the day carries is in every format that people read, and in JSON,
// each line of it.
func TestSealInEveryFormat(t *testing.T) {
	d := tuesday(t)
	d.Seal = &register.DaySeal{Statement: "fairhand seal 1\nbox Ennerholme\n", Signature: "-----BEGIN SSH SIGNATURE-----\nU1NIU0lHAAAA\n", PublicKey: "ssh-ed25519 AAAAC3Nz box"}
	for _, f := range []string{"json", "html", "pdf", "xlsx"} {
		got := readable(t, f, written(t, f, d))
		if got == "" {
			continue // no program here to read it
		}
		for _, p := range []string{d.Seal.Statement, d.Seal.Signature, d.Seal.PublicKey} {
			for _, l := range strings.Split(strings.TrimSpace(p), "\n") {
				if !strings.Contains(got, l) {
					t.Errorf("%s has no %q", f, l)
				}
			}
		}
	}
}
