package seal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/register/store"
)

// TestFits: a seal is compared with the register it is about, entry by entry.
func TestFits(t *testing.T) {
	meta := store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme"}
	hash := store.Hash{1}
	s := Of(meta, 1, store.Tail{Seq: 7, Hash: hash}, 20260505, time.Unix(1_777_000_000, 0))
	at := func(h store.Hash, err error) func(int64) (store.Hash, error) {
		return func(entry int64) (store.Hash, error) {
			if entry != 7 {
				t.Errorf("asked for entry %d", entry)
			}
			return h, err
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
	broken := errors.New("cannot be read")
	if err := s.Fits(meta, 9, at(hash, broken)); !errors.Is(err, broken) {
		t.Errorf("a hash that cannot be read: %v", err)
	}
}

// TestCheckBeside finds every seal of a directory and tells each that does not
// hold by its name; other files are left alone.
func TestCheckBeside(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a [box]")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	meta := store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme"}
	k, err := CreateKey(dir, "Ennerholme", nil)
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, n := range []int64{12, 7, 100} {
		s := Of(meta, 1, store.Tail{Seq: n, Hash: store.Hash{byte(n)}}, 20260505, time.Unix(1_777_000_000, 0))
		text, err := s.Text()
		if err != nil {
			t.Fatal(err)
		}
		signature, err := k.Sign(s)
		if err != nil {
			t.Fatal(err)
		}
		write(FileName(n), text)
		write(FileName(n)+SignatureEnding, signature)
	}
	write("seal-x.txt", "none of ours")
	write("seal-007.txt", "none of ours")
	good := func(entry int64) (store.Hash, error) { return store.Hash{byte(entry)}, nil }
	if n, err := CheckBeside(dir, meta, 100, good); n != 3 || err != nil {
		t.Errorf("%d seals, %v", n, err)
	}
	_, err = CheckBeside(dir, meta, 99, func(int64) (store.Hash, error) { return store.Hash{7}, nil })
	for _, want := range []string{"seal-12.txt: " + ErrOtherwise.Error(), "seal-100.txt: " + ErrRemoved.Error()} {
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "seal-7.txt") {
			t.Errorf("got %v, want %q and nothing of seal-7.txt", err, want)
		}
	}
	write(FileName(12)+SignatureEnding, "no signature")
	if err := os.Remove(filepath.Join(dir, FileName(7)+SignatureEnding)); err != nil {
		t.Fatal(err)
	}
	write(FileName(3), strings.Repeat("x", 70_000))
	n, err := CheckBeside(dir, meta, 100, good)
	for _, want := range []string{"seal-12.txt", "seal-7.txt", "seal-3.txt"} {
		if n != 1 || err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%d seals, %v, want %s told", n, err, want)
		}
	}
	if err := os.Remove(filepath.Join(dir, KeyName+".pub")); err != nil {
		t.Fatal(err)
	}
	list, _ := FindBeside(dir)
	if len(list) != 3 || list[0].Statement.Last != 7 || list[2].Statement.Last != 100 || list[0].Signed {
		t.Errorf("without the public key: %+v", list)
	}
}
