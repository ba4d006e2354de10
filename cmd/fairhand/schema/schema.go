// Package schema holds the JSON Schemas of what the program prints with --json.
//
// The files are made from the Go types that are printed and from the comments on
// their fields, by the tests of the command (go test ./cmd/fairhand -run Schema
// -update), which also check real output of every command against them. A key may be
// added to a schema; when one goes or changes its meaning the number goes up, and the
// old file stays for those who have filed what it describes.
package schema

import (
	"embed"
	"fmt"
	"slices"
	"strings"
)

// Form is one shape of output.
type Form struct {
	Name string // of the schema: fairhand-day-1
	Of   string // commands that print it, parted by ", "
}

// Forms are the shapes of output, by name.
var Forms = []Form{
	{"fairhand-audit-1", "audit"},
	{"fairhand-box-1", "init, demo"},
	{"fairhand-check-1", "check"},
	{"fairhand-codes-1", "codes"},
	{"fairhand-compare-1", "compare"},
	{"fairhand-config-1", "config"},
	{"fairhand-copy-1", "backup, restore"},
	{"fairhand-day-1", "day, export"},
	{"fairhand-findings-1", "findings"},
	{"fairhand-gather-1", "gather"},
	{"fairhand-graph-1", "graph"},
	{"fairhand-handover-1", "handover"},
	{"fairhand-import-1", "import"},
	{"fairhand-log-1", "log, pin"},
	{"fairhand-print-1", "print"},
	{"fairhand-question-1", "gather sql"},
	{"fairhand-rules-1", "rules"},
	{"fairhand-salvage-1", "salvage"},
	{"fairhand-seal-1", "seal"},
	{"fairhand-verify-1", "verify"},
	{"fairhand-version-1", "version"},
	{"fairhand-volume-1", "archive"},
}

//go:embed *.json
var files embed.FS

// Text is a schema by its name or by that of a command. The error names what is known.
func Text(name string) ([]byte, error) {
	i := slices.IndexFunc(Forms, func(f Form) bool { return f.Name == name || slices.Contains(f.Commands(), name) })
	if i < 0 {
		return nil, fmt.Errorf("there is no schema %q", name)
	}
	return files.ReadFile(Forms[i].Name + ".json")
}

// Commands are the commands that print it.
func (f Form) Commands() []string { return strings.Split(f.Of, ", ") }
