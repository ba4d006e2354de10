package seal

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/register/store"
)

// FuzzParseStatement: a statement that is read is written again as it was; no text
// breaks the reader.
func FuzzParseStatement(f *testing.F) {
	text, err := Statement{Railway: "R", Box: "Ennerholme", First: 1, Last: 2, Day: 20260505}.Text()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add("")
	f.Add(strings.ToUpper(text))
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseStatement(text)
		if err != nil {
			return
		}
		if again, err := s.Text(); err != nil || again != text {
			t.Errorf("%q is read, and written as %q, %v", text, again, err)
		}
	})
}

// FuzzVerify: no public key, text and signature break the reader, and none is taken
// for good that was not made.
func FuzzVerify(f *testing.F) {
	dir := f.TempDir()
	k, err := CreateKey(dir, "x", nil)
	if err != nil {
		f.Fatal(err)
	}
	s := Statement{Railway: "R", Box: "Ennerholme", First: 1, Last: 2, Day: 20260505}
	text, err := s.Text()
	if err != nil {
		f.Fatal(err)
	}
	signature, err := k.Sign(s)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(k.Public.Line(), text, signature)
	f.Add("ssh-ed25519 AAAA", text, armorBegin+"\n"+armorEnd)
	f.Fuzz(func(t *testing.T, key, said, signed string) {
		p, err := ParsePublic(key)
		if err != nil || p.Verify(said, signed) != nil {
			return
		}
		if said != text && p.Fingerprint() == k.Public.Fingerprint() {
			t.Errorf("%q is taken for what was sealed", said)
		}
	})
}

// FuzzKey: no private key file breaks the reader, and one that is read signs so that its
// public half says so.
func FuzzKey(f *testing.F) {
	dir := f.TempDir()
	if _, err := CreateKey(dir, "x", nil); err != nil {
		f.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(dir, KeyName))
	if err != nil {
		f.Fatal(err)
	}
	s := Statement{Railway: "R", Box: "Ennerholme", First: 1, Last: 2, Day: 20260505}
	said, err := s.Text()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add(text[:len(text)/2])
	f.Fuzz(func(t *testing.T, text []byte) {
		k, err := parseKey(text, KeyName, "", nil)
		if err != nil {
			return
		}
		if signed, err := k.Sign(s); err != nil || k.Public.Verify(said, signed) != nil {
			t.Errorf("a key that is read does not sign: %v", err)
		}
	})
}

// FuzzParseWords: words that are read are told again as they were heard.
func FuzzParseWords(f *testing.F) {
	told, err := Words(store.Tail{Seq: 167})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(told.String())
	f.Add("1 a b c")
	f.Fuzz(func(t *testing.T, text string) {
		heard, err := ParseWords(text)
		if err != nil {
			return
		}
		if again, err := ParseWords(heard.String()); err != nil || again != heard {
			t.Errorf("%q is heard as %q, and that as %q, %v", text, heard, again, err)
		}
	})
}
