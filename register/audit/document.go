package audit

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

// heading is a document about the register without its sections; what says what it is.
func (r *Report) heading(what string) *sheet.Document {
	title := strings.ToUpper(what[:1]) + what[1:] + r.Box
	if r.Railway != "" {
		title = r.Railway + ": " + what + r.Box
	}
	x := r.Extent
	doc := &sheet.Document{Title: title, Ruled: true, Alarms: r.Alarms, Sign: r.Signature == nil, Times: "times of " + r.Zone, Under: []string{
		fmt.Sprintf("%s, %s with entries; entries %d to %d, %d in these days; times of %s; rules %s.",
			x.span(), count(x.Days, "day", "days"), x.First, x.Last, x.Entries, r.Zone, r.RuleSet)}}
	if r.Chosen != "" {
		doc.Under = append(doc.Under, "Only findings "+r.Chosen+" are counted and told.")
	}
	if x.ProvedTo > 0 {
		doc.Under = append(doc.Under, fmt.Sprintf("The chain of hashes holds over %s up to entry %d, whose hash is %s.",
			count(x.ProvedFor, "entry", "entries"), x.ProvedTo, x.Head))
	}
	doc.Under = append(append(doc.Under, each.Of(r.Described, Described.words)...), "Examined by "+r.Program+".")
	if r.Signature != nil {
		doc.Under = append(doc.Under, "Signed by "+r.Signature.words())
	}
	doc.Date, _ = time.Parse(time.DateOnly, x.LastDay) // no day leaves it zero
	return doc
}

// Document is the report to read, to print and to file.
func (r *Report) Document() *sheet.Document {
	doc := r.heading("audit of the register of ")
	if r.Chosen != "" {
		doc.Under = append(doc.Under, "How the book was kept and how trains ran is told of all of it.")
	}
	figures := r.Figures.section()
	figures.Data = []*sheet.Table{figureTable(figuresOf(&r.Figures, &r.Occupation))}
	doc.Sections = []sheet.Section{r.findings()}
	if r.compared { // there are others to compare with
		doc.Sections = append(doc.Sections, r.people())
	}
	if trends := r.trends(); len(trends.Parts) > 0 {
		doc.Sections = append(doc.Sections, trends)
	}
	signed := r.Signed.section()
	if r.Signature != nil {
		signed.Title = "Before this signature" // which covers what is told there
	}
	doc.Sections = append(doc.Sections, r.turns(), r.Keeping.section(), signed, figures, r.Occupation.section())
	return doc
}

func (d Described) words() string {
	if d.At != nil {
		return fmt.Sprintf("From entry %d on, %s %s, under another description of the box, SHA-256 %s: %s.", d.Entry, d.At.Date(), d.At.Clock(), d.SHA256[:min(len(d.SHA256), 16)], d.Changes)
	}
	return (&register.Described{Entry: d.Entry, Digest: d.SHA256, Kept: d.Kept, PINs: d.PINs}).Words() + "."
}

func (r *Report) findings() sheet.Section {
	sums := &sheet.Table{Columns: []sheet.Column{{Share: 10}, {Share: 29, Right: true}, {Share: 7, Right: true}}, Rows: each.Of(r.Severities, func(s Severity) sheet.Row {
		return cells(s.Severity, number(s.Count)+", of which unexplained", number(s.Unexplained))
	})}
	list := &sheet.List{}
	for i := range r.Rules {
		rule := &r.Rules[i]
		follow := ""
		if rule.Follow > 0 {
			follow = fmt.Sprintf(", %d of them following from an earlier entry", rule.Follow)
		}
		l := sheet.Line{Space: true, Text: fmt.Sprintf("%s: %s, %s%s, %d unexplained. %s", rule.Rule, rule.Severity, count(rule.Count, "finding", "findings"), follow, rule.Unexplained, rule.What)}
		l.Under = append(l.Under, r.details(rule)...)
		l.Under = append(l.Under, sheet.Line{In: 2, Text: "Reference: " + rule.Reference, Faint: true})
		list.Lines = append(list.Lines, l)
	}
	if n := r.Answered.Count; n > 0 {
		l := sheet.Line{Space: true, Text: fmt.Sprintf("Found as it was written, answered since and not counted: %d", n), Under: each.Of(r.Answered.Details, r.line)}
		if beyond := n - int64(len(r.Answered.Details)); beyond > 0 {
			l.Under = append(l.Under, sheet.Line{In: 2, Text: fmt.Sprintf("and %d more", beyond)})
		}
		list.Lines = append(list.Lines, l)
	}
	return sheet.Section{Key: "findings", Title: "Findings", Parts: []sheet.Part{sums, list}, Data: []*sheet.Table{r.list().table()}}
}

// details tells the findings of a rule below what it says: of each what is its own, and
// what was expected once while it is the same.
func (r *Report) details(rule *RuleReport) (lines []sheet.Line) {
	told := sheet.Once{}
	for _, f := range rule.Details {
		if own, ok := strings.CutPrefix(f.Text, strings.TrimSuffix(rule.What, ".")); ok {
			f.Text = ownWords(own)
		}
		if len(f.Remarks) == 0 {
			f.Expected = told.Say("", f.Expected)
		}
		lines = append(lines, r.line(f))
	}
	if rule.Beyond > 0 {
		lines = append(lines, sheet.Line{In: 2, Text: fmt.Sprintf("and %d more (audit --all tells them)", rule.Beyond)})
	}
	return lines
}

// ownWords are what a finding has of its own behind the words of its rule: a section in
// brackets that stands first has none before it any more to belong to.
func ownWords(rest string) string {
	rest = strings.TrimLeft(rest, ":; ")
	if inside, after, ok := strings.Cut(strings.TrimPrefix(rest, "("), ")"); ok && strings.HasPrefix(rest, "(") {
		return inside + after
	}
	return rest
}

// line tells a finding, and leads to its entry on the page of its day.
func (r *Report) line(f Finding) sheet.Line {
	l := f.line()
	if r.Pages != "" {
		l.Link = fmt.Sprintf("%s/%s.html#e%d", r.Pages, f.At.Date(), f.Entry)
	}
	return l
}

func (f *Finding) line() sheet.Line {
	mark := "unexplained"
	switch {
	case f.Answered != 0:
		mark = fmt.Sprintf("%s %s, answered by entry %d", f.Severity, f.Rule, f.Answered)
	case len(f.Remarks) > 0:
		mark = "explained"
	}
	if f.Root != 0 {
		mark += fmt.Sprintf(", follows from entry %d", f.Root)
	}
	l := sheet.Line{In: 2, Text: strings.TrimSuffix(fmt.Sprintf("%s %s entry %d, %s, %s: %s", f.At.Date(), f.At.Clock(), f.Entry, register.OnDuty(f.Turn), mark, f.Text), ": ")}
	if len(f.Remarks) == 0 && f.Answered == 0 && f.Expected != "" {
		l.Under = append(l.Under, sheet.Line{In: 6, Text: "Expected: " + f.Expected})
	}
	for _, m := range f.Remarks {
		l.Under = append(l.Under, sheet.Line{In: 6, Text: fmt.Sprintf("Entry %d, %s: %s", m.Entry, m.At.Clock(), m.Text)})
	}
	return l
}

// table has a row for each finding, to sort and to reckon with.
func (l *List) table() *sheet.Table {
	t := &sheet.Table{Name: "Findings", Columns: []sheet.Column{
		{Key: "rule", Head: "Rule", Share: 34}, {Key: "severity", Head: "Severity", Share: 10}, {Key: "entry", Head: "Entry", Share: 8, Number: true},
		{Key: "date", Head: "Date", Share: 11}, {Key: "time", Head: "Time", Share: 9}, {Key: "turn", Head: "On duty", Share: 18},
		{Key: "section", Head: "Section", Share: 14}, {Key: "line", Head: "Line", Share: 12}, {Key: "train", Head: "Train", Share: 12},
		{Key: "text", Head: "Finding", Share: 60}, {Key: "expected", Head: "Expected", Share: 50}, {Key: "remarks", Head: "Explained", Share: 50},
		{Key: "rests", Head: "Rests on entries", Share: 16}, {Key: "reference", Head: "Reference", Share: 50},
		{Key: "root", Head: "Follows from entry", Share: 9, Number: true}, {Key: "answered", Head: "Answered by entry", Share: 9, Number: true},
		{Key: "at", Head: "Moment", Share: 26}}}
	t.Rows = each.Of(l.Findings, func(f Listed) sheet.Row {
		remarks := each.Of(f.Remarks, func(m Remark) string { return fmt.Sprintf("entry %d: %s", m.Entry, m.Text) })
		return cells(f.Rule, f.Severity, number(f.Entry), f.At.Date(), f.At.Clock(), f.Turn, f.Section, f.Line, f.Train, f.Text, f.Expected,
			strings.Join(remarks, "; "), register.Numbers(f.Rests, ", "), f.Reference, register.Numbered(f.Root), register.Numbered(f.Answered), calendar.Stamp(f.At.Time, f.At.Zone))
	})
	return t
}

func (r *Report) turns() sheet.Section {
	t := &sheet.Table{Name: "Turns of duty", Columns: []sheet.Column{{Share: 20, Head: "On duty", Short: " "}, {Share: 19, Head: "From", Short: "from"}, {Share: 19, Head: "To", Short: "to"},
		{Share: 6, Head: "Entries", Short: "entr.", Right: true, Number: true}, {Share: 11, Head: "Findings unexplained of all", Short: "unexpl./all", Right: true}},
		Rows: each.Of(r.Turns, Turn.row)}
	s := sheet.Section{Key: "turns", Title: "Turns of duty", Parts: []sheet.Part{t}}
	if left := r.TurnCount - int64(len(r.Turns)); left > 0 {
		s.Parts = append(s.Parts, sheet.Say("and "+count(left, "turn", "turns")+" with less to explain."))
	}
	return s
}

func (t Turn) row() sheet.Row {
	all, left := summed(t.Severities)
	row := cells(register.OnDuty(t.Name), t.From.Date()+" "+t.From.Clock(), t.To.Date()+" "+t.To.Clock(), number(t.Entries), fmt.Sprintf("%d/%d", left, all))
	under := func(format string, a ...any) {
		row.Under = append(row.Under, sheet.Line{In: 2, Text: fmt.Sprintf(format, a...)})
	}
	var notes []string
	if t.Under != "" {
		notes = append(notes, "under "+t.Under+", who answers for it")
	}
	if t.OnEntry == 0 {
		notes = append(notes, "no signing on")
	}
	if t.Lapsed {
		notes = append(notes, "no signing off")
	}
	for _, c := range []struct {
		n         int64
		one, many string
	}{{t.Late, "late entry", "late entries"}, {t.Corrected, "correction", "corrections"}, {t.Clock, "clock check", "clock checks"}} {
		if c.n > 0 {
			notes = append(notes, count(c.n, c.one, c.many))
		}
	}
	if len(notes) > 0 {
		under("%s", strings.Join(notes, ", "))
	}
	if t.inFives() {
		under("%d of %d times are at five past, ten past and so on, where a fifth would be: not taken from the clock as it happened?", t.Fives, t.Times)
	}
	if len(t.OpenRows) > 0 {
		under("on hand at the end: %s", rowsText(t.OpenRows))
	}
	for _, rule := range t.Rules {
		under("%s, %s: %d, %d unexplained: %s %s%s", rule.Rule, rule.Severity, rule.Count, rule.Unexplained, entryWord(rule.Entries), register.Numbers(rule.Entries, ", "), more(rule.Count, len(rule.Entries)))
	}
	return row
}

const (
	// fivesLeast is of how many times fivesShare must be whole fives of minutes to be told:
	// of thirty true ones so many are once in some millions of turns (the tail of the
	// binomial distribution; trains booked at whole fives bring more, but seldom are they so).
	fivesLeast = 30
	fivesShare = 0.6
)

// inFives says whether most times of a turn are whole fives of minutes: a book written up
// afterwards has them.
func (t *Turn) inFives() bool {
	return t.Times >= fivesLeast && float64(t.Fives) >= fivesShare*float64(t.Times)
}

func cells(texts ...string) sheet.Row { return sheet.Row{Cells: texts} }

func number(n int64) string { return strconv.FormatInt(n, 10) }

func count(n int64, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func entryWord(list []int64) string {
	if len(list) == 1 {
		return "entry"
	}
	return "entries"
}

func more(all int64, shown int) string {
	if left := all - int64(shown); left > 0 {
		return fmt.Sprintf(" and %d more", left)
	}
	return ""
}
