package main

import (
	"cmp"
	"context"
	"errors"

	"github.com/spf13/cobra"

	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

func (p *program) handoverCommand() *cobra.Command {
	var x printing
	cmd := &cobra.Command{
		Use:   "handover",
		Short: "Print the handover sheet of the present moment",
		Long: `Print the sheet a signaller hands over to the relief, made from what the book tells
at this moment: trains, sections, tokens, blockages, reminders, failures, messages
without an answer, findings nobody has explained, the trains of the timetable in the
next two hours, the clock and the notes. A box [ ] stands before what is live: the
relief ticks it and writes carried or queried with its name into the book, as the
desk does. --format pdf -o sheet.pdf is the sheet to print and to sign.`,
		Args: args(0, 0, ""),
		RunE: p.onBook(true, func(cmd *cobra.Command, _ []string, book *register.Book, opt options) error {
			if err := cmp.Or(x.check(p.js), begun(book)); err != nil {
				return err
			}
			if err := book.Derive(cmd.Context()); err != nil {
				return err
			}
			told := handoverSheet(cmd.Context(), book)
			alarms := alarmsOf(book)
			if p.js {
				out := sheetAsJSON(book, told)
				out.Alarms = alarms
				return cmp.Or(p.json(out), alarmed(alarms))
			}
			doc := told.Document()
			doc.Alarms = alarms
			return cmp.Or(p.print(&x, doc, opt.Dir), alarmed(alarms))
		}),
	}
	x.flags(cmd)
	return p.withJSON("", cmd)
}

// handoverSheet is the sheet with the trains of the timetable, as the desk shows it.
func handoverSheet(ctx context.Context, book *register.Book) register.Sheet {
	now := book.Now()
	list, fault := book.TimetableOf(book.DayOf(now))
	runs, err := book.RunningTimes(ctx)
	o := book.Outlook(list, runs, now)
	return book.Handover(book.ExpectedTrains(&o, errors.Join(fault, err)))
}

type sheetJSON struct {
	Railway  string          `json:"railway"`
	Box      string          `json:"box"`
	At       string          `json:"at"` // RFC 3339, by the clock of the box
	OffGoing string          `json:"off-going"`
	Parts    []sheetPartJSON `json:"parts"`
	Last     int64           `json:"last"`
	Hash     string          `json:"hash"`
	Caution  string          `json:"caution"`
	Alarms   []sheet.Alarm   `json:"alarms,omitempty"`
}

type sheetPartJSON struct {
	Title string          `json:"title"`
	Items []sheetItemJSON `json:"items"`
}

type sheetItemJSON struct {
	Matter string `json:"matter"` // name to carry or query it by; empty: only to be told
	Text   string `json:"text"`
	Entry  int64  `json:"entry"`          // it rests on, 0 for none
	Root   int64  `json:"root,omitempty"` // of a finding: the entry it follows from
}

func sheetAsJSON(book *register.Book, s register.Sheet) sheetJSON {
	tail := book.Store().Tail()
	item := func(it register.SheetItem) sheetItemJSON { return sheetItemJSON{it.Name, it.Text, it.Seq, it.Root} }
	part := func(p register.SheetPart) sheetPartJSON { return sheetPartJSON{p.Title, each.Of(p.Items, item)} }
	return sheetJSON{
		Railway: s.Railway, Box: s.Box, At: calendar.Stamp(s.At, book.Location()),
		OffGoing: s.OffGoing, Parts: each.Of(s.Parts, part), Last: tail.Seq, Hash: tail.Hash.String(), Caution: register.Caution,
	}
}
