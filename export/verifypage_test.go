package export

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register/registertest"
)

// A day filed in any form is proved as it was written, and is not with one byte of it
// edited, or with one left out; nor is what names no head.
func TestFiledPage(t *testing.T) {
	book, filed, with := filedDay(t)
	day, err := registertest.DayOf(book, 0)
	if err != nil {
		t.Fatal(err)
	}
	compare := func(content []byte) (string, error) {
		path := filepath.Join(t.TempDir(), "day")
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		f, err := ReadPage(path)
		if err != nil {
			return "", err
		}
		return f.Compare(with)
	}
	for _, name := range Names() {
		if name == "json" {
			continue
		}
		text := []byte(written(t, name, day))
		if told, err := compare(text); err != nil || !strings.Contains(told, " as "+name+" is, to the byte") || !strings.Contains(told, "it carries no seal") {
			t.Errorf("%s as it was written: %q, %v", name, told, err)
		}
		for _, at := range []int{len(text) / 5, len(text) / 2, len(text) - 2} {
			edited := bytes.Clone(text)
			edited[at] ^= 1
			if told, err := compare(edited); err == nil || told != "" {
				t.Errorf("%s with byte %d edited: %q", name, at, told)
			}
			if told, err := compare(append(bytes.Clone(text[:at]), text[at+1:]...)); err == nil || told != "" {
				t.Errorf("%s without byte %d: %q", name, at, told)
			}
		}
	}
	csv := written(t, "csv", day)
	told, err := compare([]byte(strings.Replace(csv, "entry,2,2026", "entry,2,2025", 1)))
	if !errors.Is(err, ErrDiffers) || told != "" || !strings.Contains(err.Error(), "from line 3 on:\n  in the file      \"entry,2,2025") {
		t.Errorf("a line edited: %q, %v", told, err)
	}
	head := day.Head.Hash.String()
	if _, err := compare([]byte(strings.ReplaceAll(csv, head, strings.Repeat("0", len(head))))); err == nil || !strings.Contains(err.Error(), "; the register has "+head) {
		t.Errorf("another hash of the head: %v", err)
	}
	for _, text := range []string{"", "{}", filed, "PK\x03\x04", "entry,1,\n"} {
		if _, err := compare([]byte(text)); !errors.Is(err, ErrNoHead) {
			t.Errorf("%.20q: %v", text, err)
		}
	}
}
