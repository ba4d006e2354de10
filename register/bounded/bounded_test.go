package bounded

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
)

// A file beyond its bound is named, and not read to its end.
func TestFileBound(t *testing.T) {
	path := filepath.Join(t.TempDir(), "f")
	if err := os.WriteFile(path, []byte("abcd"), 0o600); err != nil {
		t.Fatal(err)
	}
	if text, err := File(path, 4); err != nil || string(text) != "abcd" {
		t.Errorf("%q, %v", text, err)
	}
	if _, err := File(path, 3); !errors.Is(err, ErrTooLong) || !strings.Contains(err.Error(), path) {
		t.Error(err)
	}
	if _, err := File(t.TempDir(), Small); !errors.Is(err, ErrNoFile) {
		t.Error("a directory:", err)
	}
}

func TestBounds(t *testing.T) {
	for _, c := range []struct {
		text string
		line int
		most int64
		want string // of the error, empty for none
	}{
		{"abc\nde\n", 3, 100, ""},
		{"abc\ndefg\n", 3, 100, "line 2 has more than 3 bytes"},
		{"abc\ndefg", 3, 100, "line 2 has more than 3 bytes"},
		{"abc\nde\n", 3, 7, ""},
		{"abc\nde\nf", 3, 7, "line 3: there are more than 0 MB"},
		{strings.Repeat("x", 50), 0, 100, ""},
	} {
		for name, src := range map[string]io.Reader{"whole": strings.NewReader(c.text), "bytes": iotest.OneByteReader(strings.NewReader(c.text))} {
			got, err := io.ReadAll(Of(src, c.line, c.most))
			if c.want == "" && (err != nil || string(got) != c.text) || c.want != "" && (!errors.Is(err, ErrTooLong) || !strings.Contains(err.Error(), c.want)) {
				t.Errorf("%s, %q: %q, %v; want %q", name, c.text, got, err, c.want)
			}
		}
	}
}

// endless is a source without an end, as /dev/zero is.
type endless struct{ given int64 }

func (e *endless) Read(b []byte) (int, error) { e.given += int64(len(b)); return len(b), nil }

func TestEndlessSource(t *testing.T) {
	e := &endless{}
	if _, err := io.Copy(io.Discard, Of(e, Line, Book)); !errors.Is(err, ErrTooLong) || e.given > 1<<20 {
		t.Error(err, e.given)
	}
}

// FuzzOf: however an input comes, in pieces or at once, it is passed on whole, or ended by
// the line that is beyond the bounds.
func FuzzOf(f *testing.F) {
	f.Add("abc\ndefg\n", uint8(3), uint8(20), uint8(2))
	f.Add("\n\n\n", uint8(0), uint8(2), uint8(1))
	f.Fuzz(func(t *testing.T, text string, line, most, piece uint8) {
		got, err := io.ReadAll(Of(pieces{strings.NewReader(text), int(piece) + 1}, int(line), int64(most)))
		lines := strings.Split(text, "\n")
		beyond := len(text) > int(most) && !(len(text) == int(most)+1 && strings.HasSuffix(text, "\n"))
		for _, l := range lines {
			beyond = beyond || line > 0 && len(l) > int(line)
		}
		switch {
		case !strings.HasPrefix(text, string(got)):
			t.Errorf("%q of %q", got, text)
		case beyond != errors.Is(err, ErrTooLong), err == nil && string(got) != text:
			t.Errorf("%q, lines of %d, %d in all: %v", text, line, most, err)
		}
	})
}

// pieces gives no more than so many bytes at a time.
type pieces struct {
	src  io.Reader
	most int
}

func (p pieces) Read(b []byte) (int, error) { return p.src.Read(b[:min(len(b), p.most)]) }
