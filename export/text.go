package export

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"fairhand/block/rulebook"
	"fairhand/register"
)

// textLines is how many lines of the page go on one page of text: about what a
// printed page holds with two lines to a train.
const textLines = 25

// textWidth is where running text is broken.
const textWidth = 80

// below are the columns that stand in a line below their train, with the word
// that leads in each; all others stand side by side.
var below = map[string]string{
	"by": "from ", "for": "for ", "token": "token ", "place": "at ", "remarks": "",
}

// signs mark the gravest finding beside a line.
var signs = map[rulebook.Severity]string{rulebook.Advice: ".", rulebook.Irregular: "!", rulebook.Danger: "!!"}

// writeText writes the pages of the day, the handover sheets, then the list of
// entries with findings.
func writeText(w io.Writer, d *register.Day) error {
	out := bufio.NewWriter(w)
	t := textWriter{out, d}
	t.para("", d.Title())
	if len(d.OnDuty) > 0 {
		t.para("", "On duty at the first entry: "+strings.Join(d.OnDuty, ", "))
	}
	pages := d.Pages(textLines)
	widths := columnWidths(pages)
	for i := range pages {
		t.page(&pages[i], widths)
	}
	fmt.Fprintln(out)
	for _, l := range register.PageLegend {
		t.para("", l)
	}
	t.para("", "!! danger, ! irregular, . advice: in full beside the entry in the list.")
	for i := range d.Sheets {
		t.handover(&d.Sheets[i])
	}
	t.entries()
	fmt.Fprintln(out)
	for _, l := range d.Foot() {
		t.para("", l)
	}
	return out.Flush()
}

type textWriter struct {
	*bufio.Writer
	d *register.Day
}

// para writes running text broken at textWidth, later lines indented by two
// more than the first.
func (t textWriter) para(indent, s string) {
	for i, l := range wrap(s, textWidth-utf8.RuneCountInString(indent)-2) {
		if i > 0 {
			l = "  " + l
		}
		fmt.Fprintln(t, indent+l)
	}
}

// wrap breaks a text into lines of at most width characters. Each break takes
// the place of one space, so nothing else of the text changes; a word that is
// longer has a line of its own.
func wrap(s string, width int) []string {
	var lines []string
	line, length := "", 0
	for i, w := range strings.Split(s, " ") {
		n := utf8.RuneCountInString(w)
		switch {
		case i == 0:
			line, length = w, n
		case length+1+n <= width:
			line, length = line+" "+w, length+1+n
		default:
			lines = append(lines, line)
			line, length = w, n
		}
	}
	return append(lines, line)
}

// columnWidths are the widths of the columns that stand side by side.
func columnWidths(pages []register.Page) []int {
	cols := register.PageColumns()
	widths := make([]int, len(cols))
	for i, c := range cols {
		if _, ok := below[c.Key]; ok {
			continue
		}
		widths[i] = max(utf8.RuneCountInString(c.Short), 1)
		for _, p := range pages {
			for _, l := range p.Lines {
				if l.Cells != nil {
					widths[i] = max(widths[i], utf8.RuneCountInString(l.Cells[i]))
				}
			}
		}
		if c.Clock {
			widths[i] = max(widths[i], len("00:00"))
		}
	}
	return widths
}

func (t textWriter) page(p *register.Page, widths []int) {
	fmt.Fprintf(t, "\n%s, page %d of %d\n", p.Title, p.Number, p.Of)
	cols := register.PageColumns()
	var heads, groups strings.Builder
	heads.WriteString("   ")
	group := ""
	for i, c := range cols {
		if widths[i] == 0 {
			continue
		}
		if c.Group != group {
			group = c.Group
			at := utf8.RuneCountInString(heads.String())
			groups.WriteString(strings.Repeat(" ", max(at-utf8.RuneCountInString(groups.String()), 0)) + group)
		}
		heads.WriteString(pad(c.Short, widths[i], c.Clock) + gap(cols, i))
	}
	fmt.Fprintln(t, strings.TrimRight(groups.String(), " "))
	fmt.Fprintln(t, strings.TrimRight(heads.String(), " "))
	fmt.Fprintln(t, strings.Repeat("-", min(utf8.RuneCountInString(heads.String()), textWidth)))
	for i := range p.Lines {
		t.line(&p.Lines[i], cols, widths)
	}
}

// pad fills a cell; times stand to the right, so that minutes are under minutes.
func pad(s string, width int, right bool) string {
	fill := strings.Repeat(" ", max(width-utf8.RuneCountInString(s), 0))
	if right {
		return fill + s
	}
	return s + fill
}

// gap is what comes after a column: a mark without a heading stands close to
// the time it is about.
func gap(cols []register.PageColumn, i int) string {
	if i+1 < len(cols) && cols[i+1].Short == "" {
		return ""
	}
	return " "
}

func (t textWriter) line(l *register.PageLine, cols []register.PageColumn, widths []int) {
	sign := ""
	if l.Found {
		sign = signs[l.Severity]
	}
	if l.Kind == register.AcrossPage {
		t.across(l, sign)
		return
	}
	var side strings.Builder
	var under []string
	remarks := ""
	for i, c := range cols {
		if lead, ok := below[c.Key]; ok {
			if c.Key == "remarks" {
				remarks = l.Cells[i]
			} else if l.Cells[i] != "" {
				under = append(under, lead+l.Cells[i])
			}
			continue
		}
		side.WriteString(pad(l.Cells[i], widths[i], c.Clock) + gap(cols, i))
	}
	fmt.Fprintln(t, strings.TrimRight(fmt.Sprintf("%-3s%s", sign, side.String()), " "))
	for _, u := range []string{strings.Join(under, "; "), remarks} {
		if u != "" {
			t.para("     ", u)
		}
	}
}

func (t textWriter) across(l *register.PageLine, sign string) {
	text := l.Text
	if l.Struck {
		text = "~" + text + "~"
	}
	if l.Beside != "" {
		text += "  [" + l.Beside + "]"
	}
	for i, s := range wrap(text, textWidth-9) {
		if i == 0 {
			fmt.Fprintf(t, "%-3s%5s %s\n", sign, l.Clock, s)
		} else {
			fmt.Fprintf(t, "%9s%s\n", "", s)
		}
	}
}

// entries lists the entries as written, with what was found about each.
func (t textWriter) entries() {
	fmt.Fprint(t, "\nEntries, as written\n")
	writer := ""
	for i := range t.d.Entries {
		e := &t.d.Entries[i]
		if e.Writer != writer {
			writer = e.Writer
			who := writer
			if who == "" {
				who = "nobody signed on"
			}
			fmt.Fprintf(t, "%9swriting: %s\n", "", who)
		}
		line := e.Line
		if e.CorrectedBy != 0 {
			line = fmt.Sprintf("~%s~ ERROR, corrected by entry %d: %s", e.Line, e.CorrectedBy, t.d.Instead(e))
		}
		for j, s := range wrap(line, textWidth-9) {
			if j == 0 {
				fmt.Fprintf(t, "%7d  %s\n", e.Seq, s)
			} else {
				fmt.Fprintf(t, "%11s%s\n", "", s)
			}
		}
		for j := range e.Findings {
			for k, s := range register.FindingLines(&e.Findings[j]) {
				if k == 0 {
					s = signs[e.Findings[j].Severity] + " " + s
				}
				t.para("         ", s)
			}
		}
		for _, n := range e.Explained {
			fmt.Fprintf(t, "%9sexplained by entry %d\n", "", n)
		}
	}
}
