package audit

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// What came since the last signature: entries, findings about them, what was explained
// and corrected of what stood when the inspector signed, and the days that no
// signature covers. The same from the register and from its notation.
func TestSinceSigned(t *testing.T) {
	book := `date 2026-03-02
06:00 duty on "A. Fell"
06:01 clock right
06:10 note "a" written 06:40
06:41 note "b" written 07:41
date 2026-03-03
08:00 sign "R. Garth"
08:10 note "c"
date 2026-03-04
08:00 note "d" written 08:30
date 2026-03-05
09:00 sign "R. Garth" "examined 2026-03-04; all right"
09:01 explain 3 "the telephone"
09:02 correct 4 "06:41 note \"bb\" written 07:41"
date 2026-03-06
10:00 note "e" written 11:00
11:01 explain 7 "snow"
date 2026-03-02
13:00 note "f" written 13:01
`
	for name, r := range map[string]*Report{"notation": auditBook(t, decodeBox(t, testBox), book, Options{}), "register": auditRegister(t, imported(t, testBox, book), Options{})} {
		s := r.Signed
		if s.Last == nil || s.Last.Entry != 8 || s.Last.Name != "R. Garth" || s.Last.Role != "inspector" {
			t.Fatalf("%s: last %+v", name, s.Last)
		}
		if s.Entries != 5 || s.Late != 1 {
			t.Errorf("%s: written since %d, about days before %d", name, s.Entries, s.Late)
		}
		if !slices.Contains(s.Found, SinceRule{"entry-late", "irregular", 1, 1}) {
			t.Errorf("%s: found since %+v", name, s.Found)
		}
		if want := []SinceEntry{{3, 9, "entry-late"}, {7, 12, "entry-late"}}; !reflect.DeepEqual(s.Explained, want) {
			t.Errorf("%s: explained since %+v", name, s.Explained)
		}
		if want := []SinceEntry{{4, 10, ""}}; !reflect.DeepEqual(s.Corrected, want) {
			t.Errorf("%s: corrected since %+v", name, s.Corrected)
		}
		// 2 March was written in after the first signature; the second names 4 March
		// alone, so that neither 3 March nor its own day is covered.
		if want := []string{"2026-03-02", "2026-03-03", "2026-03-05", "2026-03-06"}; !reflect.DeepEqual(s.Unexamined, want) || s.UnexaminedCount != 4 {
			t.Errorf("%s: not examined %v", name, s.Unexamined)
		}
		text := plain(r)
		for _, want := range []string{"Last signed: entry 8, 2026-03-05 09:00, R. Garth (inspector): examined 2026-03-04; all right", "Explained since: entry 3, entry-late, by entry 9", "Corrected since: entry 4, by entry 10", "Not examined, or written in since: 4 days"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: the report does not say %q:\n%s", name, want, text)
			}
		}
	}
}

func TestNeverSigned(t *testing.T) {
	r := auditBook(t, decodeBox(t, testBox), "date 2026-03-02\n06:00 note \"a\"\n", Options{})
	if r.Signed.Last != nil || r.Signed.UnexaminedCount != 1 || !strings.Contains(plain(r), "Nobody signed in these days") {
		t.Errorf("never signed: %+v", r.Signed)
	}
}

// plain is the report as text, each line whole.
func plain(r *Report) string {
	doc := r.Document()
	doc.Unbroken = true
	var b strings.Builder
	for _, l := range doc.Plain(200) {
		fmt.Fprintln(&b, l.Text)
	}
	return b.String()
}

// The words of a signature name what the report rests on, and the report that is
// signed says by which entry.
func TestSignedReport(t *testing.T) {
	b := imported(t, testBox, "date 2026-03-02\n06:00 duty on \"A. Fell\"\n06:01 note \"a\" written 06:30\n")
	r := auditRegister(t, b, Options{})
	words := r.Words()
	for _, want := range []string{"examined 2026-03-02;", fmt.Sprintf("head %d %s;", r.Extent.ProvedTo, r.Extent.Head[:16]), "box " + r.Described[0].SHA256[:16], r.Program, "findings not explained: 1"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q does not say %q", words, want)
		}
	}
	must(b.Log(must(b.Parse("clock right"))(t)[0]))(t)
	events := must(b.Parse(fmt.Sprintf("sign \"R. Garth\" %q", words)))(t)
	entry := must(b.Log(events[0]))(t)
	r.Signature = r.SignedBy(b.Box(), &entry.Event)
	if text := plain(r); !strings.Contains(text, fmt.Sprintf("Signed by entry %d, ", entry.Seq)) || !strings.Contains(text, "Examined by fairhand") || !strings.Contains(text, "Before this signature") {
		t.Errorf("the signed report:\n%s", text)
	}
	after := auditRegister(t, b, Options{})
	if s := after.Signed; s.Last == nil || s.Last.Text != words || s.Entries != 2 || len(s.Unfit) > 0 { // those of the clock came between
		t.Errorf("read again: %+v", s)
	}
	// the same words again, a day later: what came since is not covered by them
	log := func(line string) { t.Helper(); must(b.Log(must(b.Parse(line))(t)[0]))(t) }
	log(`note "later"`)
	log(fmt.Sprintf("sign \"R. Garth\" %q", words))
	if s := auditRegister(t, b, Options{}).Signed; s.Entries != 4 || s.UnexaminedCount != 1 || len(s.Unfit) > 0 {
		t.Errorf("the words of before: %+v", s)
	}
	if day, err := LastSigned(t.Context(), Register(b)); err != nil || day.String() != "2026-03-02" {
		t.Errorf("the words of before: last signed on %v, %v; the days since are not examined", day, err)
	}
	// of another head, another description and a head that is not there yet: none covers anything
	log(`sign "R. Garth" "examined 2026-03-02"`)
	digest := r.Described[0].SHA256[:16]
	for i, other := range []string{strings.Replace(words, r.Extent.Head[:16], strings.Repeat("0", 16), 1), strings.Replace(words, digest, strings.Repeat("0", 16), 1), strings.Replace(words, "head 2 ", "head 99 ", 1)} {
		log(fmt.Sprintf("sign \"R. Garth\" %q", other))
		re := auditRegister(t, b, Options{})
		if s := re.Signed; len(s.Unfit) != i+1 || s.Last.Text != "examined 2026-03-02" || !strings.Contains(plain(re), "SIGNATURE DOES NOT FIT: entry ") {
			t.Errorf("%q: %+v", other, s)
		}
	}
}
