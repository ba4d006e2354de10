package main

import (
	"fmt"
	"os"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"fairhand/cmd/fairhand/version"
)

const manHelp = `fairhand help man DIR writes a manual page for each command into the folder DIR, such
as fairhand-audit.1; man -l DIR/fairhand-audit.1 shows one, and in a folder man1 of the
manual path they are found by their names.`

// manual writes the manual pages, dated by the version: the same program gives the
// same pages.
func (p *program) manual(root *cobra.Command, dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("a folder for the manual: %w", err)
	}
	date := time.Unix(0, 0).UTC()
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if made, err := time.Parse(time.RFC3339, s.Value); err == nil && s.Key == "vcs.time" {
				date = made
			}
		}
	}
	literal(root)
	root.DisableAutoGenTag = true // it has the date of today
	return doc.GenManTree(root, &doc.GenManHeader{Section: "1", Date: &date, Source: "fairhand " + version.Program(), Manual: "Train register"}, dir)
}

// literal has the lines of each help that are set in kept as they are: four columns in
// stand for that to the generator.
func literal(cmd *cobra.Command) {
	putTogether(cmd)
	var b strings.Builder
	in := false
	for line := range strings.Lines(cmd.Long) {
		switch set := strings.HasPrefix(line, "  "); {
		case set && !in:
			b.WriteString("\n    ")
		case set:
			b.WriteString("    ")
		case in && line != "\n":
			b.WriteString("\n")
		}
		in = strings.HasPrefix(line, "  ")
		b.WriteString(line)
	}
	cmd.Long = b.String()
	for _, c := range cmd.Commands() {
		literal(c)
	}
}
