package tui

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/calendar"
	"fairhand/register/sheet"
)

// An inspector examines the book at the desk: the assistant audits the days
// asked for while the desk goes on, the report is read here and the book signed.

// exam is an audit asked for at the desk, and what it has come to.
type exam struct {
	id        int               // of the audit the answers belong to; a new one has a new number
	what      string            // is examined, in words
	said      string            // of that, for the signature
	done, all int64             // entries
	on        bool              // still going on
	text      []sheet.PlainLine // its report
	found     []register.Entry  // what its findings are about, in the order of the book
}

// examined is how far an audit is, or its report.
type examined struct {
	id        int
	done, all int64
	report    *audit.Report
	text      []sheet.PlainLine
	err       error
	end       bool
}

// pressAudit is the keys of the inspector's page.
func (m model) pressAudit(p pressed) (model, cmd) {
	last := m.date()
	switch p.do {
	case doExamTurn:
		n := len(m.state.OnDuty)
		if n == 0 {
			return m.says("Nobody is on duty, so there is no turn to examine.", warn)
		}
		o := m.state.OnDuty[n-1]
		return m.examine(fmt.Sprintf("turn of %s since %s", o.Name, m.noted(o.At)), calendar.Of(o.At, m.zone), max(last, m.today()), o.Seq)
	case doExamDay:
		return m.examine(last.String(), last, last, 0)
	case doExamWeek:
		from := last.Add(-6)
		return m.examine(spanText(from, last), from, last, 0)
	case doAuditFound:
		if len(m.exam.found) == 0 {
			return m.says("The report has no finding.", calm)
		}
		m.hunt = hunt{id: m.hunt.id + 1, hits: m.exam.found, audit: true}
		m.mode, m.pick, m.msg = modeFound, 0, message{}
		return m, cmd{}
	case doAside:
		m.mode, m.top = modeDesk, 0
		return m, cmd{}
	case doDrop:
		if m.exam.on {
			m.exam.on = false
			m.msg = message{"Stopped. There is no report.", calm}
			return m, cmd{do: stopAudit}
		}
		m.mode, m.top = modeDesk, 0
		return m, cmd{}
	}
	return m.scroll(p.do), cmd{}
}

// inspect opens the inspector's page.
func (m model) inspect() model {
	m.mode, m.top, m.msg, m.shown = modeAudit, 0, message{}, nil
	return m
}

// examine begins an audit of the days from to until; seq is the signing on of
// the one turn that is meant, 0 for all of the days.
func (m model) examine(what string, from, until calendar.Day, seq int64) (model, cmd) {
	m.exam = exam{id: m.exam.id + 1, what: what, on: true, all: 1}
	m.mode, m.edit, m.top, m.msg = modeAudit, editor{}, 0, message{}
	return m, cmd{do: examineBook, date: from, until: until, seq: seq, id: m.exam.id}
}

// hear takes how far an audit is, or its report.
func (m model) hear(x examined) model {
	if x.id != m.exam.id || !m.exam.on {
		return m
	}
	m.exam.done, m.exam.all, m.exam.on = x.done, max(1, x.all), !x.end
	switch {
	case !x.end:
	case errors.Is(x.err, register.ErrNoEntries):
		m.msg = message{"Nothing is written on the days asked for.", warn}
	case x.err != nil:
		m.msg = message{"There is no report: " + x.err.Error(), alarm}
	default:
		m.exam.text, m.exam.said, m.exam.found = x.text, x.report.Words(), foundBy(x.report)
		if m.mode == modeDesk {
			m.msg = message{"The audit is done: i shows its report.", calm}
		}
	}
	return m
}

// foundBy are the findings that a report tells, as entries that lead to their days.
func foundBy(r *audit.Report) []register.Entry {
	var out []register.Entry
	for _, f := range r.List().Findings {
		if f.Answered != 0 {
			continue
		}
		e := register.Entry{Findings: []block.Finding{{Rule: rulebook.RuleID(f.Rule)}}}
		e.Findings[0].Severity, _ = rulebook.ParseSeverity(f.Severity)
		e.Seq, e.Day, e.Line = f.Entry, calendar.Of(f.At.Time, f.At.Zone), f.At.Clock()+" "+cmp.Or(f.Train, f.Section)
		for _, x := range f.Remarks {
			e.Explained = append(e.Explained, x.Entry)
		}
		out = append(out, e)
	}
	return out
}

// signing is the line with which an inspector signs the book, as far as it is
// known: by whom when the box file lists one inspector, and what was examined.
func (m *model) signing() string {
	var names []string
	for _, p := range m.box.People {
		if p.Role == "inspector" {
			names = append(names, p.Name)
		}
	}
	if len(names) != 1 {
		return "sign "
	}
	out := fmt.Sprintf("sign %q ", names[0])
	if m.exam.text == nil {
		return out
	}
	return out + `"` + m.exam.said + `"`
}

// auditPage is what is to be examined, how far it is, or the report.
func auditPage(m *model, p *page) {
	x := &m.exam
	title := " INSPECTION OF THE BOOK "
	if x.what != "" {
		title = " AUDIT: " + x.what + " "
	}
	if x.on {
		title += fmt.Sprintf(" reading, %d%% (%s: stop) ", x.done*100/max(1, x.all), m.key("Esc"))
	}
	if x.text != nil {
		p.paper(m, title, paperRows(x.text, p.w))
		return
	}
	p.put(ruled(p.t, title, p.w))
	if x.on {
		p.put(line(plain, " The book is read and proved. q: back to the desk meanwhile. "+m.key("Esc")+": stop."))
		return
	}
	p.put(line(plain, " What is to be examined?"), row{})
	turn := "nobody is on duty"
	if n := len(m.state.OnDuty); n > 0 {
		turn = m.state.OnDuty[n-1].Name + " since " + m.noted(m.state.OnDuty[n-1].At)
	}
	last := m.date()
	for _, c := range [...][2]string{
		{"t", "this turn of duty: " + turn}, {"d", "the day: " + last.String()},
		{"w", "seven days: " + spanText(last.Add(-6), last)},
		{"p", "a period: dates, months or years"}, {"s", "nothing more: sign the book"},
	} {
		p.put(row{txt(plain, "   "), txt(keycap, " "+c[0]+" "), txt(plain, "  "+c[1])})
	}
}

// examine has the assistant audit the book.
func (c *clerk) examine(do cmd) msg {
	opt := audit.Options{From: do.date, To: do.until, Timetable: audit.Booked(c.table, c.base.zone)}
	if do.seq > 0 {
		opt.Details = 10_000 // those of one turn are picked out of those of its days
	}
	src := c.source
	c.helper.start("audit", func(ctx context.Context, tell func(msg)) {
		said := int64(-1)
		opt.Progress = func(done, all int64) {
			if part := done * 100 / max(1, all); part != said {
				said = part
				tell(examined{id: do.id, done: done, all: all})
			}
		}
		r, err := audit.Run(ctx, src, opt)
		if err != nil {
			tell(examined{id: do.id, err: err, end: true})
			return
		}
		var text []sheet.PlainLine
		if do.seq > 0 {
			onlyTurn(r, do.seq)
			text = []sheet.PlainLine{{Text: "The findings and the turn of duty are those of this turn alone. How the book was"},
				{Text: "kept, the figures and the occupation are those of its days."}, {}}
		}
		text = append(text, r.Document().Plain(sheet.PlainWidth)...)
		tell(examined{id: do.id, done: 1, all: 1, report: r, text: text, end: true})
	})
	return nil
}

// onlyTurn leaves of a report's findings and turns those of the turn that began
// with an entry, the latest of its days.
func onlyTurn(r *audit.Report, seq int64) {
	r.Turns = slices.DeleteFunc(r.Turns, func(t audit.Turn) bool { return t.OnEntry != seq })
	r.TurnCount = int64(len(r.Turns))
	r.People, r.Periods, r.Sections = nil, nil, nil
	sums := map[string]*audit.Severity{}
	for i := range r.Severities {
		s := &r.Severities[i]
		s.Count, s.Unexplained = 0, 0
		sums[s.Severity] = s
	}
	for i := range r.Rules {
		rule := &r.Rules[i]
		rule.Details = slices.DeleteFunc(rule.Details, func(f audit.Finding) bool { return f.Entry < seq })
		rule.Count, rule.Unexplained, rule.Beyond = int64(len(rule.Details)), 0, 0
		for _, f := range rule.Details {
			open := int64(0)
			if len(f.Remarks) == 0 {
				open = 1
			}
			rule.Unexplained += open
			if s := sums[f.Severity]; s != nil {
				s.Count++
				s.Unexplained += open
			}
		}
	}
	r.Rules = slices.DeleteFunc(r.Rules, func(rule audit.RuleReport) bool { return rule.Count == 0 })
}

var errPeriod = errors.New("a date, a month, a year, or the first and the last are wanted: 2026-05-05, 2026-05, 2026-05-01 2026-05-07")

// parsePeriod reads a date, a month or a year, or the first and the last of a
// period with a blank between them, as days, both included.
func parsePeriod(text string) (from, to calendar.Day, err error) {
	parts := strings.Fields(text)
	if len(parts) < 1 || len(parts) > 2 {
		return 0, 0, errPeriod
	}
	from, _, err = daysOf(parts[0])
	if err != nil {
		return 0, 0, err
	}
	_, to, err = daysOf(parts[len(parts)-1])
	if err == nil && from > to {
		err = errPeriod
	}
	return from, to, err
}

// daysOf is the first and the last day of a date, a month or a year.
func daysOf(text string) (first, last calendar.Day, err error) {
	for _, form := range []struct {
		layout              string
		years, months, days int
	}{{time.DateOnly, 0, 0, 1}, {"2006-01", 0, 1, 0}, {"2006", 1, 0, 0}} {
		if t, err := time.Parse(form.layout, text); err == nil && t.Year() >= 1000 {
			return calendar.DayOf(t), calendar.DayOf(t.AddDate(form.years, form.months, form.days)).Add(-1), nil
		}
	}
	return 0, 0, errPeriod
}

// spanText is one day, or the first and the last of several.
func spanText(from, to calendar.Day) string {
	if from == to {
		return from.String()
	}
	return from.String() + " to " + to.String()
}
