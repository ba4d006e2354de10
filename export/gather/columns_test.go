package gather

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/parquet-go/parquet-go"
)

// TestColumns: COLUMNS.md has a row for each column of the collection, in the order of
// the files, with its type and whether it may be null, and says what it means.
func TestColumns(t *testing.T) {
	text, err := os.ReadFile("COLUMNS.md")
	if err != nil {
		t.Fatal(err)
	}
	var have []string
	for line := range strings.Lines(string(text)) {
		if !strings.HasPrefix(line, "| `") {
			continue
		}
		cells := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), " | ")
		if len(cells) != 5 || strings.TrimSpace(cells[4]) == "" {
			t.Errorf("a row says nothing, or has not five cells: %s", line)
			continue
		}
		have = append(have, strings.TrimSpace(strings.Join(cells[:4], " | ")))
	}
	var want []string
	for _, s := range []struct {
		table string
		row   any
	}{
		{Boxes, boxRow{}}, {Entries, entry{}}, {Trains, train{}}, {Findings, finding{}}, {Turns, turn{}}, {Occupation, hour{}}, {Bells, bell{}}, {Clocks, clock{}},
	} {
		for _, f := range parquet.SchemaOf(s.row).Fields() {
			null := "never"
			if f.Optional() {
				null = "may be"
			}
			want = append(want, fmt.Sprintf("`%s` | `%s` | %s | %s", s.table, f.Name(), columnType(f), null))
		}
	}
	if !slices.Equal(have, want) {
		t.Fatalf("COLUMNS.md is not as the rows are written (-have +want)\n%s", cmp.Diff(have, want))
	}
}

// columnType is the type of a column in few words.
func columnType(f parquet.Field) string {
	if !f.Leaf() {
		return "list"
	}
	name := strings.ToLower(f.Type().String())
	for from, to := range map[string]string{"int(64,true)": "int64", "int(32,true)": "int32", "timestamp(isadjustedtoutc=true,unit=micros)": "microseconds UTC"} {
		if name == from {
			return to
		}
	}
	return name
}
