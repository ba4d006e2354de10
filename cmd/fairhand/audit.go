package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"net/url"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/export"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/sheet"
)

func (p *program) auditCommand() *cobra.Command {
	var a auditing
	cmd := &cobra.Command{
		Use:   "audit [BOOK.txt]",
		Short: "Examine the register as an inspector does, and report",
		Long: `Examine the register, or the days --from to --to of it, as an inspector does, and
report: what was found by rule and by turn of duty, what nobody has explained first;
how the book was kept; how trains ran; how far each section was occupied. With
BOOK.txt (- for standard input) a book in notation is examined, by the box file given
as --box or that of the box directory. --json gives the same for programs, schema ` + audit.Schema + `; --format
html, pdf or xlsx with -o FILE a report to print and to file.

--rule, --severity, --person, --section and --unexplained choose which findings are
counted and told; --since-last-signed begins with the day of the last signature of
somebody who examined the book; --all tells every finding in full.

--sign NAME signs the register for having been examined by NAME, with the days, the
head, the description of the box and the program that the report rests on, and the
report says so; his PIN is asked for where the box wants it and he has one. What came
since the last signature, and days that none covers, are a part of every report.

On a terminal it is said meanwhile how far the work is; in a pipe nothing is.

Exit code 3 when something dangerous or irregular has no explanation.`,
		Example: `  fairhand audit --from 2026-05-01 --to 2026-05-31
  fairhand audit --format pdf -o may.pdf --from 2026-05-01 --to 2026-05-31
  fairhand audit --since-last-signed --unexplained --severity irregular
  fairhand audit --sign "R. Garth" --format pdf -o may.pdf
  fairhand audit --box box.yaml BOOK.txt`,
		Args: args(0, 1, "the book to examine"),
		RunE: func(cmd *cobra.Command, given []string) error {
			readsAll()
			report, err := p.examine(cmd, &a, given)
			if err != nil {
				return err
			}
			if a.sign != "" {
				if report.Signature, err = p.signFor(cmd, a.sign, report); err != nil {
					return err
				}
			}
			if p.js {
				p.pass("json")
				err = report.WriteJSON(p.out)
			} else {
				err = p.print(&a.print, report.Document(), a.dir)
			}
			return cmp.Or(err, result(report))
		},
	}
	a.flags(cmd)
	return p.withJSON("", cmd)
}

// auditing is what the flags of fairhand audit say.
type auditing struct {
	days    dayFlags
	box     string
	details int
	print   printing
	sign    string // who signs
	pages   string // folder of the days as pages

	all         bool
	rules       []string
	severity    string
	filter      audit.Filter
	sinceSigned bool

	alarms []sheet.Alarm // of the register audited
	dir    string        // box directory
}

func (a *auditing) flags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.IntVar(&a.details, "details", 20, "findings told in full for each rule")
	f.BoolVar(&a.all, "all", false, "tell every finding in full")
	f.StringVar(&a.sign, "sign", "", "sign the register, by this name, for having been examined")
	a.choice(cmd)
}

// choice are the flags that say what is examined, what is told of it and how.
func (a *auditing) choice(cmd *cobra.Command) {
	f := cmd.Flags()
	a.days.flags(cmd)
	f.StringVar(&a.box, "box", "", "box file of a book in notation")
	f.StringSliceVar(&a.rules, "rule", nil, "only findings against this rule; can be given again")
	f.StringVar(&a.severity, "severity", "", "only findings of this severity and graver: danger, irregular, advice")
	f.StringVar(&a.filter.Person, "person", "", "only findings in the turns of this person")
	f.StringVar(&a.filter.Section, "section", "", "only findings of the section to this neighbour")
	f.BoolVar(&a.filter.Unexplained, "unexplained", false, "only findings that nobody has explained")
	f.BoolVar(&a.sinceSigned, "since-last-signed", false, "begin with the day of the last signature of an examination")
	a.print.flags(cmd)
	f.StringVar(&a.pages, "pages", "", "with --format html: folder for the days told of as pages, to which findings lead")
}

// options are what the flags ask for.
func (a *auditing) options(p *program) (audit.Options, error) {
	span, err := a.days.parse()
	opt := audit.Options{From: span.from, To: span.to, Details: a.details, Filter: a.filter, Progress: p.progress()}
	if a.all {
		opt.Details = math.MaxInt32
	}
	if err == nil && a.severity != "" {
		var ok bool
		if opt.Filter.Least, ok = rulebook.ParseSeverity(a.severity); !ok {
			err = usagef("--severity %s: danger, irregular or advice is wanted", a.severity)
		}
	}
	for _, id := range a.rules {
		r, ok := rulebook.RuleNamed(rulebook.RuleID(id))
		if !ok && err == nil {
			err = withHint(usagef("--rule %s: there is no such rule", id), "fairhand rules lists them")
		}
		opt.Filter.Rules = append(opt.Filter.Rules, r.ID)
	}
	return opt, err
}

// begin has the audit begin with the day of the last signature.
func (a *auditing) begin(ctx context.Context, src audit.Source, opt *audit.Options) error {
	day, err := audit.LastSigned(ctx, src)
	switch {
	case err != nil:
		return err
	case opt.From != 0:
		return usagef("--from and --since-last-signed both say where to begin")
	case day == 0:
		return withHint(errors.New("nobody has signed this book for having examined it"), `sign "NAME" "TEXT" is the entry; without --since-last-signed the whole book is examined`)
	}
	opt.From = day
	return nil
}

// auditSource is the register of the box directory, or the book named.
func (p *program) auditSource(cmd *cobra.Command, a *auditing, given []string) (audit.Source, *boxfile.File, func(), error) {
	if len(given) == 0 {
		book, _, err := p.openBook(cmd, true)
		if err != nil {
			return nil, nil, nil, err
		}
		if err := begun(book); err != nil {
			book.Close()
			return nil, nil, nil, err
		}
		a.alarms = alarmsOf(book)
		return audit.Register(book), book.File(), func() { book.Close() }, nil
	}
	file, err := p.loadBox(cmd, a.box)
	if err != nil {
		return nil, nil, nil, err
	}
	book, _, done, err := p.bookIn(given[0], false)
	if _, dated := parseDay(given[0]); dated == nil && notThere(err) {
		err = withHint(&usageError{err}, "%s", dateHelp)
	}
	return audit.Notation(file, book), file, done, err
}

// fit says what of the flags does not go with the book that is named, or with none.
func (a *auditing) fit(cmd *cobra.Command, opt audit.Options, given []string) error {
	switch book := len(given) > 0; {
	case a.sign != "" && (book || opt.Filter.String() != ""):
		return usagef("--sign is for a register, and for all that was found in it: without BOOK.txt, --rule, --severity, --person, --section and --unexplained")
	case a.pages != "" && (book || a.print.format != "html" || a.print.output == ""):
		return usagef("--pages is for a register, and for --format html -o FILE, from which findings lead to the pages")
	case a.box != "" && !book:
		return withHint(usagef("--box goes with a book in notation, and none is named"), "%s --box BOX.yaml BOOK.txt", cmd.CommandPath())
	case opt.Details < 1:
		return usagef("--details %d: at least one finding of each rule is told", opt.Details)
	}
	return nil
}

// examine audits what the arguments name, as the flags say.
func (p *program) examine(cmd *cobra.Command, a *auditing, given []string) (*audit.Report, error) {
	opt, err := a.options(p)
	if err = cmp.Or(err, a.print.check(p.js), a.fit(cmd, opt, given)); err != nil {
		return nil, err
	}
	src, file, done, err := p.auditSource(cmd, a, given)
	if err != nil {
		return nil, err
	}
	defer done()
	if a.sinceSigned {
		if err := a.begin(cmd.Context(), src, &opt); err != nil {
			return nil, err
		}
	}
	list, err := timetableOf(file)
	if err != nil {
		return nil, err
	}
	opt.Timetable = audit.Booked(list, file.Location)
	report, err := audit.Run(cmd.Context(), src, opt)
	if err != nil {
		return nil, notAudited(err, opt, given)
	}
	report.Alarms = a.alarms
	if a.pages != "" {
		if err := p.pagesBeside(cmd, a, report); err != nil {
			return nil, err
		}
	}
	settings, err := p.options(cmd)
	a.dir = settings.Dir
	return report, err
}

// notAudited says of which book the error is, and what tells more.
func notAudited(err error, opt audit.Options, given []string) error {
	none := errors.Is(err, register.ErrNoEntries)
	switch {
	case none && len(given) > 0 && opt.From == 0 && opt.To == 0:
		return fmt.Errorf("%s: the book has no entries yet", given[0])
	case errors.Is(err, audit.ErrNotKnown):
		return withHint(&usageError{err}, "fairhand audit without --person and --section lists people, turns and sections")
	case none:
		return withHint(err, "fairhand verify says from when to when the register goes")
	case len(given) > 0:
		return inBook(given[0], err)
	}
	return err
}

// pagesBeside writes the days that the report tells of as pages, those that are not
// there yet, and has its findings lead to them.
func (p *program) pagesBeside(cmd *cobra.Command, a *auditing, report *audit.Report) error {
	book, opt, err := p.openBook(cmd, true)
	if err != nil {
		return err
	}
	defer book.Close()
	from, err := filepath.Abs(filepath.Dir(a.print.output))
	to, err2 := filepath.Abs(a.pages)
	rel, err3 := filepath.Rel(from, to)
	if err = cmp.Or(err, err2, err3); err == nil {
		err = os.MkdirAll(a.pages, 0o700)
	}
	if err != nil {
		return fmt.Errorf("the folder of the pages: %w", err)
	}
	report.Pages, opt.Format = (&url.URL{Path: filepath.ToSlash(rel)}).String(), "html"
	done := map[string]bool{}
	for _, f := range report.List().Findings {
		x := exporting{date: f.At.Date(), output: filepath.Join(a.pages, f.At.Date()+".html"), force: a.print.force}
		if done[x.date] {
			continue
		}
		done[x.date] = true
		if err := p.exportDay(cmd.Context(), book, &opt, &x); err != nil && !errors.Is(err, fs.ErrExist) && !errors.Is(err, register.ErrNoEntries) {
			return err
		}
	}
	return nil
}

// signFor signs the register for having been examined.
func (p *program) signFor(cmd *cobra.Command, name string, report *audit.Report) (*audit.Signature, error) {
	if len(report.Alarms) > 0 {
		return nil, withHint(errors.New("a register with an alarm is not signed for"), "without --sign the report says what it is")
	}
	book, _, err := p.openBook(cmd, false)
	if err != nil {
		return nil, err
	}
	defer book.Close()
	if list := standing(cmd.Context(), book); len(list) > 0 {
		return nil, withHint(&export.AlarmError{Alarms: list}, "a register with an alarm is not signed for")
	}
	if err := p.describe(book); err != nil {
		return nil, err
	}
	ev := block.Event{Kind: block.Sign, At: book.Now(), Subject: name, Text: report.Words()}
	if book.Box().PINs && book.State().PINOf(name) != nil {
		ev.Which = block.ByPIN
	}
	given, err := p.signing(book, ev)
	if err != nil {
		return nil, err
	}
	entry, err := book.Log(ev, given...)
	if err != nil {
		return nil, fmt.Errorf("signing: %w", err)
	}
	return report.SignedBy(book.Box(), &entry.Event), nil
}

// result ends the command by what the report has: alarms, or what nobody explained.
func result(report *audit.Report) error {
	if len(report.Alarms) > 0 {
		return alarmed(report.Alarms)
	}
	if report.Unexplained(rulebook.Danger)+report.Unexplained(rulebook.Irregular) > 0 {
		return errFindings
	}
	return nil
}

// dayFlags are the flags --from and --to.
type dayFlags struct{ from, to string }

func (d *dayFlags) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&d.from, "from", "", "first day, as 2026-05-05")
	cmd.Flags().StringVar(&d.to, "to", "", "last day")
}

// daySpan is a span of register days, both included; 0 is open.
type daySpan struct{ from, to calendar.Day }

func (d *dayFlags) parse() (s daySpan, err error) {
	if d.from != "" {
		s.from, err = parseDay(d.from)
	}
	if d.to != "" && err == nil {
		s.to, err = parseDay(d.to)
	}
	if err == nil && s.from != 0 && s.to != 0 && s.from > s.to {
		err = usagef("--from %s is later than --to %s", d.from, d.to)
	}
	return s, err
}
