package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"fairhand/block/rulebook"
	"fairhand/cmd/fairhand/schema"
	"fairhand/export"
	"fairhand/register/boxfile"
	"fairhand/register/each"
	"fairhand/register/measure"
	"fairhand/register/notation"
)

// topics are the references that are no command: fairhand help notation. They are
// put together when one is asked for, not at each start of the program.
var topics = []struct {
	use, short string
	long       func() string
}{
	{"notation", "The book notation: how each entry is written", notation.HelpText},
	{"people", "Roles, PINs and the lock of the desk: what they prove, and what not", peopleReference},
	{"clock", "The computer's clock: what is asked, and what to do when it was wrong", func() string { return clockHelp }},
	{"proof", "What verify, pages and seals prove, what not, and who has the files", proofHere},
	{"man DIR", "Write a manual page for each command into DIR", func() string { return manHelp }},
	{"csv", "What is written as CSV: its columns, guarded and plain", export.CSVHelp},
	{"schema [NAME]", "What --json prints, as JSON Schema", schemaReference},
	{"box", "The box file box.yaml: its keys and words", boxReference},
}

func helpTopics() []*cobra.Command {
	out := make([]*cobra.Command, len(topics))
	for i, t := range topics {
		out[i] = &cobra.Command{Use: t.use, Short: t.short}
	}
	return out
}

// putTogether gives a topic its text.
func putTogether(cmd *cobra.Command) {
	for _, t := range topics {
		if cmd.Use == t.use {
			cmd.Long = t.long()
		}
	}
}

// boxReference is the reference of box.yaml with the words that allow and needs know.
func boxReference() string {
	var b strings.Builder
	b.WriteString(boxfile.Reference())
	for _, list := range []struct {
		title string
		words []rulebook.Option
	}{{"Words under allow", rulebook.Allowances}, {"Words under needs", rulebook.Conditions}} {
		fmt.Fprintf(&b, "\n%s\n\n", list.title)
		for _, o := range list.words {
			fmt.Fprintf(&b, "  %s\n      %s\n      source: %s\n", o.Name, o.Words, o.Source)
		}
	}
	return b.String()
}

// schemaReference lists the schemas.
func schemaReference() string {
	rows := each.Of(schema.Forms, func(f schema.Form) []string { return []string{"  " + f.Name, f.Of} })
	return `What a command prints with --json has a JSON Schema (draft 2020-12), by which any
validator checks it. fairhand help schema NAME prints one, by its name or by that of
the command. Within a number keys may be added; none goes or changes its meaning
without the next number. Each object that is printed names its schema under the key
schema; of a command that prints several, one a line, each is of it.

` + strings.Join(measure.Table(rows), "\n")
}

// schema prints the schema of that name.
func (p *program) schema(name string) error {
	text, err := schema.Text(name)
	if err != nil {
		return withHint(&usageError{err}, "fairhand help schema lists them")
	}
	p.screen.JSON = true
	_, err = p.out.Write(text)
	return err
}

// helpCommand replaces the library's, which calls an unknown topic no error.
func (p *program) helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND or TOPIC]",
		Short: "Say how a command is used, or read out a topic",
		RunE: func(cmd *cobra.Command, given []string) error {
			if len(given) == 2 && given[0] == "schema" {
				return p.schema(given[1])
			}
			if len(given) == 2 && given[0] == "man" {
				return p.manual(cmd.Root(), given[1])
			}
			found, rest, err := cmd.Root().Find(given)
			if err == nil && len(rest) == 0 {
				found.InitDefaultHelpFlag()
				return found.Help()
			}
			err = usagef("there is no help on %q", strings.Join(given, " "))
			if w := boxfile.Nearest(given[0], commandNames(cmd.Root())); w != "" {
				return withHint(err, "did you mean %s?", w)
			}
			return err
		},
		ValidArgsFunction: func(cmd *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
			var out []string
			for _, c := range cmd.Root().Commands() {
				if strings.HasPrefix(c.Name(), begun) {
					out = append(out, c.Name()+"\t"+c.Short)
				}
			}
			return out, cobra.ShellCompDirectiveNoFileComp
		},
	}
}
