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
	for want, b := range map[string][]byte{"do not begin with": other, "version 2": later} {
		if err := k.Public.Verify(valeText, armor(b)); !errors.Is(err, ErrSignature) || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want one that says %q", err, want)
		}
	}
}

// A register of one entry has a head to tell, an empty one has none.
func TestHeadOfOneEntry(t *testing.T) {
	if told, err := Words(store.Tail{Seq: 1, Hash: vale().Hash}); err != nil || told.Entry != 1 || !strings.HasPrefix(told.String(), "1 ") {
		t.Errorf("%v, %v", told, err)
	}
	if told, err := Words(store.Tail{}); err == nil {
		t.Errorf("the head of an empty register: %v", told)
	}
}
