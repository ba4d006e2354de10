package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/sheet"
)

// printCommand hands the page of a day to the printer of the system.
func (p *program) printCommand() *cobra.Command {
	return p.withJSON("", p.onDay(&cobra.Command{
		Use:   "print [DATE]",
		Short: "Hand the page of a day to the system's printer",
		Long: `Hand the page of a day, of today or of the DATE, as PDF to the printer that the system prints
on: with lp, or under Windows with the print verb of whatever opens a PDF. The system chooses the printer;
LPDEST names another for lp. To a file: fairhand export --format pdf -o FILE.`,
	}, func(cmd *cobra.Command, _ *register.Book, _ options, day *register.Day) (err error) {
		dir, err := os.MkdirTemp("", "fairhand-print")
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
		path := filepath.Join(dir, "page.pdf")
		f, err := os.Create(path)
		if err != nil {
			return err
		}
		if err := errors.Join(export.Write(f, "pdf", day), f.Close()); err != nil {
			return err
		}
		by := printerLine(runtime.GOOS, path)
		if err := toPrinter(cmd.Context(), by); err != nil {
			return withHint(err, "fairhand export --format pdf -o FILE writes the page to a file")
		}
		done := printedJSON{day.Date.String(), by[0], day.Alarms}
		return cmp.Or(p.tell(done, "The page of %s was handed to the printer.\n", day.Date), alarmed(day.Alarms))
	}))
}

// printedJSON is a page that was handed to the printer, for programs.
type printedJSON struct {
	Date   string        `json:"date"`
	By     string        `json:"by"` // the program that took it
	Alarms []sheet.Alarm `json:"alarms,omitempty"`
}

// toPrinter has the system print a file, and waits until it has taken it.
func toPrinter(ctx context.Context, line []string) error {
	out, err := exec.CommandContext(ctx, line[0], line[1:]...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("printing by %s: %w: %s", line[0], err, out)
	}
	return nil
}

// printerLine is the command by which a system prints a file.
func printerLine(system, path string) []string {
	if system == "windows" {
		return []string{"powershell", "-NoProfile", "-Command", "Start-Process -Wait -Verb Print -FilePath '" + strings.ReplaceAll(path, "'", "''") + "'"}
	}
	return []string{"lp", "--", path}
}
