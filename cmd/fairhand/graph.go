package main

import (
	"cmp"
	"io"
	"os"
	"strconv"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"fairhand/export/graph"
	"fairhand/register"
)

// The screen that text is drawn for where there is none.
const (
	plainColumns = 80
	plainLines   = 24
)

func (p *program) graphCommand() *cobra.Command {
	var svg string
	var force bool
	cmd := p.onDay(&cobra.Command{
		Use:   "graph [DATE]",
		Short: "Draw the train graph of a day",
		Long: `Draw the train graph of a day, distance against time and a line a train: of today,
or of the DATE given as 2026-05-05. On a terminal it has the size of the terminal, in
a pipe 80 columns and 24 lines, or what COLUMNS and LINES say. --svg writes it as a picture to a file that is there
whole or not at all (- for standard output), with the timetable behind it in light.
--json gives the points of the lines for programs.`,
	}, func(_ *cobra.Command, book *register.Book, opt options, day *register.Day) error {
		p.withTimetable(day, book)
		if p.js {
			if svg != "" {
				return usagef("--json goes to standard output alone; --svg is the picture")
			}
			told := graph.Of(day).Told()
			told.Alarms = day.Alarms
			return cmp.Or(p.json(told), alarmed(day.Alarms))
		}
		if svg == "" {
			columns, _ := p.screenSize()
			p.screen.Fold = max(columns, plainColumns)
			_, err := p.out.WriteString(p.graphText(day))
			return cmp.Or(err, alarmed(day.Alarms))
		}
		draw := func(w io.Writer) error { return graph.Of(day).SVG(w, graph.SVGOptions{Alone: true}) }
		if svg == "-" {
			svg = ""
		}
		return cmp.Or(p.draw(svg, force, draw, opt.Dir), alarmed(day.Alarms))
	})
	cmd.Flags().StringVar(&svg, "svg", "", "file to write the graph to as a picture, - for standard output")
	cmd.Flags().BoolVar(&force, "force", false, "overwrite a file that exists")
	return p.withJSON("", cmd)
}

// graphText draws the graph so that the day fits the screen with its heading and
// its explanation; what was found is listed below. At least a few lines are left
// for the day on any screen.
func (p *program) graphText(day *register.Day) string {
	const around, least = 7, 8
	columns, lines := p.screenSize()
	return graph.Text(day, columns, max(lines-around, least))
}

// screenSize is the size of the terminal. Where there is none it is what COLUMNS and LINES
// say, as far as that can be drawn, or that of a plain one.
func (p *program) screenSize() (columns, lines int) {
	if f, ok := p.stdout.(*os.File); ok {
		if columns, lines, err := term.GetSize(int(f.Fd())); err == nil && columns > 0 && lines > 0 {
			return columns, lines
		}
	}
	said := func(name string, plain int) int {
		if n, err := strconv.Atoi(os.Getenv(name)); err == nil && n >= plain/2 && n <= 1000 {
			return n
		}
		return plain
	}
	return said("COLUMNS", plainColumns), said("LINES", plainLines)
}
