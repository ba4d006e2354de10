package register

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	_ "time/tzdata"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/tools/txtar"

	"fairhand/block"
	"fairhand/register/boxfile"
)

var update = flag.Bool("update", false, "rewrite the findings of the scenario files")

// TestScenarios replays each book under testdata/check against its box and
// compares the rule raised on each line. The comment of a file names the source
// of the story; `go test ./register -update` rewrites the findings, to be read
// as a diff before they are believed.
func TestScenarios(t *testing.T) {
	files, err := filepath.Glob("testdata/check/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no scenarios: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			got := checkScenario(t, a)
			if *update {
				setPart(a, "findings", got)
				if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if diff := cmp.Diff(string(part(a, "findings")), got); diff != "" {
				t.Errorf("findings differ (-want +got):\n%s", diff)
			}
		})
	}
}

func checkScenario(t *testing.T, a *txtar.Archive) string {
	t.Helper()
	file, err := boxfile.Decode(bytes.NewReader(part(a, "box.yaml")), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	_, err = Check(t.Context(), file.Box, file.Location, bytes.NewReader(part(a, "book.txt")), func(f block.Finding) error {
		fmt.Fprintf(&out, "%d %s", f.Seq, f.Rule)
		if f.Answered != 0 {
			fmt.Fprintf(&out, " answered by %d", f.Answered)
		}
		out.WriteString("\n")
		if f.Ref == "" || f.Text == "" || f.Expected == "" {
			t.Errorf("line %d %s: a finding says why: text %q, expected %q, reference %q", f.Seq, f.Rule, f.Text, f.Expected, f.Ref)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func part(a *txtar.Archive, name string) []byte {
	for _, f := range a.Files {
		if f.Name == name {
			return f.Data
		}
	}
	return nil
}

func setPart(a *txtar.Archive, name, text string) {
	for i := range a.Files {
		if a.Files[i].Name == name {
			a.Files[i].Data = []byte(text)
			return
		}
	}
	a.Files = append(a.Files, txtar.File{Name: name, Data: []byte(text)})
}
