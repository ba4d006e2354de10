package tui

import (
	"bytes"
	"strings"
	"testing"
	"unicode"
)

// FuzzTalk: no lines break the desk in lines, and nothing that moves a cursor is told.
func FuzzTalk(f *testing.F) {
	f.Add("u\n1\nSaltgarth <1 >1 <3-1 >3-1 train 1M44\nz\n1\n?\ns\n")
	f.Add("e\nnote \"a\x1b]52;c;\u202e\"\n/esc\nq\nn\n")
	f.Add("r\ng\n2026-05-05\n/up /down\nnew person \"X\" signaller\np\nX\n4711\n")
	f.Fuzz(func(t *testing.T, lines string) {
		if strings.Count(lines, "\n") > 30 {
			return
		}
		r := newRig(t, "box.yaml", 100, 30, Options{})
		var out bytes.Buffer
		k := newTalker(r.book, r.book.Location(), &out, Options{})
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
