package audit

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"golang.org/x/tools/txtar"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/registertest/busy"
	"fairhand/register/store"
)

func must[T any](v T, err error) func(testing.TB) T {
	return func(tb testing.TB) T {
		tb.Helper()
		if err != nil {
			tb.Fatal(err)
		}
		return v
	}
}

// testBox is the invented box of the tests, with people and a clock to be checked.
const testBox = busy.Box + `people:
  - {name: A. Fell, role: signaller}
  - {name: R. Howe, role: signaller}
  - {name: R. Garth, role: inspector}
clock-check: "09:00"
`

func decodeBox(tb testing.TB, text string) *boxfile.File {
	tb.Helper()
	return must(boxfile.Decode(strings.NewReader(text), "box.yaml"))(tb)
}

// auditBook audits a book in notation.
func auditBook(tb testing.TB, file *boxfile.File, book string, opt Options) *Report {
	tb.Helper()
	return must(Run(context.Background(), Notation(file, strings.NewReader(book)), opt))(tb)
}

// newRegister makes an empty register of a box in a directory of its own.
func newRegister(tb testing.TB, box string) *register.Book {
	tb.Helper()
	dir := tb.TempDir()
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), []byte(box), 0o600); err != nil {
		tb.Fatal(err)
	}
	b := must(register.Create(dir, register.Options{}))(tb)
	tb.Cleanup(func() { b.Close() })
	return b
}

// imported makes a register of a book, with the times of the book as those of
// writing.
func imported(tb testing.TB, box, book string) *register.Book {
	tb.Helper()
	b := newRegister(tb, box)
	must(b.Import(context.Background(), strings.NewReader(book), register.ImportOptions{AsWritten: true}))(tb)
	return b
}

func auditRegister(tb testing.TB, b *register.Book, opt Options) *Report {
	tb.Helper()
	return must(Run(context.Background(), Register(b), opt))(tb)
}

// fill appends regular traffic straight to a register, 288 entries a day.
func fill(tb testing.TB, b *register.Book, entries int) {
	tb.Helper()
	var list []store.Draft
	for day, n := 0, 0; n < entries; day++ {
		midnight := time.Date(1990, 1, 1+day, 0, 0, 0, 0, b.Location())
		y, m, d := midnight.Date()
		for h := 6; h < 22; h++ {
			for line := range strings.Lines(fmt.Sprintf(busy.Hour, h)) {
				if n++; n > entries {
					break
				}
				var hh, mm int
				must(fmt.Sscanf(line, "%d:%d", &hh, &mm))(tb)
				at := time.Date(y, m, d, hh, mm, 0, 0, b.Location()).Unix()
				list = append(list, store.Draft{At: at, Recorded: at, Day: calendar.Day(y*10000 + int(m)*100 + d), Line: strings.TrimSuffix(line, "\n")})
			}
		}
		if len(list) > 40_000 || n > entries {
			must(b.Store().AppendBatch(list))(tb)
			list = list[:0]
		}
	}
	if len(list) > 0 {
		must(b.Store().AppendBatch(list))(tb)
	}
}

// scenario is one of the books that package register is checked against.
type scenario struct {
	name, box, book string
}

func scenarios(tb testing.TB) (out []scenario) {
	tb.Helper()
	files := must(filepath.Glob("../testdata/check/*.txtar"))(tb)
	if len(files) == 0 {
		tb.Fatal("no scenarios")
	}
	for _, f := range files {
		out = append(out, readScenario(tb, f))
	}
	return out
}

func readScenario(tb testing.TB, path string) scenario {
	tb.Helper()
	s := scenario{name: strings.TrimSuffix(filepath.Base(path), ".txtar")}
	for _, f := range must(txtar.ParseFile(path))(tb).Files {
		switch f.Name {
		case "box.yaml":
			s.box = string(f.Data)
		case "book.txt":
			s.book = string(f.Data)
		}
	}
	return s
}

func readDemo(tb testing.TB) scenario {
	tb.Helper()
	dir := "../../cmd/fairhand/demo"
	return scenario{"demo", string(must(os.ReadFile(filepath.Join(dir, "box.yaml")))(tb)), string(must(os.ReadFile(filepath.Join(dir, "book.txt")))(tb))}
}

// checked counts what register.Check finds, by rule and severity.
func checked(tb testing.TB, file *boxfile.File, book string) map[string]int64 {
	tb.Helper()
	out := map[string]int64{}
	must(register.Check(context.Background(), file.Box, file.Location, bytes.NewReader([]byte(book)), func(f block.Finding) error {
		if f.Answered == 0 {
			out[string(f.Rule)]++
			out[f.Severity.String()]++
		}
		return nil
	}))(tb)
	return out
}

// counted is the same from a report, from the totals and from the turns.
func counted(r *Report) (whole, turns map[string]int64) {
	whole, turns = map[string]int64{}, map[string]int64{}
	count := func(to map[string]int64, key string, n int64) {
		if n > 0 {
			to[key] += n
		}
	}
	for _, x := range r.Rules {
		count(whole, x.Rule, x.Count)
	}
	for _, x := range r.Severities {
		count(whole, x.Severity, x.Count)
	}
	for _, t := range r.Turns {
		for _, x := range t.Rules {
			count(turns, x.Rule, x.Count)
		}
		for _, x := range t.Severities {
			count(turns, x.Severity, x.Count)
		}
	}
	return whole, turns
}
