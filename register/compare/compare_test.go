package compare

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/block/rulebook"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// wantPair is what the two books of testdata/pair.txtar differ in.
const wantPair = `acceptance-differs 08:20 [5] [5 6] Eastmoor has the train accepted in full (entry 5, line 6, 08:20), Westbeck under restricted acceptance (entry 6, line 7, 08:21)
bell-missing 08:48 [10] [] Eastmoor has 2-1 sent to Westbeck at 08:48 (entry 10, line 11); Westbeck has it not
bell-differs 08:55 [11] [11] Eastmoor has 3-2 sent to Westbeck at 08:55 (entry 11, line 12); Westbeck has 3-1 received from Eastmoor at 08:55 (entry 11, line 12)
time-differs 09:05 [13] [13] Eastmoor times 2-1 received from Westbeck 09:05 (entry 13, line 14), Westbeck 09:11 (entry 13, line 14): 6 min apart after the difference of the clocks; the entry of Westbeck stands out of the order of its book
obstruction-differs 09:25 [] [17] Westbeck has obstruction danger, 6 sent to Eastmoor, at 09:25 (entry 17, line 18), and Eastmoor has nothing of it
`

func listing(p *Pair) string {
	var b strings.Builder
	for _, f := range p.Findings {
		fmt.Fprintf(&b, "%s %s %v %v %s\n", f.Rule, p.First.clock(f.At), f.Rests[0], f.Rests[1], f.Text)
	}
	return b.String()
}

func pairBooks(t *testing.T) (east, west *Book) {
	p := archive(t, "pair.txtar")
	return decode(t, p["eastmoor.yaml"], p["eastmoor.txt"]), decode(t, p["westbeck.yaml"], p["westbeck.txt"])
}

func TestPair(t *testing.T) {
	east, west := pairBooks(t)
	p, err := Two(east, west)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(wantPair, listing(p)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	for _, f := range p.Findings {
		r, known := rulebook.RuleNamed(f.Rule)
		if !known || f.Severity != r.Severity || f.Ref == "" || f.Expected == "" || f.Section != "Eastmoor - Westbeck" {
			t.Errorf("a finding says why: %+v", f)
		}
	}
	back, err := Two(west, east)
	if err != nil {
		t.Fatal(err)
	}
	if len(back.Findings) != len(p.Findings) {
		t.Errorf("the other way:\n%s", listing(back))
	}
}

// wantSpoken is what the two books of testdata/spoken.txtar differ in.
const wantSpoken = `acceptance-differs 08:40 [9] [9] Ried has the train refused (entry 9, line 10, 08:40), Au accepted in full (entry 9, line 10, 08:40)
time-differs 09:01 [12] [13] Ried times arrived received from Au 09:01 (entry 12, line 13), Au 09:07 (entry 13, line 14): 6 min apart after the difference of the clocks
bell-missing 09:12 [14] [] Ried has entering received from Au at 09:12 (entry 14, line 15); Au has it not
name-differs 09:41 [19] [19] Ried has the train as 3597 (entry 19, line 20, 09:41), Au as 3595 (entry 19, line 20, 09:41)
`

// TestSpoken: what is said over a section has a twin in the other book as a bell has.
func TestSpoken(t *testing.T) {
	parts := archive(t, "spoken.txtar")
	p, err := Two(decode(t, parts["ried.yaml"], parts["ried.txt"]), decode(t, parts["au.yaml"], parts["au.txt"]))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(wantSpoken, listing(p)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// TestSources: the same books from files and from registers come to the same.
func TestSources(t *testing.T) {
	parts := archive(t, "pair.txtar")
	dir := t.TempDir()
	east := decode(t, parts["eastmoor.yaml"], parts["eastmoor.txt"])
	west := registerOf(t, dir, parts["westbeck.yaml"], parts["westbeck.txt"])
	p, err := Two(east, west)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range p.Findings {
		got = append(got, string(f.Rule))
	}
	if want := "acceptance-differs bell-missing bell-differs time-differs obstruction-differs"; strings.Join(got, " ") != want {
		t.Errorf("found %v", got)
	}
	file, err := boxfile.Decode(bytes.NewReader(parts["eastmoor.yaml"]), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var faults notation.Errors
	if _, err := FromNotation(t.Context(), file, strings.NewReader("date 2026-05-05\n08:00 nonsense\n08:01 more\n"), 0, 0); !errors.As(err, &faults) || len(faults) != 2 {
		t.Errorf("a book with two errors: %v", err)
	}
}

// registerOf keeps a book in a register and reads it from there.
func registerOf(t *testing.T, dir string, yaml, book []byte) *Book {
	t.Helper()
	file, err := boxfile.Decode(strings.NewReader(string(yaml)), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	st, err := store.Create(filepath.Join(dir, "register.db"), store.Meta{Railway: "Test Railway", Box: file.Box.Name, Zone: "Europe/London"})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	events, err := notation.ParseAll(strings.NewReader(string(book)), file.Location)
	if err != nil {
		t.Fatal(err)
	}
	for _, ev := range events {
		if _, err := st.Append(store.Draft{At: int64(ev.At), Recorded: int64(ev.At), Day: 20260505, Line: notation.Format(ev, file.Location)}); err != nil {
			t.Fatal(err)
		}
	}
	b, err := FromStore(t.Context(), file, st, 20260505, 0)
	if err != nil {
		t.Fatal(err)
	}
	if b.Entries != len(events) {
		t.Fatalf("%d entries of %d", b.Entries, len(events))
	}
	if none, err := FromStore(t.Context(), file, st, 20260506, 0); err != nil || none.Entries != 0 {
		t.Fatalf("a day without entries: %+v, %v", none, err)
	}
	return b
}

// TestEmpty: books without entries, or one of the two, have nothing to compare.
func TestEmpty(t *testing.T) {
	parts := archive(t, "pair.txtar")
	east, _ := pairBooks(t)
	none := decode(t, parts["westbeck.yaml"], nil)
	for _, first := range []*Book{east, decode(t, parts["eastmoor.yaml"], nil)} {
		p, err := Two(first, none)
		if err != nil || len(p.Findings) != 0 || len(p.Clocks) != 0 {
			t.Errorf("%v, %v", p, err)
		}
	}
}

// TestMethodsHaveTwins: the regular days of each method, as seen from both ends, have
// every signal and message twice; what one end alone has is what its day ends with.
func TestMethodsHaveTwins(t *testing.T) {
	for _, c := range []struct{ first, second, want string }{
		{"permissive_north", "permissive_south", "bell-missing"},
		{"track_circuit_ash", "track_circuit_cedar", ""},
		{"axle_counter_x", "axle_counter_y", ""},
		{"telephone_ried", "telephone_au", ""},
	} {
		book := func(name string) *Book {
			a := archive(t, "../../testdata/check/"+name+".txtar")
			return decode(t, a["box.yaml"], a["book.txt"])
		}
		p, err := Two(book(c.first), book(c.second))
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range p.Findings {
			got = append(got, string(f.Rule))
		}
		if s := strings.Join(got, " "); s != c.want || p.Matched < 10 {
			t.Errorf("%s and %s, %d matched: %s\n%s", c.first, c.second, p.Matched, s, listing(p))
		}
	}
}
