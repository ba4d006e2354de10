package seal

import (
	"crypto/ed25519"
	"encoding/hex"
	"encoding/pem"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/ssh"

	"fairhand/register/store"
)

// vale is a statement of the invented railway with a fixed hash.
func vale() Statement {
	s := Statement{
		Railway: "Thrackley Vale Railway", Box: "Ennerholme", First: 4011, Last: 4123,
		Day: 20260505, At: time.Date(2026, 5, 5, 21, 58, 0, 0, time.UTC),
	}
	for i := range s.Hash {
		s.Hash[i] = byte(i * 7)
	}
	return s
}

// valeText pins the bytes that are signed: they may never change under this tag.
const valeText = `fairhand seal 1
railway: Thrackley Vale Railway
box: Ennerholme
entries: 4011 to 4123
hash: 00070e151c232a31383f464d545b626970777e858c939aa1a8afb6bdc4cbd2d9
day: 2026-05-05
sealed: 2026-05-05T21:58:00Z
`

func TestStatementBytes(t *testing.T) {
	got, err := vale().Text()
	if err != nil || got != valeText {
		t.Fatalf("%v\n%q\nwant\n%q", err, got, valeText)
	}
	back, err := ParseStatement(got)
	if err != nil || back != vale() {
		t.Fatalf("%+v, %v", back, err)
	}
	plain := vale()
	plain.Railway = ""
	text, err := plain.Text()
	if err != nil || strings.Contains(text, "railway") {
		t.Fatalf("%q, %v", text, err)
	}
	if back, err := ParseStatement(text); err != nil || back != plain {
		t.Fatalf("%+v, %v", back, err)
	}
	local := vale()
	local.At = local.At.In(time.FixedZone("summer", 3600))
	if text, err := local.Text(); err != nil || text != valeText {
		t.Fatalf("a time of another zone: %q, %v", text, err)
	}
}

func TestStatementRefused(t *testing.T) {
	for name, change := range map[string]func(*Statement){
		"no box":        func(s *Statement) { s.Box = "" },
		"a second line": func(s *Statement) { s.Box = "A\nhash: 00" },
		"blank end":     func(s *Statement) { s.Railway = "A " },
		"empty":         func(s *Statement) { s.First, s.Last = 0, 0 },
		"backwards":     func(s *Statement) { s.First = s.Last + 1 },
		"no such day":   func(s *Statement) { s.Day = 20260231 },
		"half a second": func(s *Statement) { s.At = s.At.Add(1) },
	} {
		s := vale()
		change(&s)
		if text, err := s.Text(); err == nil {
			t.Errorf("%s: written as %q", name, text)
		}
	}
	for name, text := range map[string]string{
		"nothing":     "",
		"another tag": strings.Replace(valeText, "seal 1", "seal 2", 1),
		"more lines":  valeText + "note: all well\n",
		"order":       strings.Replace(valeText, "box: Ennerholme\n", "", 1) + "box: Ennerholme\n",
		"line ends":   strings.ReplaceAll(valeText, "\n", "\r\n"),
		"blank line":  strings.Replace(valeText, "\nbox", "\n\nbox", 1),
		"no end":      strings.TrimSuffix(valeText, "\n"),
		"capitals":    strings.Replace(valeText, "00070e", "00070E", 1),
		"long hash":   strings.Replace(valeText, "hash: ", "hash: 00", 1),
		"plus sign":   strings.Replace(valeText, "4011", "+4011", 1),
		"twice":       strings.Replace(valeText, "day:", "day: 2026-05-05\nday:", 1),
	} {
		if s, err := ParseStatement(text); err == nil {
			t.Errorf("%s: read as %+v", name, s)
		}
	}
}

// testKey is the first key of RFC 8032 section 7.1.
func testKey(t *testing.T) *Key {
	t.Helper()
	seed, err := hex.DecodeString("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
	if err != nil {
		t.Fatal(err)
	}
	k, err := keyOf(ed25519.NewKeyFromSeed(seed), "test")
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func TestSignVerify(t *testing.T) {
	k := testKey(t)
	sig, err := k.Sign(vale())
	if err != nil {
		t.Fatal(err)
	}
	if again, _ := k.Sign(vale()); again != sig {
		t.Error("the same seal gives two signatures")
	}
	if err := k.Public.Verify(valeText, sig); err != nil {
		t.Fatal(err)
	}
	if err := k.Public.Verify(valeText, strings.ReplaceAll(sig, "\n", "\r\n")); err != nil {
		t.Errorf("sent by mail: %v", err)
	}
	other, err := CreateKey(t.TempDir(), "", nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := other.Public.Verify(valeText, sig); !errors.Is(err, ErrOtherKey) {
		t.Errorf("another key: %v", err)
	}
	if _, err := k.Sign(Statement{}); err == nil {
		t.Error("an empty statement was sealed")
	}
}

// TestEveryByte changes each byte of the statement and each bit of the
// signature: none may pass.
func TestEveryByte(t *testing.T) {
	k := testKey(t)
	sig, err := k.Sign(vale())
	if err != nil {
		t.Fatal(err)
	}
	for i := range valeText {
		b := []byte(valeText)
		b[i] ^= 1
		if err := k.Public.Verify(string(b), sig); !errors.Is(err, ErrChanged) {
			t.Errorf("byte %d of the statement: %v", i, err)
		}
	}
	blob := unarmor(t, sig)
	for i := range blob {
		for bit := range 8 {
			b := append([]byte(nil), blob...)
			b[i] ^= 1 << bit
			err := k.Public.Verify(valeText, armor(b))
			if !errors.Is(err, ErrChanged) && !errors.Is(err, ErrSignature) && !errors.Is(err, ErrOtherKey) {
				t.Errorf("bit %d of byte %d of the signature: %v", bit, i, err)
			}
		}
	}
	for _, text := range []string{"", "x", sig[1:], sig[:len(sig)-10], sig + sig, strings.Repeat(sig, 200), armor([]byte("SSHSIG")), armor(nil), armor(append(blob, 0))} {
		if err := k.Public.Verify(valeText, text); !errors.Is(err, ErrSignature) {
			t.Errorf("%.40q: %v", text, err)
		}
	}
}

func unarmor(t *testing.T, sig string) []byte {
	t.Helper()
	p, _ := pem.Decode([]byte(sig))
	if p == nil {
		t.Fatal("no armour")
	}
	return p.Bytes
}

func TestCreateLoad(t *testing.T) {
	dir := t.TempDir()
	k, err := CreateKey(dir, "Ennerholme seal", nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{KeyName, KeyName + ".pub"} {
		info, err := os.Stat(filepath.Join(dir, name))
		if err != nil || info.Mode().Perm() != 0o600 && runtime.GOOS != "windows" {
			t.Fatalf("%s: mode %v, %v", name, info.Mode(), err)
		}
	}
	back, err := LoadKey(dir, nil)
	if err != nil || back.Public.Line() != k.Public.Line() || !strings.HasSuffix(back.Public.Line(), " Ennerholme seal") {
		t.Fatalf("%v, %v", back, err)
	}
	sig, err := back.Sign(vale())
	if err != nil {
		t.Fatal(err)
	}
	pub, err := LoadPublic(filepath.Join(dir, KeyName+".pub"))
	if err != nil || pub.Verify(valeText, sig) != nil || pub.Fingerprint() != k.Public.Fingerprint() {
		t.Fatalf("%v", err)
	}
	if _, err := CreateKey(dir, "", nil); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a second key: %v", err)
	}
	if err := os.Remove(filepath.Join(dir, KeyName)); err != nil {
		t.Fatal(err)
	}
	if _, err := CreateKey(dir, "", nil); !errors.Is(err, fs.ErrExist) || !strings.Contains(err.Error(), "move it elsewhere") {
		t.Errorf("a key over an old public one: %v", err)
	}
	if _, err := LoadKey(dir, nil); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no key: %v", err)
	}
	if _, err := CreateKey(t.TempDir(), "two\nlines", nil); err == nil {
		t.Error("a comment of two lines was taken")
	}
}

func TestLoadRefuses(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, KeyName)
	if _, err := CreateKey(dir, "", nil); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o640); err != nil {
		t.Fatal(err)
	}
	if _, err := LoadKey(dir, nil); !errors.Is(err, ErrKeyOpen) && runtime.GOOS != "windows" { // where a mode says nothing
		t.Errorf("a key that others read: %v", err)
	}
	own, err := PublicBeside(dir) // while the key beside it is its own
	if err != nil {
		t.Fatal(err)
	}
	locked, err := ssh.MarshalPrivateKeyWithPassphrase(ed25519.NewKeyFromSeed(make([]byte, 32)), "", []byte("secret"))
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"locked": pem.EncodeToMemory(locked), "no key": []byte("nothing")} {
		if err := errors.Join(os.WriteFile(path, data, 0o600), os.Chmod(path, 0o600)); err != nil {
			t.Fatal(err)
		}
		want := ErrKeyKind
		if name == "locked" {
			want = ErrKeyLocked
		}
		if _, err := LoadKey(dir, nil); !errors.Is(err, want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, text := range []string{"nothing", own.Line() + "\n" + own.Line() + "\n", "another\n" + own.Line()} {
		if _, err := ParsePublic(text); !errors.Is(err, ErrKeyKind) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestPrincipal(t *testing.T) {
	for box, want := range map[string]string{
		"Ennerholme": "ennerholme", "Sand Lane No. 2": "sand-lane-no.-2", "!*?,\"": "box", "Ærfell": "ærfell", "#1": "1",
	} {
		if got := Principal(box); got != want {
			t.Errorf("%s: %s, want %s", box, got, want)
		}
	}
}

func TestOf(t *testing.T) {
	s := Of(store.Meta{Railway: "R", Box: "B"}, 3, store.Tail{Seq: 9, Hash: store.Hash{1}}, 20260505, time.Date(2026, 5, 5, 12, 0, 0, 5, time.UTC))
	if _, err := s.Text(); err != nil || s.Last != 9 || s.First != 3 || s.Hash[0] != 1 {
		t.Fatalf("%+v, %v", s, err)
	}
}
