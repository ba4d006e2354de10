package seal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/register/calendar"
	"fairhand/register/store"
)

// TestFits: a seal is compared with the register it is about, entry by entry.
func TestFits(t *testing.T) {
	meta := store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme"}
	hash := store.Hash{1}
	s := Of(meta, 1, store.Tail{Seq: 7, Hash: hash}, 20260505, time.Unix(1_777_000_000, 0))
	at := func(h store.Hash, err error) func(int64) (store.Hash, calendar.Day, error) {
		return func(entry int64) (store.Hash, calendar.Day, error) {
			if entry != 7 {
				t.Errorf("asked for entry %d", entry)
			}
			return h, 20260505, err
		}
	}
	if err := s.Fits(meta, 9, at(hash, nil)); err != nil {
		t.Error(err)
	}
	if err := s.Fits(meta, 9, at(store.Hash{2}, nil)); !errors.Is(err, ErrOtherwise) {
		t.Errorf("another hash: %v", err)
	}
	if err := s.Fits(meta, 6, at(hash, nil)); !errors.Is(err, ErrRemoved) {
		t.Errorf("entries removed: %v", err)
	}
	other := meta
	other.Box = "Coldbeck"
	if err := s.Fits(other, 9, at(hash, nil)); err == nil || !strings.Contains(err.Error(), "Coldbeck") {
		t.Errorf("another box: %v", err)
	}
	s.Day++
	if err := s.Fits(meta, 9, at(hash, nil)); err == nil || !strings.Contains(err.Error(), "entry 7 is of 2026-05-05, and the seal says 2026-05-06") {
		t.Errorf("another day: %v", err)
	}
	broken := errors.New("cannot be read")
	if err := s.Fits(meta, 9, at(hash, broken)); !errors.Is(err, broken) {
		t.Errorf("a hash that cannot be read: %v", err)
	}
}

// besideMeta is the register about which the seals of sealedDir are.
var besideMeta = store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme"}

// sealedDir is a directory with seals of the entries 7, 12 and 100, the hash of each
// beginning with its number.
func sealedDir(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "a [box]")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	k, err := CreateKey(dir, "Ennerholme", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int64{12, 7, 100} {
		s := Of(besideMeta, 1, store.Tail{Seq: n, Hash: store.Hash{byte(n)}}, 20260505, time.Unix(1_777_000_000, 0))
		text, err := s.Text()
		if err != nil {
			t.Fatal(err)
		}
		signature, err := k.Sign(s)
		if err != nil {
			t.Fatal(err)
		}
		put(t, filepath.Join(dir, FileName(n)), text)
		put(t, filepath.Join(dir, FileName(n)+SignatureEnding), signature)
	}
	return dir
}

func hashOfSealed(entry int64) (store.Hash, calendar.Day, error) {
	return store.Hash{byte(entry)}, 20260505, nil
}

func remove(t *testing.T, path ...string) {
	t.Helper()
	if err := os.Remove(filepath.Join(path...)); err != nil {
		t.Fatal(err)
	}
}

// TestCheckBeside finds every seal of a directory and tells each that does not
// hold by its name; other files are left alone.
func TestCheckBeside(t *testing.T) {
	dir := sealedDir(t)
	put(t, filepath.Join(dir, "seal-x.txt"), "none of ours")
	put(t, filepath.Join(dir, "seal-words.txt"), "none of ours")
	if n, err := CheckBeside(dir, besideMeta, 100, hashOfSealed); n.Seals != 3 || n.Key == "" || err != nil {
		t.Errorf("%+v, %v", n, err)
	}
	_, err := CheckBeside(dir, besideMeta, 99, func(int64) (store.Hash, calendar.Day, error) { return store.Hash{7}, 20260505, nil })
	for _, want := range []string{"seal-12.txt: " + ErrOtherwise.Error(), "seal-100.txt: " + ErrRemoved.Error()} {
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "seal-7.txt") {
			t.Errorf("got %v, want %q and nothing of seal-7.txt", err, want)
		}
	}
}

// TestBesideUnderAnotherName: a seal put in the place of a later one is told.
func TestBesideUnderAnotherName(t *testing.T) {
	dir := sealedDir(t)
	for _, ending := range []string{"", SignatureEnding} {
		text, err := os.ReadFile(filepath.Join(dir, FileName(7)+ending))
		if err != nil {
			t.Fatal(err)
		}
		put(t, filepath.Join(dir, FileName(90)+ending), string(text))
	}
	if _, err := CheckBeside(dir, besideMeta, 100, hashOfSealed); err == nil || !strings.Contains(err.Error(), "seal-90.txt: it is the seal of entry 7") {
		t.Errorf("a seal under the name of another: %v", err)
	}
}

// TestBesideUnreadable: those that cannot be read, or have no signature, are each told.
func TestBesideUnreadable(t *testing.T) {
	dir := sealedDir(t)
	put(t, filepath.Join(dir, FileName(12)+SignatureEnding), "no signature")
	remove(t, dir, FileName(7)+SignatureEnding)
	put(t, filepath.Join(dir, FileName(3)), strings.Repeat("x", 70_000))
	put(t, filepath.Join(dir, FileName(30)+SignatureEnding), "of a seal that was taken away")
	n, err := CheckBeside(dir, besideMeta, 100, hashOfSealed)
	for _, want := range []string{"seal-12.txt", "seal-7.txt", "seal-3.txt", "seal-30.txt.sig: the seal"} {
		if n.Seals != 1 || err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%d seals, %v, want %s told", n.Seals, err, want)
		}
	}
}

// TestBesideWithoutKey: the seals are found without the public key, and that it is
// not there is told.
func TestBesideWithoutKey(t *testing.T) {
	dir := sealedDir(t)
	remove(t, dir, FileName(7)+SignatureEnding)
	remove(t, dir, KeyName+".pub")
	list, err := FindBeside(dir)
	if err == nil || !strings.Contains(err.Error(), KeyName+".pub is not there") {
		t.Errorf("without the public key: %v", err)
	}
	if len(list) != 3 || list[0].Statement.Last != 7 || list[2].Statement.Last != 100 || list[0].Signed {
		t.Errorf("without the public key: %+v", list)
	}
	remove(t, dir, FileName(7))
	remove(t, dir, FileName(12))
	if list, err := FindBeside(dir); len(list) != 1 || !strings.Contains(err.Error(), "is not there") {
		t.Errorf("one seal without the public key: %+v, %v", list, err)
	}
	put(t, filepath.Join(dir, KeyName+".pub"), "no key")
	if list, err := FindBeside(dir); list != nil || !errors.Is(err, ErrKeyKind) {
		t.Errorf("a public key that is none: %+v, %v", list, err)
	}
	if list, err := FindBeside(t.TempDir()); list != nil || err != nil {
		t.Errorf("neither key nor seal: %+v, %v", list, err)
	}
}

// TestBesideExchangedKey: a public key that is not the half of the private one is told,
// though seals hold by it and the private one is locked.
func TestBesideExchangedKey(t *testing.T) {
	for _, phrase := range []string{"", "a long passphrase"} {
		dir := sealedDir(t)
		remove(t, dir, KeyName)
		pub := KeyName + ".pub"
		theirs, err := os.ReadFile(filepath.Join(dir, pub))
		if err != nil {
			t.Fatal(err)
		}
		remove(t, dir, pub)
		if _, err := CreateKey(dir, "Ennerholme", []byte(phrase)); err != nil {
			t.Fatal(err)
		}
		put(t, filepath.Join(dir, pub), string(theirs))
		n, err := CheckBeside(dir, besideMeta, 100, hashOfSealed)
		if n.Seals != 3 || err == nil || !strings.Contains(err.Error(), pub+" is not the public half of") {
			t.Errorf("passphrase %q: %+v, %v", phrase, n, err)
		}
	}
}

// TestNamesOfSeals: a file is a seal by its name alone.
func TestNamesOfSeals(t *testing.T) {
	for name, want := range map[string]bool{"seal-1.txt": true, "seal-4123.txt": true, "seal--1.txt": false,
		"seal-1.txt.sig": false, "seal-.txt": false, "seal-words.txt": false,
		"SEAL-1.TXT": true, "seal-01.txt": true, "seal-0.txt": true, "seal-99999999999999999999.txt": true} {
		if isSealName(name) != want {
			t.Errorf("%s: %v, want %v", name, !want, want)
		}
	}
}

// TestOfVolume: the seal over a volume of an archive is given with the key that proves it, or not at all.
func TestOfVolume(t *testing.T) {
	dir := t.TempDir()
	k, err := CreateKey(dir, "Ennerholme", nil)
	if err != nil {
		t.Fatal(err)
	}
	signature, err := k.Sign(vale())
	if err != nil {
		t.Fatal(err)
	}
	good := map[string]string{".txt": valeText, ".txt.sig": signature, ".pub": k.Public.Line()}
	for name, c := range map[string]struct {
		ending, text string // "" for no such file
		want         error
	}{
		"whole":           {".pub", k.Public.Line(), nil},
		"no seal":         {".txt", "", ErrIncomplete},
		"no signature":    {".txt.sig", "", ErrIncomplete},
		"no key":          {".pub", "", ErrIncomplete},
		"changed":         {".txt", strings.Replace(valeText, "4011", "4012", 1), ErrChanged},
		"not a key":       {".pub", "nothing", ErrKeyKind},
		"not a signature": {".txt.sig", "nothing", ErrSignature},
	} {
		stem := filepath.Join(t.TempDir(), "volume")
		for ending, text := range good {
			if ending == c.ending {
				text = c.text
			}
			if text != "" {
				put(t, stem+ending, text)
			}
		}
		s, public, err := OfVolume(stem)
		if !errors.Is(err, c.want) || c.want == nil && (s != vale() || public.Line() != k.Public.Line()) {
			t.Errorf("%s: %+v, %v, want %v", name, s, err, c.want)
		}
	}
	if _, _, err := OfVolume(filepath.Join(dir, "copy")); !errors.Is(err, os.ErrNotExist) {
		t.Error("of a copy without a seal:", err)
	}
}
