package legalday

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
)

// Slip is a mistake of the pen: the railway was worked by the rules, the book is
// not quite what happened.
type Slip struct {
	Name string
	make func(d *Day, i int, rng *rand.Rand) (at int, ok bool)
}

// Slips lists the ways an entry goes wrong.
func Slips() []Slip {
	return []Slip{
		{"left out", leftOut},
		{"5 late", writtenAfter(5 * Minute)},
		{"20 late", writtenAfter(20 * Minute)},
		{"90 late", writtenAfter(90 * Minute)},
		{"15 wrong", wrongMinute},
		{"no name", noName},
		{"misspelt", misspelt},
	}
}

// On makes the slip on entry i of a copy of the day. at is the entry's place in
// it, or that of the entry before the gap; ok is false where the slip does not
// apply to the entry.
func (s Slip) On(d *Day, i int, rng *rand.Rand) (spoilt *Day, at int, ok bool) {
	c := *d
	c.Acts = slices.Clone(d.Acts)
	at, ok = s.make(&c, i, rng)
	return &c, at, ok
}

func leftOut(d *Day, i int, _ *rand.Rand) (int, bool) {
	d.Acts = slices.Delete(d.Acts, i, i+1)
	return i - 1, true
}

// writtenAfter puts the entry where the pen had come to when it was written.
func writtenAfter(late int) func(*Day, int, *rand.Rand) (int, bool) {
	return func(d *Day, i int, _ *rand.Rand) (int, bool) {
		a := d.Acts[i]
		a.Written = a.At + late
		to := i
		for to < len(d.Acts) && d.Acts[to].At <= a.Written {
			to++
		}
		d.Acts = slices.Insert(d.Acts, to, a)
		d.Acts = slices.Delete(d.Acts, i, i+1)
		return to - 1, true
	}
}

// wrongMinute writes a quarter of an hour too much or too little.
func wrongMinute(d *Day, i int, rng *rand.Rand) (int, bool) {
	d.Acts[i].At += 15 * Minute
	if rng.IntN(2) == 0 {
		d.Acts[i].At -= 30 * Minute
	}
	return i, true
}

func noName(d *Day, i int, _ *rand.Rand) (int, bool) {
	ok := d.Acts[i].CanLoseName()
	d.Acts[i].Name = ""
	return i, ok
}

// misspelt writes a letter that no train of the day has.
func misspelt(d *Day, i int, _ *rand.Rand) (int, bool) {
	n := d.Acts[i].Name
	if len(n) < 3 || !strings.ContainsAny(n[1:2], "MNOP") {
		return i, false
	}
	d.Acts[i].Name = n[:1] + "W" + n[2:]
	return i, true
}

// Misreadings are the slips by which an entry is written for what it was not: of another box,
// under another train's name, with its arrows turned, the beats of another signal or the number
// of another token, half of an exchange, or twice.
func Misreadings() []Slip {
	return []Slip{
		{"other box", otherBox},
		{"other name", otherName},
		{"arrows turned", rewritten(strings.NewReplacer(" <", " >", " >", " <"))},
		{"other beats", rewritten(strings.NewReplacer("<2-1", "<2", ">2-1", ">2", "<2 ", "<2-1 ", ">2 ", ">2-1 "))},
		{"answer left out", lessOne(1)},
		{"answer alone", lessOne(2)},
		{"token one up", nextToken},
		{"twice", writtenTwice(0)},
		{"twice, a minute on", writtenTwice(Minute)},
	}
}

func otherBox(d *Day, i int, _ *rand.Rand) (int, bool) {
	a := &d.Acts[i]
	was, at := a.Body+a.Tail, slices.Index(Neighbours(), a.Section)
	if at < 0 {
		return i, false
	}
	other := Neighbours()[(at+1)%len(d.Options.Methods)]
	a.Body, a.Tail = strings.ReplaceAll(a.Body, a.Section, other), strings.ReplaceAll(a.Tail, a.Section, other)
	return i, a.Body+a.Tail != was
}

// otherName writes the name of a train that the book has near.
func otherName(d *Day, i int, rng *rand.Rand) (int, bool) {
	a := &d.Acts[i]
	var names []string
	for _, b := range d.Acts[max(0, i-14):min(len(d.Acts), i+14)] {
		if b.Name != "" && b.Name != a.Name {
			names = append(names, b.Name)
		}
	}
	if a.Name == "" || names == nil {
		return i, false
	}
	a.Name = names[rng.IntN(len(names))]
	return i, true
}

// rewritten writes other arrows or beats in an entry of bells.
func rewritten(as *strings.Replacer) func(*Day, int, *rand.Rand) (int, bool) {
	return func(d *Day, i int, _ *rand.Rand) (int, bool) {
		a := &d.Acts[i]
		was := a.Body
		a.Body = strings.TrimSuffix(as.Replace(a.Body+" "), " ")
		return i, a.Body != was
	}
}

// lessOne leaves out of an exchange the signal or word that is so many from its end.
func lessOne(back int) func(*Day, int, *rand.Rand) (int, bool) {
	return func(d *Day, i int, _ *rand.Rand) (int, bool) {
		words := strings.Fields(d.Acts[i].Body)
		last := len(words) - 1
		for last >= 0 && !strings.ContainsAny(words[last][:1], "<>") {
			last--
		}
		if last < 1 || !strings.ContainsAny(words[last-1][:1], "<>") {
			return i, false
		}
		d.Acts[i].Body = strings.Join(slices.Delete(words, last+1-back, last+2-back), " ")
		return i, true
	}
}

func nextToken(d *Day, i int, _ *rand.Rand) (int, bool) {
	words := strings.Fields(d.Acts[i].Body)
	at := slices.Index(words, "token") + 1
	if at == 0 || at == len(words) {
		return i, false
	}
	n, err := strconv.Atoi(words[at])
	words[at] = strconv.Itoa(n + 1)
	d.Acts[i].Body = strings.Join(words, " ")
	return i, err == nil
}

// writtenTwice writes the entry again, so much later.
func writtenTwice(later int) func(*Day, int, *rand.Rand) (int, bool) {
	return func(d *Day, i int, _ *rand.Rand) (int, bool) {
		a := d.Acts[i]
		a.At += later
		d.Acts = slices.Insert(d.Acts, i+1, a)
		return i, i+2 == len(d.Acts) || a.At <= d.Acts[i+2].At
	}
}
