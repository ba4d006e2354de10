package compare

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

// Two books of single line working agree: the bells of a train in wrong direction are
// those of a train, whatever line they are about.
func TestSingleLineWorkingCompared(t *testing.T) {
	book := func(name string) *Book {
		ar, err := txtar.ParseFile("../testdata/check/" + name + ".txtar")
		if err != nil {
			t.Fatal(err)
		}
		return decode(t, ar.Files[0].Data, ar.Files[1].Data)
	}
	p, err := Two(book("piloted_west"), book("piloted_east"))
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Findings) > 0 || p.Matched != 70 {
		t.Errorf("found %v of %d signals matched", p.Findings, p.Matched)
	}
}

// What changes how the section is worked stands in both books.
func TestWorkingOtherwiseInBothBooks(t *testing.T) {
	otherwise := map[string][2]string{
		"blocked":    {"08:40 blockage \"Up Main\" towards %s", "08:55 blockage-up \"Up Main\" towards %s"},
		"by pilot":   {"08:40 %s working by pilot \"J. Bell\"", "08:55 %s working normal"},
		"by message": {"08:40 %s working by message", "08:55 %s working normal"},
		"key":        {"08:40 %s occupation-key out", "08:55 %s occupation-key in"},
	}
	for name, lines := range otherwise {
		east, west := signals(nil, nil, 8*3600, 9, 0)
		for i := range lines {
			east = append(east, fmt.Sprintf(lines[i], "Westbeck"))
			west = append(west, fmt.Sprintf(lines[i], "Eastmoor"))
		}
		after := func(book []string) []string { return append(book, "09:05 note \"all in order\"") }
		if p := twoBooks(t, "signals", after(east), after(west)); len(p.Findings) > 0 {
			t.Errorf("%s in both books: %v", name, p.Findings)
		}
		short := slices.Delete(slices.Clone(west), len(west)-2, len(west)-1)
		if got := rules(twoBooks(t, "signals", after(east), after(short)).Findings); got != "working-differs" {
			t.Errorf("%s begun in one book: %q", name, got)
		}
		if got := rules(twoBooks(t, "signals", after(east), after(west[:len(west)-2])).Findings); got != "working-differs" {
			t.Errorf("%s in one book alone, from beginning to end: %q", name, got)
		}
	}
}

// The lamp of an axle counter is one at both ends, and a number that one box gives the
// other writes down: the regular day of each as both saw it agrees, and each difference
// planted in it is found once.
func TestNumbersAndLampsCompared(t *testing.T) {
	book := func(name string, change ...string) *Book {
		ar, err := txtar.ParseFile("../testdata/check/" + name + ".txtar")
		if err != nil {
			t.Fatal(err)
		}
		text := string(ar.Files[1].Data)
		for i := 0; i < len(change); i += 2 {
			if strings.Count(text, change[i]) != 1 {
				t.Fatalf("%s has %q %d times", name, change[i], strings.Count(text, change[i]))
			}
			text = strings.Replace(text, change[i], change[i+1], 1)
		}
		return decode(t, ar.Files[0].Data, []byte(text))
	}
	paper := [2][]string{{"5610 pn 52", "5610 inquiry 1 pn 52"}, {"5610 pn 52", "5610 inquiry 7 pn 52"}}
	for _, c := range []struct {
		first, second []string
		want          string
	}{
		{nil, nil, ""},
		{nil, []string{"5611 pn 41", "5611 pn 14"}, "private-number-differs"},
		{nil, []string{"5611 pn 41", "5611"}, ""}, // that it is missing is found in that book
		{nil, []string{"08:33 X indicator free", "08:38 X indicator free"}, "time-differs"},
		{nil, []string{"08:33 X indicator free\n", ""}, ""},
		{nil, []string{"09:10 X counter reset pn 53 \"counter 17 to 18\"\n", ""}, "working-differs"},
		{paper[0], paper[0], ""},
		{paper[0], paper[1], "inquiry-number-differs"},
	} {
		p, err := Two(book("axle_counter_x", c.first...), book("axle_counter_y", c.second...))
		if err != nil {
			t.Fatal(err)
		}
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%v: found %q, want %q\n%s", c.second, got, c.want, listing(p))
		}
	}
}

// A line blocked stands in both books, and it is the same line.
func TestOtherLineBlocked(t *testing.T) {
	for line, want := range map[string]string{"Up Main": "", "Down Main": "working-differs"} {
		east, west := signals(nil, nil, 8*3600, 9, 0)
		east = append(east, `08:40 blockage "Up Main" towards Westbeck`, `09:05 note "in order"`)
		west = append(west, fmt.Sprintf("08:40 blockage %q towards Eastmoor", line), `09:05 note "in order"`)
		p := twoBooks(t, "signals", east, west)
		for _, f := range p.Findings {
			if string(f.Rule) != want {
				t.Errorf("%s: %s", line, f.Text)
			}
		}
		if want != "" && len(p.Findings) != 2 {
			t.Errorf("%s: %d findings, one for each book wanted", line, len(p.Findings))
		}
	}
}
