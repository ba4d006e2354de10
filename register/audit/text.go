package audit

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// TextWidth is how many columns the text form uses, but for words longer than a
// line.
const TextWidth = 80

// WriteText writes the report for paper and screen, in plain text.
func (r *Report) WriteText(w io.Writer) error {
	p := &printer{}
	r.heading(p)
	r.findings(p)
	r.turnsText(p)
	r.Keeping.text(p)
	r.Figures.text(p)
	r.Occupation.text(p)
	p.section("")
	p.fill(0, 0, r.Caution)
	if _, err := io.WriteString(w, p.b.String()); err != nil {
		return fmt.Errorf("writing the audit: %w", err)
	}
	return nil
}

// printer gathers lines of at most TextWidth columns.
type printer struct{ b strings.Builder }

func (p *printer) line(format string, a ...any) {
	p.b.WriteString(strings.TrimRight(fmt.Sprintf(format, a...), " "))
	p.b.WriteByte('\n')
}

func (p *printer) section(title string) {
	p.line("")
	if title != "" {
		p.line("%s", title)
		p.line("%s", strings.Repeat("-", utf8.RuneCountInString(title)))
	}
}

// wrap writes text in lines with a margin, those after the first two columns further in.
func (p *printer) wrap(margin int, format string, a ...any) {
	p.fill(margin, 2, fmt.Sprintf(format, a...))
}

// fill is wrap with lines after the first so much further in.
func (p *printer) fill(margin, hang int, text string) {
	line, used, indent := strings.Repeat(" ", margin), margin, margin
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		if i > 0 && used > indent && used+1+n > TextWidth {
			p.line("%s", line)
			indent = margin + hang
			line, used = strings.Repeat(" ", indent), indent
		} else if i > 0 {
			line += " "
			used++
		}
		line += word
		used += n
	}
	p.line("%s", line)
}

func (r *Report) heading(p *printer) {
	title := "Audit of the register of " + r.Box
	if r.Railway != "" {
		title = r.Railway + ": audit of the register of " + r.Box
	}
	p.wrap(0, "%s", title)
	p.line("%s", strings.Repeat("=", min(TextWidth, utf8.RuneCountInString(title))))
	x := r.Extent
	p.fill(0, 0, fmt.Sprintf("%s to %s, %s with entries; entries %d to %d, %d in these days; times of %s; rules %s.",
		x.FirstDay, x.LastDay, count(x.Days, "day", "days"), x.First, x.Last, x.Entries, r.Zone, r.RuleSet))
	if x.ProvedTo > 0 {
		p.fill(0, 0, fmt.Sprintf("The chain of hashes holds over %s up to entry %d, whose hash is %s.", count(x.ProvedFor, "entry", "entries"), x.ProvedTo, x.Head))
	}
}

func count(n int64, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (r *Report) findings(p *printer) {
	p.section("Findings")
	for _, s := range r.Severities {
		p.line("%-10s %7d, of which unexplained %7d", s.Severity, s.Count, s.Unexplained)
	}
	for i := range r.Rules {
		rule := &r.Rules[i]
		p.line("")
		p.wrap(0, "%s: %s, %s, %d unexplained. %s", rule.Rule, rule.Severity, count(rule.Count, "finding", "findings"), rule.Unexplained, rule.What)
		for j := range rule.Details {
			rule.Details[j].text(p)
		}
		if rule.Beyond > 0 {
			p.line("  and %d more", rule.Beyond)
		}
		p.wrap(2, "Reference: %s", rule.Reference)
	}
}

func (f *Finding) text(p *printer) {
	mark := "unexplained"
	if len(f.Remarks) > 0 {
		mark = "explained"
	}
	p.wrap(2, "%s %s entry %d, %s, %s: %s", f.At.Date(), f.At.Clock(), f.Entry, onDuty(f.Turn), mark, f.Text)
	if len(f.Remarks) == 0 {
		p.wrap(6, "Expected: %s", f.Expected)
	}
	for _, m := range f.Remarks {
		p.wrap(6, "Entry %d, %s: %s", m.Entry, m.At.Clock(), m.Text)
	}
}

func onDuty(name string) string {
	if name == "" {
		return "nobody signed on"
	}
	return name
}

func (r *Report) turnsText(p *printer) {
	p.section("Turns of duty")
	p.line("%-20s %-19s %-19s %6s %11s", "", "from", "to", "entr.", "unexpl./all")
	for i := range r.Turns {
		r.Turns[i].text(p)
	}
	if left := r.TurnCount - int64(len(r.Turns)); left > 0 {
		p.wrap(0, "and %s with less to explain.", count(left, "turn", "turns"))
	}
}

func (t *Turn) text(p *printer) {
	var all, left int64
	for _, s := range t.Severities {
		all, left = all+s.Count, left+s.Unexplained
	}
	p.line("%-20s %-19s %-19s %6d %11s", clip(onDuty(t.Name), 20), t.From.Date()+" "+t.From.Clock(), t.To.Date()+" "+t.To.Clock(), t.Entries, fmt.Sprintf("%d/%d", left, all))
	var notes []string
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
		p.wrap(2, "%s", strings.Join(notes, ", "))
	}
	for _, o := range t.OpenRows {
		p.wrap(2, "on hand at the end: %s, %s (entry %d)", o.Train, o.Where, o.Entry)
	}
	for _, rule := range t.Rules {
		more := ""
		if left := rule.Count - int64(len(rule.Entries)); left > 0 {
			more = fmt.Sprintf(" and %d more", left)
		}
		p.wrap(2, "%s, %s: %d, %d unexplained: %s %s%s", rule.Rule, rule.Severity, rule.Count, rule.Unexplained, entryWord(rule.Entries), numbers(rule.Entries), more)
	}
}

func entryWord(list []int64) string {
	if len(list) == 1 {
		return "entry"
	}
	return "entries"
}

func numbers(list []int64) string {
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(list), " ", ", "), "[]")
}

// clip shortens a name to so many columns.
func clip(s string, width int) string {
	if utf8.RuneCountInString(s) <= width {
		return s
	}
	return string([]rune(s)[:width-1]) + "…"
}
