package gather

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/register"
	"fairhand/register/registertest"
)

// grownBox is a box of one section whose book runs over the end of years.
const grownBox = "railway: Long Line\nbox: Ash\ntimezone: Europe/London\nrules: british-later\nsections:\n  - neighbour: Elm\n    method: absolute\n    lines: [{name: Up, way: out}, {name: Down, way: in}]\n" +
	"people:\n  - {name: A. Fell, role: signaller}\n  - {name: B. Gill, role: signaller}\n  - {name: R. Garth, role: inspector}\n"

// grownDay is one day of its book: a train every six hours, one of them over midnight,
// two turns of duty, a signature once a week, and some slips.
func grownDay(rng *rand.Rand, day time.Time, n int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "date %s\n", day.Format(time.DateOnly))
	put := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	if n > 0 {
		put("00:04 train 9B%03d arrived complete", n-1)
		put("00:06 Elm >1 <1 >2-1 <2-1 train 9B%03d", n-1)
		put("00:07 train 9B%03d put away", n-1)
	}
	for h := 6; h < 24; h += 6 {
		switch h {
		case 6:
			put("06:00 duty on \"A. Fell\"")
			put("06:00 duty off \"B. Gill\"")
		case 18:
			put("18:00 duty on \"B. Gill\"")
			put("18:00 duty off \"A. Fell\"")
			if n%7 == 3 {
				put("18:10 sign \"R. Garth\" \"examined\"")
			}
		}
		name := fmt.Sprintf("%dA%03d", h/6, n)
		put("%02d:20 Elm >1 <1 >3-1 <3-1 train %s", h, name)
		put("%02d:21 train %s departed for Elm", h, name)
		put("%02d:22 Elm >2 <2 train %s", h, name)
		if rng.IntN(6) > 0 { // else out of section is not booked
			put("%02d:30 Elm <1 >1 <2-1 >2-1 train %s", h, name)
		}
		if rng.IntN(8) == 0 {
			put("%02d:25 note \"late\" written %02d:45", h, h)
		}
	}
	put("23:50 Elm <1 >1 <3-1 >3-1 train 9B%03d", n)
	put("23:55 Elm <2 >2 train 9B%03d", n)
	return b.String()
}

// logged writes one line of now.
func logged(t *testing.T, dir string, now time.Time, line string) {
	t.Helper()
	b, err := register.Open(dir, register.Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	events, err := b.Parse(line)
	if err == nil {
		_, err = b.Log(events[0])
	}
	if err != nil {
		t.Fatal(err)
	}
}

// TestGoesOn: a register that is gathered again and again while it grows comes to the
// same files, to the byte, as one that is gathered whole: over the ends of years, with
// slips, signatures and remarks, and with corrections of this year and of one that is
// over. Most times no more than the last year is taken anew.
func TestGoesOn(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	dir := t.TempDir()
	box, grown := filepath.Join(dir, "ash"), filepath.Join(dir, "grown")
	if err := os.MkdirAll(box, 0o700); err != nil {
		t.Fatal(err)
	}
	day, n := time.Date(2024, 11, 1, 0, 0, 0, 0, time.UTC), 0
	days := func(count int) string {
		var b strings.Builder
		for range count {
			b.WriteString(grownDay(rng, day.AddDate(0, 0, n), n))
			n++
		}
		return b.String()
	}
	book, err := registertest.Make(box, grownBox, days(40))
	if err != nil {
		t.Fatal(err)
	}
	if err := book.Close(); err != nil {
		t.Fatal(err)
	}
	var went []int64
	for _, step := range []any{0, 30, 25, 45, `explain 1900 "seen"`, `correct 3 "06:20 Elm >1 <1 >3-2 <3-2 train 1A000"`, 265, `explain 5500 "seen"`, 45} {
		switch x := step.(type) {
		case int:
			if x > 0 {
				more(t, box, days(x))
			}
		case string:
			logged(t, box, day.AddDate(0, 0, n).Add(-2*time.Minute), x)
		}
		res := run(t, grown, box)
		went = append(went, res.Boxes[0].From)
		whole := filepath.Join(dir, fmt.Sprint("whole", len(went)))
		run(t, whole, box)
		one, other := files(t, grown), files(t, whole)
		for _, name := range slices.Sorted(maps.Keys(other)) {
			if string(one[name]) != string(other[name]) {
				t.Errorf("step %d, from entry %d of %d: %s is another file", len(went), res.Boxes[0].From, res.Boxes[0].Head.Entry, name)
			}
		}
		if len(one) != len(other) {
			t.Errorf("step %d: %d files, not %d", len(went), len(one), len(other))
		}
	}
	t.Logf("taken anew from entry %d", went)
	if part := len(slices.DeleteFunc(slices.Clone(went), func(from int64) bool { return from <= 1 })); part < 4 {
		t.Errorf("only %d of %d times less than the whole was taken: %d", part, len(went), went)
	}
}
