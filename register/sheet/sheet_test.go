package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

// plainText is a document in plain text, its lines joined.
func plainText(d *Document, width int) string {
	var out []string
	for _, l := range d.Plain(width) {
		out = append(out, l.Text)
	}
	return strings.Join(out, "\n") + "\n"
}

// wagons is a small report: what runs, how often, and a remark that may go below.
func wagons() *Document {
	return &Document{Title: "Wagons of the day", Under: []string{"on duty: A. Fell"}, Ruled: true, Proof: []string{"Last entry: 3, abc"},
		Sections: []Section{{Title: "Trains", Parts: []Part{&Table{
			Columns: []Column{{Head: "Train", Share: 8, Strong: true}, {Head: "Number", Short: "No", Share: 6, Right: true}, {Head: "R", Share: 2, Mark: true}, {Head: "Remarks", Share: 16, Below: true}},
			Rows: []Row{
				{Cells: []string{"2P07", "4", "", "late"}},
				{Cells: []string{"6F01", "31", "R", "banked from Coldbeck"}, Under: []Line{{In: 2, Text: "see entry 2"}}},
				{Kind: Above, Text: "after noon"},
				{Cells: []string{"2P09", "4", "", ""}, In: 1},
			}}}}, {Title: "Nothing in it"}}}
}

// What plain text makes of a report with room for its columns, and without: what
// may go below its row does so, and a mark stands close to its number.
func TestPlainReport(t *testing.T) {
	head := `Wagons of the day
=================
on duty: A. Fell

Trains
------
`
	foot := "\nLast entry: 3, abc\n" + Caution + "\n"
	wide := head + `Train        No   Remarks
2P07          4   late
6F01         31R  banked from Coldbeck
  see entry 2

after noon
 2P09         4
` + foot
	narrow := head + `Train No
2P07   4
  late
6F01  31R
  banked from Coldbeck
  see entry 2

after noon
 2P09  4
` + foot
	unwrapped := func(width int) string {
		d := wagons()
		s := plainText(d, width)
		i := strings.Index(s, "A record and")
		return s[:i] + Caution + "\n"
	}
	if got := unwrapped(60); got != wide {
		t.Errorf("with room:\n%s\nwant\n%s", got, wide)
	}
	if got := unwrapped(24); got != narrow {
		t.Errorf("without:\n%s\nwant\n%s", got, narrow)
	}
	for _, l := range strings.Split(plainText(wagons(), 24), "\n") {
		if len(l) > 24 {
			t.Errorf("wider than asked for: %q", l)
		}
	}
}

// A column added is one row of the table's columns: it has its heading over its
// cells where there is room, and leads them in below where there is none.
func TestPlainColumnAdded(t *testing.T) {
	d := wagons()
	table := d.Sections[0].Parts[0].(*Table)
	table.Columns = append(table.Columns, Column{Head: "Tonnes", Share: 8, Right: true})
	for i := range table.Rows {
		if r := &table.Rows[i]; r.Cells != nil {
			r.Cells = append(r.Cells, fmt.Sprint(100*(i+1)))
		}
	}
	lines := strings.Split(plainText(d, 70), "\n")
	end := -1
	for _, l := range lines {
		switch {
		case strings.HasSuffix(l, "Tonnes"):
			end = len(l)
		case end > 0 && strings.HasPrefix(l, "2P07") || strings.HasPrefix(l, "6F01") || strings.HasPrefix(l, " 2P09"):
			if len(l) != end || !strings.HasSuffix(l, "00") {
				t.Errorf("the cell stands elsewhere than its heading: %q", l)
			}
		}
	}
	if end < 0 {
		t.Errorf("no heading:\n%s", strings.Join(lines, "\n"))
	}
	if got := plainText(d, 12); !strings.Contains(got, "  tonnes 100") || !strings.Contains(got, "  late") || strings.Contains(got, "Tonnes") {
		t.Errorf("without room:\n%s", got)
	}
}

// Lines with all that may hang on one.
func TestPlainLines(t *testing.T) {
	d := &Document{Sections: []Section{{Parts: []Part{Heading("Entries"), &List{Lines: []Line{
		{In: 6, Lead: "12", Text: "a text that is longer than what is left", Under: []Line{{In: 6, Grave: Graveness(rulebook.Danger), Text: "found"}}},
		{In: 6, Lead: "13", Text: "struck", Struck: true, Beside: "what stands"},
		{In: 6, Lead: "[ ]", Text: "a text that begins again where it began", Flush: true, Space: true},
		{In: 4, Lead: "1", Grave: Graveness(rulebook.Advice), Text: "advice"},
		{In: 2, Lead: "long lead", Text: "beside it"},
	}}}}}}
	want := `Entries
   12 a text that is longer
        than what is left
      !! found
   13 ~struck~ what stands

  [ ] a text that begins again
      where it began
1 . advice
long lead beside it

`
	got := plainText(d, 30)
	if got = got[:strings.Index(got, "A record")]; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	d.Unbroken = true
	if got := plainText(d, 30); !strings.Contains(got, "   12 a text that is longer than what is left\n") || strings.Contains(got, Caution) {
		t.Errorf("unbroken, the caution apart:\n%s", got)
	}
}

// The book has pages, groups over its columns and signs beside its rows; a time
// names its hour where that is another than above it, and at the top of a page.
func TestPlainBook(t *testing.T) {
	at := func(train, offered, arrived string, g Grave) Row {
		return Row{Cells: []string{train, offered, arrived}, Hours: []string{"", offered[:2], arrived[:2]}, Grave: g}
	}
	table := &Table{Title: "Down page", Book: true,
		Columns: []Column{{Head: "Train", Share: 8}, {Group: "In rear", Head: "Offered", Short: "Offd", Share: 7, Clock: true}, {Group: "In rear", Head: "Arrived", Short: "Arr", Share: 7, Clock: true}},
		Rows: []Row{at("2P07", "10:41", "10:53", 0), {Kind: Across, Clock: "10:55", Hour: "10", Text: "told Control", Struck: true, Beside: "ERROR"},
			at("2P09", "10:57", "11:05", Graveness(rulebook.Irregular)), {Kind: Across, Clock: "10:59", Hour: "10", Text: "fog"}}}
	d := &Document{Sections: []Section{{Parts: []Part{table}}}}
	want := `Down page, page 1 of 1
            In rear
   Train       Offd     Arr
----------------------------
   2P07       10:41   10:53
   10:55 ~told Control~  [ERROR]
!  2P09         :57   11:05
     :59 fog

`
	got := plainText(d, 60)
	if got = got[:strings.Index(got, "A record")]; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	pages := table.Pages(2, func(*Row) float64 { return 1 })
	if len(pages) != 2 || len(pages[0]) != 2 || pages[1][0].Cells[1] != "10:57" || pages[1][1].Clock != "10:59" {
		t.Errorf("two rows to a page: %+v", pages)
	}
	if pages := table.Pages(1, func(*Row) float64 { return 5 }); len(pages) != 4 {
		t.Errorf("rows higher than a page: %d pages", len(pages))
	}
	if pages := (&Table{}).Pages(0, nil); len(pages) != 1 || len(pages[0]) != 0 {
		t.Errorf("no rows: %+v", pages)
	}
	if table.Rows[2].Cells[1] != "10:57" {
		t.Error("laying out changed the table")
	}
}

// Columns share a width as they ask for it; the foot ends with the caution and
// leaves the proof as it is; a severity has a sign and a word, none has neither.
func TestSharesFootAndSigns(t *testing.T) {
	table := &Table{Columns: []Column{{Share: 1}, {Share: 2.5}, {Share: 0.5}}}
	w := table.Widths(200)
	if !slices.EqualFunc(w, []float64{50, 125, 25}, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
		t.Errorf("widths %v", w)
	}
	d := &Document{Title: "a", Proof: make([]string, 1, 5)}
	if f := d.Foot(); len(f) != 2 || f[1] != Caution || len(d.Proof) != 1 || d.Proof[:2][1] != "" {
		t.Errorf("foot %q, proof %q", f, d.Proof[:2])
	}
	if d.Head() != "a" {
		t.Errorf("head %q", d.Head())
	}
	if d.Running = "b"; d.Head() != "b" {
		t.Errorf("head %q, want the running one", d.Head())
	}
	for g, want := range map[Grave]string{0: "|", Graveness(rulebook.Advice): ".|advice", Graveness(rulebook.Irregular): "!|irregular", Graveness(rulebook.Danger): "!!|danger"} {
		if got := g.Sign() + "|" + g.String(); got != want {
			t.Errorf("%d: %s, want %s", g, got, want)
		}
	}
}

// TestPlainTimesOfAnotherDate: a page whose times all stand in brackets keeps to its
// width, beside a short name and beside one that leaves no room, and loses none of them.
func TestPlainTimesOfAnotherDate(t *testing.T) {
	for _, name := range []string{"2P07", "Ballast from Coldbeck Quarry by way of Au"} {
		table := &Table{Title: "Up page", Book: true, Columns: []Column{{Head: "Train", Share: 17}}}
		row := Row{Cells: []string{name}}
		for i := range 10 {
			group := []string{"From the box in rear", "To the box in advance"}[i/5]
			table.Columns = append(table.Columns, Column{Head: fmt.Sprint("Time", i), Group: group, Share: 10.5, Clock: true})
			row.Cells = append(row.Cells, fmt.Sprintf("(09:%d0)", i%6))
		}
		table.Rows = []Row{row}
		text := plainText(&Document{Sections: []Section{{Parts: []Part{table}}}}, 80)
		for _, l := range strings.Split(text, "\n") {
			if len(l) > 80 {
				t.Errorf("%s: %d columns: %s", name, len(l), l)
			}
		}
		if n := strings.Count(text, "(09:"); n != 10 || !strings.Contains(text, name) {
			t.Errorf("%d of 10 times:\n%s", n, text)
		}
	}
}
