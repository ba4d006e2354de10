// Fairhand keeps the train register of a signal box: one program, one file of
// records, one box. Package main wires the commands; what they do is in the
// packages block, register, export and tui.
package main

import (
	"bufio"
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // the program is offline and must know summer time

	"fairhand/export"
	"fairhand/register/measure"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second interrupt ends the program at once
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// Exit codes of the program.
const (
	exitFine     = 0 // done; findings that are only advice count as none
	exitFailed   = 1 // it could not be done
	exitUsage    = 2 // it was not asked rightly, or there is no box to open
	exitFindings = 3 // done, and something dangerous or irregular was found
)

// run is the whole program but for the process: what it prints goes to stdout
// and stderr, and it returns the exit code.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	p := &program{stdin: stdin, stdout: stdout, stderr: stderr, screen: &measure.Screen{To: stdout}, notes: &measure.Screen{To: stderr, Fold: plainColumns, In: 4}}
	p.out = bufio.NewWriterSize(p.screen, 64<<10)
	root := p.root()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	if err == nil || err == errFindings || is[*export.AlarmError](err) { // else a command that failed has nothing to say on stdout
		if flushed := cmp.Or(p.out.Flush(), p.screen.End()); flushed != nil {
			err = fmt.Errorf("writing the output: %w", flushed)
		}
	}
	code := p.finish(err)
	_ = p.notes.End() // there is nowhere left to tell a failure
	return code
}
