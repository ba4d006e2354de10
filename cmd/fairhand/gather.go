package main

import (
	"cmp"
	"errors"
	"fmt"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"fairhand/export/gather"
)

const gatherLong = `Gather the registers of a line of boxes into the folder OUT, and keep it up to
date: for those who look after many boxes and have an engine of SQL for their
questions. Each BOX is a box directory, a copy that fairhand backup made, or an
archive volume. OUT has

  boxes.parquet                        a row a box
  railway=.../box=.../year=2026/
    entries.parquet                    what was written
    trains.parquet                     a row a train and box, times of each step
    findings.parquet                   with root, person and explanation
    turns.parquet                      turns of duty
    occupation.parquet                 of each line, by the hour
    bells.NEIGHBOUR.parquet            bells in both books, the clocks' difference
    clocks.NEIGHBOUR.parquet           the neighbour's clock beside this, by the day
  _manifest.json                       there and at the top: head, seal and
                                       description that it was made from

Every entry is proved as it is read. A box whose last entry is that of before is
not read again; of one with more entries than before all are proved, and rows made
only of the years that these may touch. A register that does not go on from the head
that was gathered is refused, and what was gathered of it stands. A file there that
was changed since it was made is told, and put right; of one changed under its old time
and size only --anew tells, which makes everything again and compares; so it is with a
manifest that was edited together with its digest. A collection is proved against its
registers alone: nothing in it, no question and no engine tells that it was altered.
A run that was stopped is finished by the next, and of two at once into one folder the second ends
at once. fairhand gather sql prints the questions that an office asks, as SQL that
runs as it is on DuckDB and on ClickHouse.

Exit code 1 when a box was refused, or a file was not what its register gives.`

const gatherSQLLong = `Print the questions that an office asks of a collection, as SQL: without NAME which
there are, with NAME its text. With the name of an engine and the folder OUT of a
collection, the statements by which that engine sees its files as tables, to be run
before. The answers are as good as the files: fairhand gather --anew proves those
against the registers.`

func (p *program) gatherCommand() *cobra.Command {
	opt := gather.Options{}
	cmd := &cobra.Command{
		Use:   "gather OUT BOX...",
		Short: "Gather the registers of a line of boxes into a folder for SQL",
		Long:  gatherLong,
		Example: `  fairhand gather line coldbeck ennerholme saltgarth/archive/archive-2025.db
  fairhand gather line boxes/*`,
		Args: args(2, 1_000_000, "the folder OUT, or a BOX to gather"),
		RunE: func(cmd *cobra.Command, given []string) error {
			opt.Out, opt.Sources = given[0], given[1:]
			opt.Progress = p.progressOf("boxes read")
			res, err := gather.Run(cmd.Context(), opt)
			if err != nil {
				return err
			}
			if p.js {
				err = p.json(res)
			} else {
				err = p.gathered(res)
			}
			if refused := res.Refused(); err == nil && refused != nil {
				return errors.Join(p.out.Flush(), refused) // what was gathered is told all the same
			}
			return err
		},
	}
	cmd.Flags().BoolVar(&opt.Anew, "anew", false, "make everything again from the registers, and tell each file that was not what they give")
	cmd.Flags().IntVar(&opt.Workers, "workers", 0, "boxes read at the same time; one for each processor when not given")
	cmd.AddCommand(p.gatherSQLCommand())
	return p.withJSON("", cmd)
}

func (p *program) gatherSQLCommand() *cobra.Command {
	return p.withJSON(" a question", &cobra.Command{
		Use: "sql [NAME | " + strings.Join(gather.Engines(), " OUT | ") + " OUT]", Short: "Print the questions of an office as SQL", Long: gatherSQLLong,
		Example: `  fairhand gather sql
  (fairhand gather sql duckdb line; fairhand gather sql people) | duckdb
  (fairhand gather sql clickhouse line; fairhand gather sql people) | clickhouse local -n`,
		Args: args(0, 2, ""),
		RunE: func(_ *cobra.Command, given []string) error {
			if len(given) == 2 {
				list, err := gather.Views(given[0], given[1])
				if err != nil {
					return &usageError{err}
				}
				text := strings.Join(list, ";\n") + ";\n"
				return p.tell(questionJSON{given[0], "", text}, "%s", text)
			}
			if len(given) == 1 {
				text, err := gather.Query(given[0])
				if err != nil {
					return &usageError{err}
				}
				return p.tell(questionJSON{given[0], gather.Asks(given[0]), text}, "%s", text)
			}
			p.screen.Fold = plainColumns
			w := tabwriter.NewWriter(p.out, 0, 0, 2, ' ', 0)
			for _, name := range gather.Queries() {
				text, err := gather.Query(name)
				if p.js {
					err = cmp.Or(err, p.json(questionJSON{name, gather.Asks(name), text}))
				} else {
					fmt.Fprintf(w, "%s\t%s\n", name, gather.Asks(name))
				}
				if err != nil {
					return err
				}
			}
			return w.Flush()
		},
	})
}

// questionJSON is a question to a collection, or with the name of an engine what it is told
// before, for programs.
type questionJSON struct {
	Name string `json:"name"`
	Asks string `json:"asks"` // in words; empty for an engine
	SQL  string `json:"sql"`
}

// gathered tells what became of each box.
func (p *program) gathered(res *gather.Result) error {
	w := tabwriter.NewWriter(p.out, 0, 0, 2, ' ', 0)
	for _, b := range res.Boxes {
		has := fmt.Sprintf("entries 1 to %d", b.Head.Entry)
		if b.Head.Entry == 0 {
			has = "nothing of it is in the collection"
		}
		fmt.Fprintf(w, "%s\t%s\t%s\n", cmp.Or(b.Box, b.Source), b.State, has)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for _, x := range res.Pairs {
		fmt.Fprintf(w, "bells of %s and %s\t%s\t%d in both books\n", x.Box, x.Neighbour, x.State, x.Bells)
	}
	return w.Flush()
}
