package tui

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"

	"fairhand/register"
)

// FuzzTalk: no lines break the desk in lines, and nothing that moves a cursor is told.
func FuzzTalk(f *testing.F) {
	f.Add("u\n1\nSaltgarth <1 >1 <3-1 >3-1 train 1M44\nz\n1\n?\ns\n")
	f.Add("e\nnote \"a\x1b]52;c;\u202e\"\n/esc\nq\nn\n")
	f.Add("r\ng\n2026-05-05\n/up /down\nnew person \"X\" signaller\np\nX\n4711\n")
	box, err := os.ReadFile("testdata/box.yaml")
	if err != nil {
		f.Fatal(err)
	}
	now := time.Date(2026, 5, 5, 10, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, lines string) {
		if strings.Count(lines, "\n") > 30 {
			return
		}
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), box, 0o600); err != nil {
			t.Fatal(err)
		}
		book, err := register.Create(dir, register.Options{Now: func() time.Time { return now }})
		if err != nil {
			t.Fatal(err)
		}
		defer book.Close()
		var out bytes.Buffer
		k := newTalker(book, book.Location(), &out, Options{})
		k.begin()
		for l := range strings.Lines(lines) {
			k.take(strings.TrimSuffix(l, "\n"))
		}
		for _, c := range out.String() {
			if unicode.IsControl(c) && c != '\n' {
				t.Fatalf("%q is told of %q", out.String(), lines)
			}
		}
	})
}
