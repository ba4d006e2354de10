package legalday_test

import (
	"bufio"
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"fairhand/block"
	"fairhand/register/internal/legalday"
	"fairhand/register/registertest"
)

// A lawBook is a book in notation with its box file.
type lawBook struct{ name, box, book string }

// correctedBooks have what the books under testdata have not: entries that are
// corrected more than once, over a change of the clocks, and corrections that are
// corrected themselves.
var correctedBooks = []struct{ name, book string }{
	{"twice", "date 2026-05-05\n10:00 Saltgarth <1 >1 <3-1 >3-1 train 2A01\n10:03 Saltgarth <2 >2\n10:05 correct 2 \"10:33 Saltgarth <2 >2\"\n10:06 correct 2 \"Saltgarth <2 >2\"\n"},
	{"clocks forward", "date 2026-03-28\n01:20 Saltgarth <1 >1 <3-1 >3-1 train 2A01\n01:40 Saltgarth <2 >2\ndate 2026-03-29\n06:00 correct 2 \"01:30 Saltgarth <2 >2\"\n"},
	{"clocks back", "date 2026-10-24\n01:20 note \"a\"\n23:50 Saltgarth <2 >2\ndate 2026-10-25\n01:30 note \"b\"\n01:10 note \"c\"\n02:00 correct 1 \"01:30 Saltgarth <2 >2\"\n02:01 correct 3 \"01:30+00:00 note \\\"late\\\"\"\n"},
	{"a correction corrected", "date 2026-05-05\n10:00 note \"a\"\n10:01 Saltgarth <2 >2\n10:02 correct 1 \"10:00 note \\\"b\\\"\"\n10:03 correct 3 \"10:02 correct 2 \\\"10:01 note \\\\\\\"c\\\\\\\"\\\"\"\n"},
	{"a correction struck out", "date 2026-05-05\n10:00 note \"a\"\n10:01 Saltgarth <2 >2\n10:02 correct 2 \"10:01 note \\\"b\\\"\"\n10:03 correct 3 \"10:02 note \\\"nothing\\\"\"\n"},
	{"explained", "date 2026-05-05\n10:00 Saltgarth <2 >2\n10:01 note \"x\"\n10:02 explain 2 \"told\"\n10:03 correct 3 \"10:02 explain 1 \\\"told\\\"\"\n10:04 correct 2 \"10:01 explain 1 \\\"and so\\\"\"\n"},
	{"late over midnight", "date 2026-05-05\n23:50 Saltgarth <1 >1 <3-1 >3-1 train 2A01\ndate 2026-05-06\n00:04 train 2A01 arrived at \"Platform 1\" complete\n00:05 Saltgarth >1 <1 >2-1 <2-1\n" +
		"date 2026-05-05\n23:55 Saltgarth <2 >2 written 2026-05-06 00:20\ndate 2026-05-06\n00:30 note \"a\"\n"},
	{"late over the clocks going back", "date 2026-10-25\n00:55 Saltgarth <1 >1 <3-1 >3-1 train 2A01\n01:10+01:00 Saltgarth <2 >2\n01:10+00:00 Saltgarth >1 <1 >2-1 <2-1\n01:05+00:00 train 2A01 arrived at \"Platform 1\" complete written 02:20\n02:30 note \"a\"\n"},
	{"late over the clocks going forward", "date 2026-03-29\n00:50 Saltgarth <1 >1 <3-1 >3-1 train 2A01\n02:05 train 2A01 arrived at \"Platform 1\" complete\n02:06 Saltgarth >1 <1 >2-1 <2-1\n00:58 Saltgarth <2 >2 written 02:10\n02:30 note \"a\"\n"},
	{"late, then corrected", "date 2026-05-05\n10:00 Saltgarth <1 >1 <3-1 >3-1 train 2A01\n10:10 train 2A01 arrived at \"Platform 1\" complete\n10:02 Saltgarth <2 >2 train 2A02 written 10:20\n10:30 correct 3 \"10:03 Saltgarth <2 >2 train 2A01\"\n10:31 note \"a\"\n"},
	{"corrected to another day", "date 2026-05-05\n23:58 note \"a\"\ndate 2026-05-06\n00:02 Saltgarth <2 >2\n00:10 note \"b\"\n00:20 correct 2 \"00:12 Saltgarth <2 >2\"\n00:30 note \"c\"\n"},
	{"a week late", "date 2026-05-05\n10:00 note \"a\"\ndate 2026-05-12\n10:00 note \"b\"\ndate 2026-05-05\n10:05 Saltgarth <2 >2 written 2026-05-12 10:01\ndate 2026-05-12\n10:10 note \"c\"\n"},
	{"a wrong date", "date 2026-05-05\n10:00 note \"a\"\ndate 2027-05-05\n10:05 note \"b\"\ndate 2026-05-05\n10:06 note \"c\"\n10:07 Saltgarth <2 >2\n10:10 note \"d\"\n"},
	{"two on a line", "date 2026-05-05\n10:00 note \"a\" ; 10:01 Saltgarth <2 >2\n10:02 explain 2 \"told\" ; 10:03 correct 2 \"10:01 note \\\"b\\\"\"\n"},
}

// lawBooks are the books that the law is held to, one half or the other of them, which is 0
// or 1, so that each is read by one of two tests. At full depth, and where more than the usual days
// are asked for (FAIRHAND_DAYS), both read all, but of those as tired hands write them, of which there
// are a thousand.
func lawBooks(t *testing.T, which int) (out []lawBook) {
	t.Helper()
	files, err := filepath.Glob("../../testdata/*/*.txtar")
	if err != nil || len(files) < 50 {
		t.Fatalf("%d books under testdata, %v", len(files), err)
	}
	for _, name := range append(files, compareFiles(t)...) {
		a, err := txtar.ParseFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range a.Files {
			if box := strings.TrimSuffix(f.Name, ".yaml"); box != f.Name {
				book := box + ".txt"
				if f.Name == "box.yaml" {
					book = "book.txt"
				}
				for _, g := range a.Files {
					if g.Name == book {
						out = append(out, lawBook{filepath.Base(name) + ":" + box, string(f.Data), string(g.Data)})
					}
				}
			}
		}
	}
	box, book := registertest.Demo(t, "../../..")
	out = append(out, lawBook{"demo", box, book})
	for _, c := range correctedBooks {
		out = append(out, lawBook{c.name, box, c.book})
	}
	out = append(out, lateBooks()...)
	out = append(out, clauseBooks(t)...)
	if each := registertest.Depth(2, 1); days() == defaultDays {
		i := 0
		out = slices.DeleteFunc(out, func(lawBook) bool { i++; return i%each != which%each })
	}
	return append(out, untidyBooks(t, which)...)
}

// untidyBooks are the books as tired hands write them: some of them, or one half or the
// other; all where more than the usual days are asked for.
func untidyBooks(t *testing.T, which int) (out []lawBook) {
	t.Helper()
	untidy, err := os.ReadFile("../../testdata/untidy.txt")
	if err != nil {
		t.Fatal(err)
	}
	examined, err := os.ReadFile("../../testdata/examined.txt")
	if err != nil {
		t.Fatal(err)
	}
	for i, b := range append(strings.Split(string(untidy), "\n=== ")[1:], strings.Split(string(examined), "\n=== ")[1:]...) {
		head, body, _ := strings.Cut(b, "\n")
		part := strings.Split(head, " | ")
		box, zone, _ := strings.Cut(part[1], " in ")
		yaml, err := os.ReadFile(filepath.Join("../../../block/testdata/clauses/boxes", box+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		if ofClocks(body) || bytes.Contains(yaml, []byte("\npins:")) {
			continue // the program itself asks about its clock; and who signs on first has no PIN yet in a register that is new, and may have one in a book
		}
		if zone != "" {
			yaml = append([]byte("timezone: "+zone+"\n"), yaml...)
		}
		if !strings.HasPrefix(body, "date ") {
			body = "date 2026-05-05\n" + body
		}
		if each := registertest.Depth(32, 2); i%each == which || days() != defaultDays {
			out = append(out, lawBook{"untidy:" + part[0], string(yaml), body})
		}
	}
	return out
}

// ofClocks says whether a book tells that the computer's clock was asked about or set: the
// program writes that itself.
func ofClocks(book string) bool {
	return strings.Contains(book, " clock confirmed ") || strings.Contains(book, " clock set\n")
}

// lateBooks are legal days with entries that are written late, of each kind in each
// method, and with wrong minutes; also over midnight and over both changes of the
// clocks.
func lateBooks() (out []lawBook) {
	for n, o := range slipBoxes {
		if o.Last = 10; o.Night {
			o.Last = 15
		}
		d := legalday.Make(o)
		for k, s := range legalday.Slips() {
			if s.Name == "left out" || s.Name == "no name" || s.Name == "misspelt" || (n+k)%registertest.Depth(3, 1) > 0 {
				continue
			}
			rng := rand.New(rand.NewPCG(uint64(n), uint64(k)))
			book, tried := d, map[string]bool{}
			for i := 0; i < len(book.Acts); i++ {
				a := book.Acts[i]
				key := fmt.Sprint(a.Kind, a.Section)
				if tried[key] || a.Written != 0 || rng.IntN(4) > 0 {
					continue
				}
				if spoilt, _, ok := s.On(book, i, rng); ok {
					book, tried[key] = spoilt, true
				}
			}
			out = append(out, lawBook{fmt.Sprintf("%s in box %d", s.Name, n), d.BoxFile, book.Book()})
		}
	}
	return out
}

func compareFiles(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("../../compare/testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no pairs of books", err)
	}
	return files
}

// clauseDays is how many clauses one book of them has at most. Each day of a register is
// read anew, so that a book of all of a box costs the square of them.
var clauseDays = registertest.Depth(20, 1000)

// clauseBooks are the books of the clauses, those of one box after another, each on a
// day of its own: long books with every slip there is.
func clauseBooks(t *testing.T) (out []lawBook) {
	t.Helper()
	texts, days := map[string][]string{}, map[string]int{}
	files, err := filepath.Glob("../../../block/testdata/clauses/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no clauses", err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		box, fresh := "", true
		for in := bufio.NewScanner(bytes.NewReader(data)); in.Scan(); {
			line := strings.Replace(in.Text(), " "+block.ByPIN, "", 1)
			switch {
			case strings.HasPrefix(line, "===") || line == "---":
				fresh = true
			case strings.Contains(line, " pin set ") || strings.Contains(line, " pin reset "): // which an import does not believe
			case line == "" || strings.HasPrefix(line, "#") || strings.HasPrefix(line, "not decided: "):
			case strings.HasPrefix(line, "box ") && !strings.Contains(line, ":"):
				box, fresh = strings.Fields(line)[1], true
			default:
				if fresh && days[box]%clauseDays == 0 {
					texts[box] = append(texts[box], "")
				}
				text := &texts[box][len(texts[box])-1]
				if fresh {
					*text += fmt.Sprintf("date 2026-%02d-%02d\n", 3+days[box]/28, 1+days[box]%28)
					days[box]++
					fresh = false
				}
				*text += line + "\n"
			}
		}
	}
	for _, box := range slices.Sorted(maps.Keys(texts)) {
		yaml, err := os.ReadFile(filepath.Join("../../../block/testdata/clauses/boxes", box+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		for i, text := range texts[box] {
			out = append(out, lawBook{fmt.Sprintf("clauses:%s:%d", box, i), string(yaml), text})
		}
	}
	return out
}
