package pins

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/block"
)

func TestRecord(t *testing.T) {
	a, err := New("A. Fell", "4711")
	if err != nil {
		t.Fatal(err)
	}
	b, err := New("A. Fell", "4711")
	if err != nil {
		t.Fatal(err)
	}
	if !a.Fits("4711") || a.Fits("4712") || a.Fits("") {
		t.Error("the record does not know its PIN from others")
	}
	if a.Time != 3 || a.Memory != 64<<10 || a.Threads != 4 {
		t.Errorf("a record costs %d passes over %d KiB by %d: not the second set of RFC 9106, section 4", a.Time, a.Memory, a.Threads)
	}
	if len(a.Salt) != 16 || string(a.Salt) == string(b.Salt) || a.Digest() == b.Digest() {
		t.Error("two records of one PIN are alike: no salt of 128 bits")
	}
	for _, pin := range []string{"", "123", strings.Repeat("1", Most+1)} {
		if _, err := New("A. Fell", pin); err == nil {
			t.Errorf("%q is taken as a PIN", pin)
		}
	}
	changed := *a
	changed.Time = 1
	if changed.Digest() == a.Digest() {
		t.Error("the digest does not cover the parameters")
	}
}

func TestFile(t *testing.T) {
	dir := t.TempDir()
	if list, err := Load(dir); err != nil || len(list) != 0 {
		t.Fatalf("no file: %v, %v", list, err)
	}
	a, err := New("A. Fell", "4711")
	if err != nil {
		t.Fatal(err)
	}
	if err := Save(dir, []Record{*a}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, FileName)
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm()&0o077 != 0 && os.PathSeparator == '/' {
		t.Errorf("%v, %v: others may read it", info.Mode(), err)
	}
	if left, err := filepath.Glob(path + ".*"); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
	list, err := Load(dir)
	known := []block.PIN{{Name: "A. Fell", Digest: a.Digest(), Seq: 7}}
	if err != nil || Of(list, known[0]) == nil || len(Compare(dir, known)) != 0 {
		t.Errorf("read back: %+v, %v", list, err)
	}

	other, err := New("A. Fell", "0000")
	if err != nil {
		t.Fatal(err)
	}
	for what, text := range map[string]string{"another record": "", "no record": "[]", "no file of the kind": "{"} {
		if err := Save(dir, []Record{*other}); err != nil {
			t.Fatal(err)
		}
		if text != "" {
			if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if got := Compare(dir, known); len(got) != 1 || got[0].Stamp != Misfit {
			t.Errorf("%s: %v", what, got)
		}
	}
}
