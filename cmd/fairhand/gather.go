package main

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"fairhand/export/gather"
)

const gatherLong = `Gather the registers of a line of boxes into the folder OUT, and keep it up to date: for
those who look after many boxes and have an engine of SQL for the questions. Each BOX is
a box directory, a copy that fairhand backup made, or an archive volume.

  OUT/boxes.parquet                                         a row a box
  OUT/railway=.../box=.../year=2026/entries.parquet         what was written
                                    trains.parquet          a row a train and box, times of each step
                                    findings.parquet        with root, person and explanation
                                    turns.parquet           turns of duty
                                    occupation.parquet      of each line by the hour
  _manifest.json at the top and in the folder of each box   what it was made from: head, seal, description

Every entry is proved as it is read. A box whose last entry is that of before is not read
again; a register that does not go on from the head that was gathered is refused, and what
was gathered of it stands. A run that was stopped is finished by the next.

Exit code 1 when a box was refused.`

func (p *program) gatherCommand() *cobra.Command {
	var js bool
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
			if js {
				err = p.json(res)
			} else {
				err = p.gathered(res)
			}
			if err == nil {
				err = res.Refused()
			}
			return err
		},
	}
	cmd.Flags().IntVar(&opt.Workers, "workers", 0, "boxes read at the same time; one for each processor when not given")
	cmd.Flags().BoolVar(&js, "json", false, "one JSON object, schema "+gather.Schema)
	return cmd
}

// gathered tells what became of each box.
func (p *program) gathered(res *gather.Result) error {
	w := tabwriter.NewWriter(p.out, 0, 0, 2, ' ', 0)
	for _, b := range res.Boxes {
		name := b.Box
		if name == "" {
			name = b.Source
		}
		fmt.Fprintf(w, "%s\t%s\tentries 1 to %d\n", name, b.State, b.Head.Entry)
	}
	return w.Flush()
}
