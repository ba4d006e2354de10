package export

import (
	"slices"
	"strings"
	"testing"

	"fairhand/register/measure"
	"fairhand/register/registertest"
	"fairhand/register/sheet"
)

// Names in other scripts: the clock times of all trains stand under one another, on
// the screen and on paper, and no line is wider than the page. The names are invented.
func TestTextStandsInColumns(t *testing.T) {
	const box = `box: एबीसी
timezone: Asia/Kolkata
rules: british-later
sections:
  - {neighbour: गुरुपुर, method: absolute, lines: [{name: डाउन, way: in}, {name: अप, way: out}], towards: up}
  - {neighbour: 東浜, method: absolute, lines: [{name: 下り, way: out}, {name: 上り, way: in}], towards: down}
`
	const book = `date 2026-05-05
06:00 duty on "बाबू गोरे"
10:00 गुरुपुर <1 >1 <3-1 >3-1 train 2A10
10:03 गुरुपुर <2 >2
10:05 गुरुपुर >2-1 <2-1
10:10 गुरुपुर <1 >1 <4 >4 train 急行
10:13 गुरुपुर <2 >2
10:15 गुरुपुर >2-1 <2-1
10:20 गुरुपुर <1 >1 <4 >4 train मेल
10:23 गुरुपुर <2 >2
10:25 गुरुपुर >2-1 <2-1
10:30 note "東浜から गुरुपुर तक 東浜から गुरुपुर तक 東浜から गुरुपुर तक 東浜から गुरुपुर तक 東浜から गुरुपुर तक"
`
	d := registertest.Day(t, box, book, 0)
	// Where, in cells, the times of a row end: offered, accepted, entering, out.
	ends := map[string][]int{}
	for i, l := range strings.Split(written(t, "text", d), "\n") {
		if n := measure.Width(l); n > sheet.PlainWidth {
			t.Errorf("line %d takes %d cells: %s", i+1, n, l)
		}
		for _, train := range []string{"2A10", "急行", "मेल"} {
			if _, known := ends[train]; known || !strings.HasPrefix(strings.TrimLeft(l, "!. "), train) {
				continue
			}
			for at := range len(l) {
				if l[at] == ':' {
					ends[train] = append(ends[train], measure.Width(l[:at+3]))
				}
			}
		}
	}
	want := ends["2A10"]
	if len(want) != 3 {
		t.Fatalf("the row of 2A10 has times at %v", want)
	}
	for train, got := range ends {
		if !slices.Equal(got, want) {
			t.Errorf("%s has times at %v, 2A10 at %v", train, got, want)
		}
	}
	if len(ends) != 3 {
		t.Errorf("rows of %d trains, want 3", len(ends))
	}
}
