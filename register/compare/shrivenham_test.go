package compare

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"golang.org/x/tools/txtar"

	"fairhand/block"
	"fairhand/register/boxfile"
)

// archive reads a file of testdata.
func archive(t *testing.T, name string) map[string][]byte {
	t.Helper()
	a, err := txtar.ParseFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string][]byte{}
	for _, f := range a.Files {
		parts[f.Name] = f.Data
	}
	return parts
}

func decode(t *testing.T, yaml, book []byte) *Book {
	t.Helper()
	file, err := boxfile.Decode(bytes.NewReader(yaml), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b, err := FromNotation(t.Context(), file, bytes.NewReader(book), 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func shrivenham(t *testing.T) (marston, shriv, ashbury *Book) {
	p := archive(t, "shrivenham.txtar")
	return decode(t, p["marston.yaml"], p["marston.txt"]), decode(t, p["shrivenham.yaml"], p["shrivenham.txt"]), decode(t, p["ashbury.yaml"], p["ashbury.txt"])
}

func rules(fs []Finding) string {
	var ids []string
	for _, f := range fs {
		ids = append(ids, string(f.Rule))
	}
	return strings.Join(ids, " ")
}

// TestShrivenhamMarston is the published check: the clock of Shrivenham was 2
// minutes slow of Marston's (report pp. 6, 7, 13), and that is all that the two
// books differ in.
func TestShrivenhamMarston(t *testing.T) {
	marston, shriv, _ := shrivenham(t)
	p, err := Two(marston, shriv)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range p.Findings {
		t.Log(f.Rule, f.Text)
	}
	if got := rules(p.Findings); got != "clock-offset" {
		t.Fatalf("found %s", got)
	}
	if len(p.Clocks) != 1 || math.Abs(p.Clocks[0].Middle()+120) > 1 {
		t.Errorf("clocks %+v, want 2 minutes slow", p.Clocks)
	}
	if p.Matched != 10 || p.Signals != [2]int{10, 10} {
		t.Errorf("%d matched of %v", p.Matched, p.Signals)
	}
	back, err := Two(shriv, marston)
	if err != nil || rules(back.Findings) != "clock-offset" || math.Abs(back.Clocks[0].Middle()-120) > 1 {
		t.Errorf("the other way: %v %+v %v", rules(back.Findings), back.Clocks, err)
	}
}

// TestShrivenhamNormalises takes the pairs that the report gives by both clocks
// (pp. 6-7, 13; Shrivenham / true) and puts Shrivenham's times right.
func TestShrivenhamNormalises(t *testing.T) {
	marston, shriv, _ := shrivenham(t)
	p, err := Two(marston, shriv)
	if err != nil {
		t.Fatal(err)
	}
	day := time.Date(1936, 1, 15, 5, 0, 0, 0, time.UTC).Unix()
	for _, x := range [][2]int64{{16, 18}, {20, 22}, {19, 21}, {24, 26}, {35, 37}, {6, 8}} {
		got := p.diff.inFirst(block.Time(day + 60*x[0]))
		if int64(got) != day+60*x[1] {
			t.Errorf("5.%02d by Shrivenham is %s, want 5.%02d", x[0], marston.moment(got), x[1])
		}
	}
}

// TestShrivenhamAshbury: 4 minutes between the two neighbours with Ashbury 2
// fast, 5 with the 3 of which some records speak.
func TestShrivenhamAshbury(t *testing.T) {
	_, shriv, ashbury := shrivenham(t)
	for name, c := range map[string]struct {
		book *Book
		want float64
	}{"2 fast": {ashbury, 240}, "3 fast": {later(ashbury, 60), 300}} {
		p, err := Two(shriv, c.book)
		if err != nil {
			t.Fatal(err)
		}
		if got := rules(p.Findings); got != "clock-offset" || p.Matched != 2 {
			t.Errorf("%s: found %s, %d matched", name, got, p.Matched)
		}
		if len(p.Clocks) != 1 || math.Abs(p.Clocks[0].Middle()-c.want) > 1 {
			t.Errorf("%s: %+v, want %v", name, p.Clocks, c.want)
		}
	}
}

// later is a book by a clock that is so many seconds faster.
func later(b *Book, by block.Time) *Book {
	c := *b
	c.First, c.Last = b.First+by, b.Last+by
	c.sides = make([]side, len(b.sides))
	for i, s := range b.sides {
		c.sides[i] = s
		c.sides[i].bells = append([]bell(nil), s.bells...)
		for k := range c.sides[i].bells {
			moved := *s.bells[k].ringing
			moved.at += by
			c.sides[i].bells[k].ringing = &moved
		}
	}
	return &c
}

func TestNoSection(t *testing.T) {
	marston, _, ashbury := shrivenham(t)
	if _, err := Two(marston, ashbury); err == nil || !strings.Contains(err.Error(), "no section to") {
		t.Error(err)
	}
}
