package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/compare"
	"fairhand/register/each"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

func (p *program) compareCommand() *cobra.Command {
	var days dayFlags
	var x printing
	cmd := &cobra.Command{
		Use:   "compare A B [...]",
		Short: "Lay the books of neighbouring boxes side by side",
		Long: `Lay the books of neighbouring boxes side by side, and say where they disagree: how the
clocks differed and drifted, what one book has and the other has not, bells, times,
names of trains, acceptances and tokens that differ, and for which time there are both.
Each of A, B ... is a box directory with its register, or a box file and a book in
notation as BOX.yaml:BOOK.txt. Three and more are boxes along a line, each beside the
next. Then each train's way is told, by the clock of the first box: of several days only
where a box has not booked it, or under another name. Neither book is taken to be right.

--format html, pdf or xlsx with -o FILE makes a report to print and to file.

Exit code 3 when something dangerous or irregular was found, 1 when two of the books do
not fit together: of other days, of other boxes, or without signals.`,
		Example: `  fairhand compare coldbeck ennerholme
  fairhand compare coldbeck.yaml:coldbeck.txt ennerholme --from 2026-05-05 --to 2026-05-05`,
		Args: args(2, 1000, "the second book"),
		RunE: func(cmd *cobra.Command, given []string) error {
			span, err := days.parse()
			if err = cmp.Or(err, x.check(p.js)); err != nil {
				return err
			}
			return p.compare(cmd.Context(), given, span, &x)
		},
	}
	days.flags(cmd)
	x.flags(cmd)
	return p.withJSON("", cmd)
}

// bothBooks is the share of what a comparison holds, in percent, after which memory is
// collected: two books of a year are most of what it ever holds, and twice that is too much.
const bothBooks = 12

// compare lays the books named beside each other and tells what was found.
func (p *program) compare(ctx context.Context, given []string, span daySpan, x *printing) error {
	defer debug.SetGCPercent(debug.SetGCPercent(bothBooks))
	var books []*compare.Book
	var made []madeJSON
	var alarms []sheet.Alarm
	for _, arg := range given {
		b, from, of, err := comparedBook(ctx, arg, span)
		if err != nil {
			return err
		}
		from.Box, from.Entries = b.Box.Name, b.Entries
		books, made, alarms = append(books, b), append(made, from), append(alarms, of...)
	}
	chain, err := compare.Line(books...)
	if err != nil {
		return err
	}
	if p.js {
		out := chainAsJSON(chain)
		out.Alarms, out.Program, out.Made = alarms, register.Program(), made
		err = p.json(out)
	} else {
		doc := chain.Document()
		doc.Alarms = alarms
		for i := range made {
			doc.Under = append(doc.Under, made[i].words())
		}
		doc.Under = append(doc.Under, "Compared by "+register.Program()+".")
		err = p.print(x, doc, given...)
	}
	var found tally
	for _, pair := range chain.Pairs {
		for _, f := range pair.Findings {
			found[f.Severity]++
		}
	}
	if err = cmp.Or(err, alarmed(alarms)); err != nil {
		return err
	}
	if err := unfit(chain); err != nil {
		return errors.Join(p.out.Flush(), err) // what could be compared is told all the same
	}
	return found.result()
}

// unfit is the error for books that could not be compared.
func unfit(c *compare.Chain) error {
	misfits := slices.DeleteFunc(slices.Clone(c.Pairs), (*compare.Pair).Fits)
	if len(misfits) == 0 {
		return nil
	}
	return withHint(fmt.Errorf("the books do not fit together: %s", each.Joined(misfits, ", ", (*compare.Pair).Section)),
		"give books of the same days, in the order of the line; --from and --to choose the days")
}

// comparedBook makes a book of an argument, BOX.yaml:BOOK.txt or a box directory, and
// says of what it was made.
func comparedBook(ctx context.Context, arg string, span daySpan) (b *compare.Book, from madeJSON, alarms []sheet.Alarm, err error) {
	for _, ending := range []string{".yaml:", ".yml:"} {
		if i := strings.Index(arg, ending); i >= 0 {
			b, from, err = writtenBook(ctx, arg[:i+len(ending)-1], arg[i+len(ending):], span)
			return b, from, nil, err
		}
	}
	if ext := filepath.Ext(arg); ext == ".yaml" || ext == ".yml" {
		return nil, from, nil, withHint(usagef("%s is a box file without a book", arg), "%s:BOOK.txt names both; a box with a register is named by its directory", arg)
	}
	book, err := openDir(arg, true)
	if err != nil {
		return nil, from, nil, err
	}
	defer book.Close()
	if err := book.Prove(ctx); err != nil {
		return nil, from, nil, err
	}
	b, err = compare.FromStore(ctx, book.File(), book.Store(), span.from, span.to)
	if err == nil && b.Entries == 0 {
		err = fmt.Errorf("the register in %s has no entries%s", arg, calendar.Between(span.from, span.to))
	}
	tail := book.Proved()
	from = madeJSON{Source: arg, ProvedTo: tail.Seq, Head: tail.Hash.String(), Description: book.Described(tail.Seq).Digest}
	return b, from, alarmsOf(book), err
}

// writtenBook makes a book of a box file and a book in notation.
func writtenBook(ctx context.Context, box, path string, span daySpan) (b *compare.Book, from madeJSON, err error) {
	file, err := boxfile.Load(box)
	if err != nil {
		return nil, from, err
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, from, err
	}
	defer f.Close()
	b, err = compare.FromNotation(ctx, file, f, span.from, span.to)
	if err != nil {
		return nil, from, inBook(path, err)
	}
	if b.Entries == 0 {
		err = fmt.Errorf("%s has no entries%s", path, calendar.Between(span.from, span.to))
	}
	return b, madeJSON{Source: path, Description: store.Digest(file.Text)}, err
}
