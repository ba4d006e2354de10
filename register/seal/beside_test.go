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

// register is one that ends with an entry; of any that is asked for it says the same.
type register struct {
	meta store.Meta
	last int64
	head func(entry int64) (store.Head, error)
}

func (r register) Meta() store.Meta                       { return r.meta }
func (r register) Tail() store.Tail                       { return store.Tail{Seq: r.last} }
func (r register) HeadAt(entry int64) (store.Head, error) { return r.head(entry) }

// TestFits: a seal is compared with the register it is about, and each thing that it says of
// the entry with what is there.
func TestFits(t *testing.T) {
	const sealed = 1_777_000_000
	digest := strings.Repeat("0f", 32)
	broken := errors.New("cannot be read")
	for name, c := range map[string]struct {
		change func(s *Statement, r *register, is *store.Head)
		want   string // of the error, empty for none
		kind   error
	}{
		"as it was":              {func(*Statement, *register, *store.Head) {}, "", nil},
		"without a description":  {func(s *Statement, _ *register, _ *store.Head) { s.Description = "" }, "", nil}, // of an earlier version
		"another hash":           {func(_ *Statement, _ *register, is *store.Head) { is.Hash[0]++ }, "entry 7 had the hash 01", ErrOtherwise},
		"entries removed":        {func(_ *Statement, r *register, _ *store.Head) { r.last = 6 }, "ends with entry 6", ErrRemoved},
		"another box":            {func(_ *Statement, r *register, _ *store.Head) { r.meta.Box = "Coldbeck" }, "Coldbeck", nil},
		"another railway":        {func(_ *Statement, r *register, _ *store.Head) { r.meta.Railway = "Coldbeck Light" }, "Coldbeck Light", nil},
		"another day":            {func(s *Statement, _ *register, _ *store.Head) { s.Day++ }, "entry 7 is of 2026-05-05, and the seal says 2026-05-06", nil},
		"another description":    {func(s *Statement, _ *register, _ *store.Head) { s.Description = strings.Repeat("f0", 32) }, "the seal is of the description f0f0f0f0f0f0f0f0 of the box, and in force with entry 7 was 0f0f0f0f0f0f0f0f", nil},
		"no description":         {func(_ *Statement, _ *register, is *store.Head) { is.Described = "" }, "in force with entry 7 was none", nil},
		"long before the entry":  {func(s *Statement, _ *register, _ *store.Head) { s.At = s.At.AddDate(-6, 0, 0) }, "sealed 2020-04-24T03:06:40Z, and entry 7 was written 2026-04-24T03:06:40Z", nil},
		"a second too long":      {func(_ *Statement, _ *register, is *store.Head) { is.Recorded = sealed + 301 }, "written 2026-04-24T03:11:41Z", nil},
		"a clock set back a bit": {func(_ *Statement, _ *register, is *store.Head) { is.Recorded = sealed + 300 }, "", nil},
	} {
		is := store.Head{Hash: store.Hash{1}, Day: 20260505, Recorded: sealed, Described: digest}
		r := register{store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme"}, 9, func(entry int64) (store.Head, error) {
			if entry != 7 {
				t.Errorf("%s: asked for entry %d", name, entry)
			}
			return is, nil
		}}
		s := Of(r.meta, 1, store.Tail{Seq: 7, Hash: is.Hash}, is.Day, time.Unix(sealed, 0))
		s.Description = digest
		c.change(&s, &r, &is)
		if err := s.Fits(r); (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) || c.kind != nil && !errors.Is(err, c.kind) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
		if err := s.FitsVolume(r); (err == nil) != (c.want == "" || strings.Contains(c.want, "written")) {
			t.Errorf("of a volume, %s: %v", name, err)
		}
		r.head = func(int64) (store.Head, error) { return is, broken }
		if err := s.Fits(r); c.want == "" && !errors.Is(err, broken) {
			t.Errorf("%s, and it cannot be read: %v", name, err)
		}
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

// sealedRegister is the register of sealedDir, as long as is said.
func sealedRegister(last int64) register {
	return register{besideMeta, last, func(entry int64) (store.Head, error) {
		return store.Head{Hash: store.Hash{byte(entry)}, Day: 20260505}, nil
	}}
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
	if n, err := CheckBeside(dir, sealedRegister(100)); n.Seals != 3 || n.Key == "" || err != nil {
		t.Errorf("%+v, %v", n, err)
	}
	other := sealedRegister(99)
	other.head = func(int64) (store.Head, error) { return store.Head{Hash: store.Hash{7}, Day: 20260505}, nil }
	_, err := CheckBeside(dir, other)
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
	if _, err := CheckBeside(dir, sealedRegister(100)); err == nil || !strings.Contains(err.Error(), "seal-90.txt: it is the seal of entry 7") {
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
	n, err := CheckBeside(dir, sealedRegister(100))
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
		n, err := CheckBeside(dir, sealedRegister(100))
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
