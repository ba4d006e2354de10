package register_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/boxfile"
)

var untidyMark = regexp.MustCompile(`# ([!?]) ([a-z-]+)`)

// TestUntidyBooks reads books as tired hands write them: what is found of each is what
// its lines are marked with, and no more.
func TestUntidyBooks(t *testing.T) {
	text, err := os.ReadFile("testdata/untidy.txt")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "=== ")
	books := strings.Split(rest, "\n=== ")
	if len(books) < 60 {
		t.Errorf("%d books, want 60", len(books))
	}
	for _, b := range books {
		head, body, _ := strings.Cut(b, "\n")
		part := strings.Split(head, " | ")
		if len(part) != 3 {
			t.Fatalf("no name, box and words: %q", head)
		}
		t.Run(part[0], func(t *testing.T) {
			if diff := cmp.Diff(untidyWant(body), untidyFound(t, part[1], body), cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("%s (-want +got):\n%s", part[2], diff)
			}
		})
	}
}

func untidyWant(body string) (want []string) {
	for i, line := range strings.Split(body, "\n") {
		for _, m := range untidyMark.FindAllStringSubmatch(line, -1) {
			want = append(want, fmt.Sprintf("%d %s %s", i+1, m[1], m[2]))
		}
	}
	slices.Sort(want)
	return want
}

func untidyFound(t *testing.T, box, body string) (got []string) {
	t.Helper()
	name, zone, _ := strings.Cut(box, " in ")
	text, err := os.ReadFile(filepath.Join("../block/testdata/clauses/boxes", name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if zone != "" {
		text = append([]byte("timezone: "+zone+"\n"), text...)
	}
	file, err := boxfile.Decode(bytes.NewReader(text), name)
	if err != nil {
		t.Fatal(err)
	}
	above := int64(0)
	if !strings.HasPrefix(body, "date ") {
		body, above = "date 2026-05-05\n"+body, 1
	}
	_, err = register.Check(t.Context(), file.Box, file.Location, strings.NewReader(body), func(f block.Finding) error {
		mark := "!"
		if f.Answered != 0 {
			mark = "?"
		}
		if f.Severity > rulebook.Advice {
			got = append(got, fmt.Sprintf("%d %s %s", f.Seq-above, mark, f.Rule))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(got)
	return got
}
