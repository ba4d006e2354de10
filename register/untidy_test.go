package register_test

import (
	"fmt"
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
	"fairhand/register/registertest"
)

var untidyMark = regexp.MustCompile(`# ([!?]) ([a-z-]+)(?:: ([^#]+))?`)

// TestUntidyBooks reads books as tired hands write them: what is found of each is what
// its lines are marked with, and no more.
func TestUntidyBooks(t *testing.T) {
	books := untidyBooks(t, "untidy.txt", 3)
	if len(books) < 300 {
		t.Errorf("%d books, want 300", len(books))
	}
	for _, part := range books {
		t.Run(part[0], func(t *testing.T) {
			found := bookFound(t, part[1], part[3])
			if diff := cmp.Diff(untidyWant(part[3]), untidyMarks(found), cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("%s (-want +got):\n%s", part[2], diff)
			}
			untidySaid(t, part[3], found)
		})
	}
}

// untidyBooks are the books of a file under testdata: what stands in the heading of each,
// which has so many parts, and its lines.
func untidyBooks(t *testing.T, name string, parts int) (books [][]string) {
	t.Helper()
	for _, b := range registertest.Headed(t, filepath.Join("testdata", name)) {
		part := strings.SplitN(b.Head, " | ", parts)
		if len(part) != parts {
			t.Fatalf("%s: not %d parts: %q", name, parts, b.Head)
		}
		books = append(books, append(part, b.Body))
	}
	return books
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

// untidySaid holds what is told to the words that stand with its mark.
func untidySaid(t *testing.T, body string, found []block.Finding) {
	t.Helper()
	for i, line := range strings.Split(body, "\n") {
		for _, m := range untidyMark.FindAllStringSubmatch(line, -1) {
			words := strings.TrimSpace(m[3])
			if !slices.ContainsFunc(found, func(f block.Finding) bool {
				return f.Seq == int64(i+1) && string(f.Rule) == m[2] && strings.Contains(f.Text+". "+f.Expected+".", words)
			}) {
				t.Errorf("line %d: of %s is not told %q", i+1, m[2], words)
			}
		}
	}
}

func untidyMarks(found []block.Finding) (got []string) {
	for _, f := range found {
		mark := "!"
		if f.Answered != 0 {
			mark = "?"
		}
		got = append(got, fmt.Sprintf("%d %s %s", f.Seq, mark, f.Rule))
	}
	slices.Sort(got)
	return got
}

// bookFound is what is found of a book above advice, the lines of its body numbered from 1.
func bookFound(t *testing.T, box, body string) (got []block.Finding) {
	t.Helper()
	file := registertest.BoxOf(t, "..", box)
	above := int64(0)
	if !strings.HasPrefix(body, "date ") {
		body, above = "date 2026-05-05\n"+body, 1
	}
	_, err := register.Check(t.Context(), file.Box, file.Location, strings.NewReader(body), func(f block.Finding) error {
		if f.Seq -= above; f.Severity > rulebook.Advice {
			got = append(got, f)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}
