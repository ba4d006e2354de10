package seal

import (
	"encoding/binary"
	"errors"
	"strings"
	"testing"
	"time"

	"fairhand/register/store"
)

// What Of is told stands in the statement, the time in whole seconds of UTC.
func TestOfKeepsAll(t *testing.T) {
	at := time.Date(2026, 5, 5, 22, 58, 0, 999, time.FixedZone("summer", 3600))
	got := Of(store.Meta{Railway: "Thrackley Vale Railway", Box: "Ennerholme"}, 4011, store.Tail{Seq: 4123, Hash: vale().Hash}, 20260505, at)
	if got != vale() {
		t.Errorf("%+v, want %+v", got, vale())
	}
}

// A statement of any register day and at the ends of what can be written is read
// back as it was; the next beyond is refused.
func TestStatementEnds(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Statement)
		text   string // part of what is written; "" when it is refused
	}{
		"last day of a year":  {func(s *Statement) { s.Day = 19991231 }, "day: 1999-12-31\n"},
		"first day of a year": {func(s *Statement) { s.Day = 20270101 }, "day: 2027-01-01\n"},
		"leap day":            {func(s *Statement) { s.Day = 20280229 }, "day: 2028-02-29\n"},
		"no leap day":         {func(s *Statement) { s.Day = 20270229 }, ""},
		"one entry":           {func(s *Statement) { s.First, s.Last = 1, 1 }, "entries: 1 to 1\n"},
		"entry nought":        {func(s *Statement) { s.First, s.Last = 0, 4 }, ""},
		"year 1":              {func(s *Statement) { s.At = time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC) }, "sealed: 0001-01-01T00:00:00Z\n"},
		"before it":           {func(s *Statement) { s.At = time.Date(0, 12, 31, 23, 59, 59, 0, time.UTC) }, ""},
		"year 9999":           {func(s *Statement) { s.At = time.Date(9999, 12, 31, 23, 59, 59, 0, time.UTC) }, "sealed: 9999-12-31T23:59:59Z\n"},
		"after it":            {func(s *Statement) { s.At = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) }, ""},
		"after it, in UTC only": {func(s *Statement) {
			s.At = time.Date(9999, 12, 31, 23, 59, 59, 0, time.FixedZone("west", -3600))
		}, ""},
		"box of two lines": {func(s *Statement) { s.Box = "Enner\nholme" }, ""},
		"box not UTF-8":    {func(s *Statement) { s.Box = "Enner\xffholme" }, ""},
		"description":      {func(s *Statement) { s.Description = strings.Repeat("0f", 32) }, "\ndescription: 0f0f"},
		"blank before":     {func(s *Statement) { s.Box = " Ennerholme" }, ""},
	} {
		s := vale()
		c.change(&s)
		text, err := s.Text()
		if c.text == "" {
			if err == nil {
				t.Errorf("%s: written as %q", name, text)
			}
			continue
		}
		if err != nil || !strings.Contains(text, c.text) {
			t.Errorf("%s: %v, %q", name, err, text)
		}
		if back, err := ParseStatement(text); err != nil || back != s {
			t.Errorf("%s: read back as %+v, %v", name, back, err)
		}
	}
}

// Text of unknown origin is shortened in an error, and what fits is not.
func TestErrorsShowAPart(t *testing.T) {
	fits, longer := strings.Repeat("x", 60), strings.Repeat("x", 61)
	if _, err := ParseStatement(fits); err == nil || !strings.Contains(err.Error(), `"`+fits+`"`) {
		t.Error(err)
	}
	if _, err := ParseStatement(longer); err == nil || !strings.Contains(err.Error(), `"`+fits+`..."`) {
		t.Error(err)
	}
}

// What is wrong with a statement is told by the line it stands in.
func TestStatementFaultsAreTold(t *testing.T) {
	described := vale()
	described.Description = strings.Repeat("0f", 32)
	two, err := described.Text()
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		valeText + "note: all well\n":                      `line "note: all well": no such line`,
		strings.Replace(valeText, "05-05\n", "02-31\n", 1): `line "day: 2026-02-31"`,
		strings.Replace(valeText, "d2d9\n", "d2\n", 1):     `has 64 digits`,
		strings.Replace(two, "0f\nday", "\nday", 1):        `has 64 digits`,
		strings.Replace(two, "0f\nday", "0f0f\nday", 1):    `has 64 digits`,
		strings.Replace(two, "0f\nday", "0F\nday", 1):      `has 64 digits`,
	} {
		if s, err := ParseStatement(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q read as %+v, %v; want %q", text, s, err, want)
		}
	}
}

// What is wrong with a signature that cannot be read is said.
func TestSignatureFaultsAreTold(t *testing.T) {
	k := testKey(t)
	sig, err := k.Sign(vale())
	if err != nil {
		t.Fatal(err)
	}
	blob := unarmor(t, sig)
	other := append([]byte("SSHSIX"), blob[6:]...)
	later := append([]byte(nil), blob...)
	binary.BigEndian.PutUint32(later[6:], 2)
	bare := strings.TrimSuffix(strings.TrimPrefix(sig, armorBegin), armorEnd+"\n")
	for want, s := range map[string]string{"do not begin with": armor(other), "version 2": armor(later), "does not stand between": bare} {
		if err := k.Public.Verify(valeText, s); !errors.Is(err, ErrSignature) || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want one that says %q", err, want)
		}
	}
	for length, want := range map[int]error{16 << 10: nil, 16<<10 + 1: ErrSignature} {
		if err := k.Public.Verify(valeText, sig+strings.Repeat(" ", length-len(sig))); !errors.Is(err, want) {
			t.Errorf("%d bytes: %v, want %v", length, err, want)
		}
	}
	stranger, err := CreateKey(t.TempDir(), "", nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := stranger.Public.Verify(valeText, sig); err == nil || !strings.Contains(err.Error(), k.Public.Fingerprint()+", and not "+stranger.Public.Fingerprint()) || !strings.HasPrefix(k.Public.Fingerprint(), "SHA256:") {
		t.Errorf("%v: want both keys named, ours %s", err, k.Public.Fingerprint())
	}
}

// A register of one entry has a head to tell, an empty one has none.
func TestHeadOfOneEntry(t *testing.T) {
	if told, err := Words(store.Tail{Seq: 1, Hash: vale().Hash}); err != nil || told.Entry != 1 || !strings.HasPrefix(told.String(), "1 ") {
		t.Errorf("%v, %v", told, err)
	}
	one, _ := Words(store.Tail{Seq: 1})
	if back, err := ParseWords(one.String()); err != nil || back != one {
		t.Errorf("the first entry: %v, %v, want %v", back, err, one)
	}
	if told, err := Words(store.Tail{}); err == nil {
		t.Errorf("the head of an empty register: %v", told)
	}
}
