package seal

import (
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fairhand/register/store"
)

func valeHead() store.Tail { return store.Tail{Seq: 4123, Hash: vale().Hash} }

// TestWordsPinned holds the words of one head: old books are read by them. The
// words were drawn with Python's hashlib.scrypt as well, and were the same.
func TestWordsPinned(t *testing.T) {
	told, err := Words(valeHead())
	if err != nil {
		t.Fatal(err)
	}
	const want = "4123 armour jaguar robin tartan adder trumpet"
	if told.String() != want {
		t.Errorf("%q, want %q", told, want)
	}
	if _, err := Words(store.Tail{}); err == nil {
		t.Error("an empty register has words")
	}
}

func TestWordsMatch(t *testing.T) {
	told, err := Words(valeHead())
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{told.String(), strings.ToUpper(told.String()), strings.ReplaceAll(told.String(), " ", ", "), strings.ReplaceAll(told.String(), " ", "-")} {
		back, err := ParseWords(text)
		if err != nil || back != told {
			t.Fatalf("%q: %v, %v", text, back, err)
		}
	}
	if ok, err := told.Match(valeHead()); err != nil || !ok {
		t.Errorf("the head itself: %v, %v", ok, err)
	}
	changed := valeHead()
	changed.Hash[31] ^= 1
	if ok, _ := told.Match(changed); ok {
		t.Error("a changed head matches")
	}
	later := valeHead()
	later.Seq++
	if ok, _ := told.Match(later); ok {
		t.Error("another entry matches")
	}
	if ok, err := told.Match(store.Tail{}); ok || err != nil {
		t.Errorf("an empty register: %v, %v", ok, err)
	}
}

// TestMisheard tries every wrong word in every place and every exchange of two:
// the check word catches all of them.
func TestMisheard(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 20 {
		told := Told{Entry: rng.Int64N(5_000_000) + 1}
		for i := range told.bits {
			told.bits[i] = byte(rng.Uint32())
		}
		parts := strings.Fields(told.String())
		for i := 1; i < len(parts); i++ {
			for _, w := range wordList {
				wrong := slices.Clone(parts)
				if wrong[i] = w; w == parts[i] {
					continue
				}
				if _, err := ParseWords(strings.Join(wrong, " ")); !errors.Is(err, ErrMisheard) {
					t.Fatalf("%v as %v: %v", parts, wrong, err)
				}
			}
			for j := 1; j < i; j++ {
				wrong := slices.Clone(parts)
				wrong[i], wrong[j] = wrong[j], wrong[i]
				if _, err := ParseWords(strings.Join(wrong, " ")); parts[i] != parts[j] && !errors.Is(err, ErrMisheard) {
					t.Fatalf("%v as %v: %v", parts, wrong, err)
				}
			}
		}
		other := told
		other.Entry += 1 + rng.Int64N(200)
		wrong := append(strings.Fields(other.String())[:1], parts[1:]...)
		if _, err := ParseWords(strings.Join(wrong, " ")); !errors.Is(err, ErrMisheard) {
			t.Fatalf("number %d as %d: %v", told.Entry, other.Entry, err)
		}
	}
}

func TestUnknownWords(t *testing.T) {
	told, err := Words(valeHead())
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.Fields(told.String())
	for text, want := range map[string]string{
		"":                                      "6 words",
		"acorn " + strings.Join(parts[1:], " "): `entry, not with "acorn"`,
		parts[0] + " zzzzzzzzzzzzzz " + strings.Join(parts[2:], " "): `"zzzzzzzzzzzzzz" is none of the words of a head`,
		strings.Join(parts[:6], " "):                                 "6 words",
		strings.Join(parts[1:], " ") + " acorn":                      "number of an entry",
		"4123 lantirn " + strings.Join(parts[2:], " "):               `perhaps "lantern"`,
		"0 " + strings.Join(parts[1:], " "):                          "number of an entry",
	} {
		if _, err := ParseWords(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

// TestWordList measures that the words can be told apart: by their letters, by a
// rough spelling of their sound (our own), and by their first four letters.
func TestWordList(t *testing.T) {
	if len(wordList) != 256 || !slices.IsSorted(wordList) {
		t.Fatalf("%d words, sorted %v", len(wordList), slices.IsSorted(wordList))
	}
	for i, w := range wordList {
		if len(w) < 4 || len(w) > 8 || strings.Trim(w, "abcdefghijklmnopqrstuvwxyz") != "" {
			t.Errorf("%q", w)
		}
		for _, v := range wordList[:i] {
			if d := distance(w, v); d < 3 {
				t.Errorf("%s and %s differ in %d letters", w, v, d)
			}
			if d := distance(sound(w), sound(v)); d < 2 {
				t.Errorf("%s and %s differ in %d sounds", w, v, d)
			}
			if w[:4] == v[:4] {
				t.Errorf("%s and %s begin alike", w, v)
			}
		}
	}
}

// sound spells a word with one letter for what is easily confused on a line.
func sound(w string) string {
	w = strings.NewReplacer("ph", "f", "ck", "k", "qu", "kw", "gh", "", "kn", "n", "wr", "r", "wh", "w", "rh", "r",
		"ch", "C", "sh", "S", "th", "T", "x", "ks", "ou", "o", "ea", "e", "ee", "e", "oo", "u",
		"z", "s", "c", "k", "v", "f", "b", "p", "d", "t", "g", "k", "y", "i", "m", "n").Replace(w)
	var b []rune
	for _, r := range w {
		if len(b) == 0 || b[len(b)-1] != r {
			b = append(b, r)
		}
	}
	return strings.TrimSuffix(string(b), "e")
}

// distance is the number of letters to change, put in or leave out.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		before := row[0]
		row[0] = i + 1
		for j := range b {
			cost := before
			if a[i] != b[j] {
				cost++
			}
			before = row[j+1]
			row[j+1] = min(cost, row[j]+1, before+1)
		}
	}
	return row[len(b)]
}
