package audit

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/registertest/busy"
	"fairhand/register/sheet"
)

// The draws of every run are the same unless -rapid.seed says otherwise (0: new
// ones), so that no change is refused for what another's chance has found.
func init() { _ = flag.Set("rapid.seed", "1") }

var update = flag.Bool("update", false, "rewrite the list of JSON keys")

// TestCountsAsCheck holds that the audit finds what register.Check finds, rule by
// rule and severity by severity, in every published case and the demonstration,
// that the turns of duty add up to the whole, and that a register says the same
// as the book it was made from.
func TestCountsAsCheck(t *testing.T) {
	for _, s := range append(scenarios(t), readDemo(t)) {
		t.Run(s.name, func(t *testing.T) {
			file := decodeBox(t, s.box)
			want := checked(t, file, s.book)
			r := auditBook(t, file, s.book, Options{})
			whole, turns := counted(r)
			if diff := cmp.Diff(want, whole); diff != "" {
				t.Errorf("not what Check finds (-check +audit):\n%s", diff)
			}
			if diff := cmp.Diff(whole, turns); diff != "" {
				t.Errorf("the turns do not add up (-whole +turns):\n%s", diff)
			}
			if s.name == "demo" {
				sameAsRegister(t, s, r)
			}
		})
	}
}

// sameAsRegister holds that the register made of a book is reported as the book.
func sameAsRegister(t *testing.T, s scenario, want *Report) {
	t.Helper()
	got := auditRegister(t, imported(t, s.box, s.book), Options{})
	if got.Extent.ProvedFor != got.Extent.Entries || got.Extent.Head == "" {
		t.Errorf("proved %+v", got.Extent)
	}
	a, b := *want, *got
	a.Extent, b.Extent = Extent{}, Extent{}
	if len(a.Described) != 0 || len(b.Described) != 1 || !b.Described[0].Kept {
		t.Errorf("descriptions %v and %v", a.Described, b.Described)
	}
	a.Described, b.Described = nil, nil
	if diff := cmp.Diff(asText(t, &a), asText(t, &b)); diff != "" {
		t.Errorf("the register is not reported as its book (-book +register):\n%s", diff)
	}
}

func asText(t *testing.T, r *Report) string {
	t.Helper()
	var out bytes.Buffer
	if err := r.WriteJSON(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// TestCountsWithEntriesMissing leaves entries out of the demonstration at random:
// the audit counts what Check counts, whatever is wrong with the book.
func TestCountsWithEntriesMissing(t *testing.T) {
	s := readDemo(t)
	file := decodeBox(t, s.box)
	var lines []string // without what points to other entries by number
	for line := range strings.Lines(s.book) {
		if !strings.Contains(line, "correct ") && !strings.Contains(line, "explain ") && !strings.Contains(line, "answers ") {
			lines = append(lines, line)
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		gone := rapid.SliceOfN(rapid.IntRange(0, len(lines)-1), 0, 30).Draw(rt, "gone")
		var book strings.Builder
		for i, line := range lines {
			if !slices.Contains(gone, i) || strings.HasPrefix(line, "date ") {
				book.WriteString(line)
			}
		}
		whole, turns := counted(auditBook(t, file, book.String(), Options{}))
		if diff := cmp.Diff(checked(t, file, book.String()), whole); diff != "" {
			rt.Fatalf("not what Check finds (-check +audit):\n%s", diff)
		}
		if diff := cmp.Diff(whole, turns); diff != "" {
			rt.Fatalf("the turns do not add up (-whole +turns):\n%s", diff)
		}
	})
}

// TestDaysAddUp audits each day of a book of several days, with faults in it, by
// itself: together they have the findings and entries of the whole.
func TestDaysAddUp(t *testing.T) {
	var book strings.Builder
	for day := 1; day <= 4; day++ {
		fmt.Fprintf(&book, "date 2026-03-%02d\n06:00 duty on \"A. Fell\"\n", day)
		for h := 6; h < 12; h++ {
			hour := fmt.Sprintf(busy.Hour, h)
			if h == 5+day {
				hour = strings.Replace(hour, " complete\n", "\n", 1)                 // no tail lamp booked
				hour = strings.Replace(hour, "Saltgarth >2 <2\n", "note \"x\"\n", 1) // entering not sent
			}
			book.WriteString(hour)
		}
		book.WriteString("11:58 duty off \"A. Fell\"\n")
	}
	file := decodeBox(t, testBox)
	for name, src := range map[string]func() Source{
		"book":     func() Source { return Notation(file, strings.NewReader(book.String())) },
		"register": func() Source { return Register(imported(t, testBox, book.String())) },
	} {
		whole := must(Run(context.Background(), src(), Options{}))(t)
		want, _ := counted(whole)
		if want["danger"] < 4 {
			t.Fatalf("%s: the faults are not found: %v", name, want)
		}
		got, entries := map[string]int64{}, int64(0)
		for day := calendar.Day(20260301); day <= 20260304; day++ {
			r := must(Run(context.Background(), src(), Options{From: day, To: day}))(t)
			entries += r.Extent.Entries
			if name == "register" && day == 20260304 && r.Extent.Replayed > 2*r.Extent.Entries {
				t.Errorf("the last of four days was audited by a replay of %d entries of %d: no use was made of the state kept", r.Extent.Replayed, whole.Extent.Entries)
			}
			part, turns := counted(r)
			if diff := cmp.Diff(part, turns); diff != "" {
				t.Errorf("%s %d: the turns do not add up:\n%s", name, day, diff)
			}
			for k, n := range part {
				got[k] += n
			}
			if len(r.Turns) != 1 || r.Extent.FirstDay != day.String() || r.Extent.Days != 1 {
				t.Errorf("%s %d: %d turns, extent %+v", name, day, len(r.Turns), r.Extent)
			}
		}
		if diff := cmp.Diff(want, got); diff != "" || entries != whole.Extent.Entries {
			t.Errorf("%s: %d entries of %d; findings (-whole +days):\n%s", name, entries, whole.Extent.Entries, diff)
		}
	}
}

// TestNoEntries names the days for which there is nothing.
func TestNoEntries(t *testing.T) {
	book := imported(t, testBox, "date 2026-03-01\n06:00 note \"x\"\n")
	for _, src := range []Source{Register(book), Notation(book.File(), strings.NewReader("date 2026-03-01\n06:00 note \"x\"\n")), Register(newRegister(t, testBox))} {
		_, err := Run(context.Background(), src, Options{From: 20270101})
		if !errors.Is(err, register.ErrNoEntries) || !strings.Contains(err.Error(), "2027-01-01") {
			t.Errorf("%v", err)
		}
	}
}

// TestTextFits holds the text form to its width and to ending with the caution.
func TestTextFits(t *testing.T) {
	for _, s := range append(scenarios(t), readDemo(t)) {
		var out strings.Builder
		for _, l := range auditBook(t, decodeBox(t, s.box), s.book, Options{}).Document().Plain(sheet.PlainWidth) {
			out.WriteString(l.Text + "\n")
		}
		for line := range strings.Lines(out.String()) {
			line = strings.TrimSuffix(line, "\n")
			if n := utf8.RuneCountInString(line); n > sheet.PlainWidth && strings.Contains(strings.TrimSpace(line), " ") {
				t.Errorf("%s: %d columns: %q", s.name, n, line)
			}
			if line != strings.TrimRight(line, " ") {
				t.Errorf("%s: spaces at the end of %q", s.name, line)
			}
		}
		if flat := strings.Join(strings.Fields(out.String()), " "); !strings.HasSuffix(flat, register.Caution) {
			t.Errorf("%s: does not end with the caution: %q", s.name, flat[len(flat)-80:])
		}
	}
}

// TestJSONKeys holds the keys of the JSON form to the list in testdata/keys.txt:
// one that goes or changes needs a new schema. No list is ever null.
func TestJSONKeys(t *testing.T) {
	s := readDemo(t)
	s.book += "22:01 note \"left\" ; 22:02 note \"left\"\n"
	r := auditBook(t, decodeBox(t, s.box), s.book, Options{Timetable: Booked([]register.Booked{{Train: "2A01", Arrive: register.NotBooked, Depart: 1}}, time.UTC)})
	planted := auditBook(t, decodeBox(t, testBox), plantedBook, Options{})
	keys := map[string]bool{}
	for _, r := range []*Report{r, planted, auditBook(t, decodeBox(t, testBox), "date 2026-03-01\n06:00 note \"x\"\n", Options{})} {
		var v any
		if err := json.Unmarshal([]byte(asText(t, r)), &v); err != nil {
			t.Fatal(err)
		}
		walk(t, "", v, keys)
	}
	var list []string
	for k := range keys {
		list = append(list, k)
	}
	slices.Sort(list)
	got := Schema + "\n" + strings.Join(list, "\n") + "\n"
	if *update {
		if err := os.WriteFile("testdata/keys.txt", []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want := must(os.ReadFile("testdata/keys.txt"))(t)
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("keys differ (-want +got):\n%s", diff)
	}
}

// maybeNull are the moments that may not be recorded; nothing else is null.
func walk(t *testing.T, path string, v any, keys map[string]bool) {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			walk(t, path+"."+k, x, keys)
		}
	case []any:
		for _, x := range v {
			walk(t, path+"[]", x, keys)
		}
		keys[path+"[]"] = true
	case nil:
		t.Errorf("%s is null", path)
	default:
		keys[fmt.Sprintf("%s %T", path, v)] = true
	}
}

// TestOwnWords: what a finding says beyond its rule reads as a beginning.
func TestOwnWords(t *testing.T) {
	for rest, want := range map[string]string{
		": 1A04 (Alder); 1A03 is not out of section": "1A04 (Alder); 1A03 is not out of section",
		" (Saltgarth); at Mill Lane":                 "Saltgarth; at Mill Lane",
		"; token 5 is out":                           "token 5 is out",
		"":                                           "",
		" (Saltgarth":                                "(Saltgarth",
	} {
		if got := ownWords(rest); got != want {
			t.Errorf("%q reads %q, want %q", rest, got, want)
		}
	}
}
