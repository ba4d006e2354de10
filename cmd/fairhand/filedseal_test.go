package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register/seal"
)

// TestSealOfAFiledExport: an export agrees with the register of a box that names no railway,
// and the seal that it carries is compared as those beside the register are.
func TestSealOfAFiledExport(t *testing.T) {
	t.Setenv("HOME", t.TempDir())
	dir := boxWith(t, "date 2020-05-05\n06:00 box open\n06:01 duty on \"A. Fell\"\n")
	must(t, exitFine, "-C", dir, "log", "--clock-right", `note "the register goes on"`)
	must(t, exitFine, "-C", dir, "seal", "now")
	filed, name := filepath.Join(dir, "day.json"), filepath.Join(dir, "seal-3.txt")
	must(t, exitFine, "-C", dir, "export", "--format", "json", "-o", filed)
	if told := must(t, exitFine, "-C", dir, "verify", "--export", filed); strings.Contains(told, "carries no seal") {
		t.Fatal(told)
	}
	was := [2]string{string(read(t, name)), string(read(t, name+seal.SignatureEnding))}
	f := &forger{T: t, dir: dir}
	signedAnew("seal-3.txt", func(s *seal.Statement) { s.At = s.At.AddDate(-6, 0, 0) })(f)
	text := string(read(t, filed))
	for i, is := range [2]string{string(read(t, name)), string(read(t, name+seal.SignatureEnding))} {
		old, err := json.Marshal(was[i])
		if err != nil {
			t.Fatal(err)
		}
		now, err := json.Marshal(is)
		if err != nil || !strings.Contains(text, string(old)) {
			t.Fatal("no such seal in the export:", string(old), err)
		}
		text = strings.Replace(text, string(old), string(now), 1)
		if err := os.WriteFile(name+[2]string{"", seal.SignatureEnding}[i], []byte(was[i]), 0o600); err != nil { // back, beside the register
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filed, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, out, errs := fairhand(t, "-C", dir, "verify", "--export", filed); code != exitFailed || !strings.Contains(errs, "its seal: it is signed anew, or by a wrong clock") {
		t.Errorf("exit code %d: %s%s", code, out, errs)
	}
}
