package measure

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
)

// Widths after Unicode annex 11 (East Asian width) and annex 29 (grapheme
// clusters): what stands in one cell, in two, in none of its own.
func TestWidth(t *testing.T) {
	for s, want := range map[string]int{
		"":            0,
		"Saltgarth":   9,
		"Pla\u0301ny": 5, // an accent of its own takes none
		"½ *":         3,
		"東浜":          4,
		"एबीसी":       5, // a vowel sign beside its letter
		"गुरु":        2, // one below it
		"a東b":         4,
	} {
		if got := Width(s); got != want {
			t.Errorf("%q takes %d cells, want %d", s, got, want)
		}
		letters := ""
		for l := range Letters(s) {
			letters += l
		}
		if letters != s {
			t.Errorf("the letters of %q are %q", s, letters)
		}
	}
	if got := Widest("東浜", "abc"); got != 4 {
		t.Error(got)
	}
}

// TestLettersAreUnicodes: what is told without the tables of Unicode is what they tell.
func TestLettersAreUnicodes(t *testing.T) {
	parts := []string{"a", "T", " ", "~", "9", "\t", "\n", "\r", "\x00", "\x7f", "\u0301", "東", "½", "एबी", "\u0600", "🇬", "🇧", "👩\u200d🚒", "\u200d", "\ufe0f", "#", "\xff", "é"}
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		s := ""
		for range 1 + rng.IntN(6) {
			s += parts[rng.IntN(len(parts))]
		}
		if got, want := Width(s), uniseg.StringWidth(s); got != want {
			t.Fatalf("%q takes %d cells, want %d", s, got, want)
		}
		type letter struct {
			text  string
			cells int
		}
		var got, want []letter
		for l, cells := range Letters(s) {
			got = append(got, letter{l, cells})
		}
		for g := uniseg.NewGraphemes(s); g.Next(); {
			want = append(want, letter{g.Str(), g.Width()})
		}
		if !slices.Equal(got, want) {
			t.Fatalf("the letters of %q are %+v, want %+v", s, got, want)
		}
	}
}

func TestClipShortPad(t *testing.T) {
	for _, c := range []struct {
		s                       string
		cells                   int
		clip, short, pad, right string
	}{
		{"東浜線", 4, "東浜", "東…", "東浜線", "東浜線"},
		{"東浜線", 5, "東浜", "東浜…", "東浜線", "東浜線"},
		{"東浜", 6, "東浜", "東浜", "東浜  ", "  東浜"},
		{"Coldbeck", 5, "Coldb", "Cold…", "Coldbeck", "Coldbeck"},
		{"e\u0301a", 1, "e\u0301", "…", "e\u0301a", "e\u0301a"},
	} {
		got := []string{Clip(c.s, c.cells), Short(c.s, c.cells, "…"), Pad(c.s, c.cells), PadLeft(c.s, c.cells)}
		if want := []string{c.clip, c.short, c.pad, c.right}; !slices.Equal(got, want) {
			t.Errorf("%q in %d cells: %q, want %q", c.s, c.cells, got, want)
		}
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		s     string
		cells int
		want  string // lines between bars
	}{
		{"", 5, ""},
		{"to be told at once", 7, "to be|told at|once"},
		{"東浜 線路 東", 7, "東浜|線路 東"},
		{"a   b", 9, "a   b"}, // blanks within a line stay
		{"a\nb\tc", 9, "a b c"},
		{"a fd4c07d9dcbaf1 b", 5, "a|fd4c07d9dcbaf1|b"},
		{"कख गघ चछ", 5, "कख गघ|चछ"},
	} {
		if got := strings.Join(Wrap(c.s, c.cells, c.cells), "|"); got != c.want {
			t.Errorf("%q in %d cells: %q, want %q", c.s, c.cells, got, c.want)
		}
	}
	if got := strings.Join(Hang("to be told at once", 7, 2), "|"); got != "to be|  told|  at|  once" {
		t.Errorf("%q", got)
	}
}

func TestFitDividesWords(t *testing.T) {
	for _, c := range []struct {
		s     string
		cells int
		want  string
	}{
		{" ", 5, ""},
		{"a  b", 5, "a b"},
		{"a fd4c07d9d bc", 4, "a|fd4c|07d9|d bc"},
		{"東浜線路", 5, "東浜|線路"},
		{"東", 1, "東"}, // not one letter fits
	} {
		if got := strings.Join(Fit(c.s, c.cells), "|"); got != c.want {
			t.Errorf("%q in %d cells: %q, want %q", c.s, c.cells, got, c.want)
		}
	}
}

func TestTable(t *testing.T) {
	got := Table([][]string{{"box", "東浜", "flag"}, {"directory", "a", ""}, {"x"}})
	want := []string{"box        東浜  flag", "directory  a", "x"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
