package compare

import (
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// A part cut out of a book is told once, and nothing beside it; so few exchanges, or so
// short a time, that they may have been forgotten are told one by one.
func TestHole(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to float64 // hours of the first day
		want     string
	}{
		{"an afternoon", 12, 17, "book-part-missing"},
		{"an evening and a morning", 18, 31, "book-part-missing"},
		{"all up to the afternoon", -1, 14.2, "book-part-missing"},
		{"an hour and a half", 12, 13.5, "book-part-missing"},
		{"three quarters of an hour", 12, 12.75, "book-part-missing"},
		{"a quarter of an hour", 12, 12.24, "bell-missing"},
	} {
		for _, sim := range simCases {
			for book := range 2 {
				opt := sim.opt
				opt.days, opt.every = 2, 25
				for i, b := range opt.booking {
					if b == "" {
						opt.booking[i] = "exchanges"
					}
				}
				w := simulate(t, 91, opt)
				from, to := simStart+block.Time(c.from*3600), simStart+block.Time(c.to*3600)
				w.books[book] = slices.DeleteFunc(w.books[book], func(e block.Event) bool { return e.At > from && e.At < to })
				p, err := Two(w.book(t, 0), w.book(t, 1))
				if err != nil {
					t.Fatal(err)
				}
				var got []string
				for _, f := range p.Findings {
					if c.want == "book-part-missing" || f.Rule == rulebook.BookPartMissing {
						got = append(got, string(f.Rule))
					}
				}
				if want := strings.TrimSuffix(c.want, "bell-missing"); strings.Join(got, " ") != want {
					t.Errorf("%s, %s, out of book %d: %v\n%s", c.name, sim.name, book, got, listing(p))
				}
				if c.want == "bell-missing" && !slices.ContainsFunc(p.Findings, func(f Finding) bool { return f.Rule == rulebook.BellMissing }) {
					t.Errorf("%s, %s, out of book %d: not told", c.name, sim.name, book)
				}
			}
		}
	}
}
