package export

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"

	"fairhand/register"
	"fairhand/register/notation"
)

var update = flag.Bool("update", false, "rewrite the golden exports")

// tuesday is the invented morning that the page of package register is tested
// with, logged into a register.
func tuesday(t *testing.T) *register.Day {
	t.Helper()
	d, _ := tuesdayBook(t)
	return d
}

func tuesdayBook(t *testing.T) (*register.Day, string) {
	t.Helper()
	a, err := txtar.ParseFile("../register/testdata/day/tuesday.txtar")
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string][]byte{}
	for _, f := range a.Files {
		parts[f.Name] = f.Data
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), parts["box.yaml"], 0o644); err != nil {
		t.Fatal(err)
	}
	clock := time.Date(2026, 5, 5, 4, 0, 0, 0, time.UTC)
	b, err := register.Create(dir, register.Options{Now: func() time.Time { return clock }})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	events, err := notation.ParseAll(bytes.NewReader(parts["book.txt"]), b.Location())
	if err != nil {
		t.Fatal(err)
	}
	for _, ev := range events {
		clock = time.Unix(int64(max(ev.At, ev.Written)), 0)
		if _, err := b.Log(ev); err != nil {
			t.Fatal(err)
		}
	}
	d, err := b.LoadDay(t.Context(), 20260505)
	if err != nil {
		t.Fatal(err)
	}
	return d, string(parts["box.yaml"])
}

// TestGolden compares each export with the file under testdata; -update writes
// them, to be read before they are believed.
func TestGolden(t *testing.T) {
	d := tuesday(t)
	for _, f := range Formats() {
		if f.Bytes {
			continue // compared by what they say, in the tests of each
		}
		var got bytes.Buffer
		if err := Write(&got, f.Name, d); err != nil {
			t.Fatal(err)
		}
		name := filepath.Join("testdata", "tuesday"+f.Ext)
		if *update {
			if err := os.WriteFile(name, got.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), got.String()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", f.Name, diff)
		}
	}
}
