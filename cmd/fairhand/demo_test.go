package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
)

// opens is the line of the demo book at which the desk of the demo opens: what
// stands after it is how the day went on.
const opens = "# --- the desk opens here ---"

// demoFindings is all that is to be found in the demo day: the line it is
// raised on, the rule, and whether the signaller explained it. Everything else
// in the book is regular.
var demoFindings = []string{
	`07:24 Saltgarth <3-1 >3-1 train 2A05 | call-attention-omitted | explained`,
	`09:18 crossing "Mill Lane" may cross | crossing-call-incomplete | not explained`,
	`09:33 Coldbeck token 4 out | token-low-stock | not explained`,
	`09:41 failure "Down Distant" "lamp out, reported by the driver of 2A13" written 10:05 | entry-late | not explained`,
	`10:01 Coldbeck >1 <1 >2-1 <2-1 | out-of-section-tail-lamp-not-seen | explained`,
	opens,
	`12:44 Saltgarth >2 <2 | entering-not-sent | not explained`,
	`15:16 Saltgarth >1 <1 >3-1 train 2A30 | offered-before-out-of-section | explained`,
	`18:02 train 6K35 departed for Coldbeck | train-overdue | explained`,
}

// demoDay is the demo as read, with what the checker finds in it.
type demoDay struct {
	file   *boxfile.File
	text   []byte
	lines  []string
	events []block.Event
	mark   int // line of opens, from 1
}

func readDemo(t *testing.T) *demoDay {
	t.Helper()
	file, err := boxfile.Load("demo/box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("demo/book.txt")
	if err != nil {
		t.Fatal(err)
	}
	d := &demoDay{file: file, text: text, lines: strings.Split(string(text), "\n")}
	for i, line := range d.lines {
		if line == opens {
			if d.mark != 0 {
				t.Fatalf("lines %d and %d: the desk opens twice", d.mark, i+1)
			}
			d.mark = i + 1
		}
	}
	if d.mark == 0 {
		t.Fatalf("no line %q", opens)
	}
	if d.events, err = notation.ParseAll(bytes.NewReader(text), file.Location); err != nil {
		t.Fatal(err)
	}
	return d
}

// soFar is the book up to where the desk opens.
func (d *demoDay) soFar() []byte {
	return []byte(strings.Join(d.lines[:d.mark-1], "\n") + "\n")
}

func (d *demoDay) check(t *testing.T, text []byte) ([]block.Finding, register.Checked) {
	t.Helper()
	var found []block.Finding
	sum, err := register.Check(t.Context(), d.file.Box, d.file.Location, bytes.NewReader(text), func(f block.Finding) error {
		if f.Answered == 0 {
			found = append(found, f)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found, sum
}

// explained are the lines whose entry the book explains. The number in an
// explanation is that of the entry, counted from 1.
func (d *demoDay) explained() map[int64]bool {
	lines := map[int64]bool{}
	for _, e := range d.events {
		if e.Kind == block.Explain {
			lines[d.events[e.Target-1].Seq] = true
		}
	}
	return lines
}

// story is findings as the golden list has them.
func (d *demoDay) story(found []block.Finding) []string {
	explained, story := d.explained(), []string{}
	for _, f := range found {
		word := "not explained"
		if explained[f.Seq] {
			word = "explained"
		}
		story = append(story, fmt.Sprintf("%s | %s | %s", d.lines[f.Seq-1], f.Rule, word))
	}
	return story
}

func TestDemoDayFindings(t *testing.T) {
	d := readDemo(t)
	found, _ := d.check(t, d.text)
	cut := 0
	rules := map[rulebook.RuleID]bool{}
	for _, f := range found {
		if int(f.Seq) < d.mark {
			cut++
		}
		if f.Severity != rulebook.Advice {
			rules[f.Rule] = true
		}
	}
	story := d.story(found)
	got := append(append(append([]string{}, story[:cut]...), opens), story[cut:]...)
	if diff := cmp.Diff(demoFindings, got); diff != "" {
		t.Errorf("findings of the day (-want +got):\n%s", diff)
	}
	if len(rules) < 4 {
		t.Errorf("%d kinds of irregularity, want at least four: %v", len(rules), rules)
	}
	for line := range d.explained() {
		raised := false
		for _, f := range found {
			raised = raised || f.Seq == line
		}
		if !raised {
			t.Errorf("line %d is explained and nothing was found about it: %s", line, d.lines[line-1])
		}
	}
}

func TestDemoDayHalves(t *testing.T) {
	d := readDemo(t)
	found, sum := d.check(t, d.soFar())
	whole, _ := d.check(t, d.text)
	before := []block.Finding{}
	for _, f := range whole {
		if int(f.Seq) < d.mark {
			before = append(before, f)
		}
	}
	if diff := cmp.Diff(d.story(before), d.story(found)); diff != "" {
		t.Errorf("the half day before the desk opens (-in the whole day +alone):\n%s", diff)
	}
	irregular := 0
	for _, f := range found {
		if f.Severity != rulebook.Advice {
			irregular++
		}
	}
	if irregular < 2 || len(whole)-len(before) < 2 {
		t.Errorf("%d irregularities before the desk opens and %d findings after, want two of each at least", irregular, len(whole)-len(before))
	}

	trains := map[string]string{}
	for _, tr := range sum.State.Trains {
		trains[tr.Name] = block.Whereabouts(d.file.Box, tr)
	}
	want := map[string]string{
		"2A12": "in section from Coldbeck",
		"2R14": "in section to Saltgarth",
		"6K17": "at Platform 2",
	}
	if diff := cmp.Diff(want, trains); diff != "" {
		t.Errorf("trains on hand where the desk opens (-want +got):\n%s", diff)
	}
}

// TestDemoDayEnds checks what a day leaves behind: nothing on hand, and tokens
// that add up to the charge.
func TestDemoDayEnds(t *testing.T) {
	d := readDemo(t)
	_, sum := d.check(t, d.text)
	s := &sum.State
	if len(s.Trains)+len(s.Pending)+len(s.Gear)+len(s.Reminders)+len(s.Blockages)+len(s.Posts)+len(s.OnDuty) > 0 || s.Status != block.StatusClosed || s.Fog {
		t.Errorf("left at the end of the day: trains %d, pending %v, gear %v, reminders %v, blockages %v, posts %v, on duty %v, %v, fog %v",
			len(s.Trains), s.Pending, s.Gear, s.Reminders, s.Blockages, s.Posts, s.OnDuty, s.Status, s.Fog)
	}
	charge := len(d.file.Box.Sections[0].Tokens.Charge)
	if n := s.Tokens[0].Count(block.TokenHere) + s.Tokens[0].Count(block.TokenAway); n != charge {
		t.Errorf("%d tokens in the two instruments at the end of the day, want the charge of %d", n, charge)
	}
}

// TestDemoTimetable checks that the timetable and the day have the same trains,
// with the same descriptions; only the special light engine is not in it.
func TestDemoTimetable(t *testing.T) {
	d := readDemo(t)
	text, err := os.ReadFile("demo/" + d.file.Timetable)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"train", "beats", "from", "to", "arrive", "depart", "place"}, rows[0]); diff != "" {
		t.Errorf("columns (-want +got):\n%s", diff)
	}
	booked := map[string]string{}
	for _, r := range rows[1:] {
		if r[2]+r[3] == "" || r[4]+r[5] == "" {
			t.Errorf("%v: a train comes from somewhere or goes somewhere, at some time", r)
		}
		if d.file.Box.PlaceNamed(r[6]) == nil {
			t.Errorf("%s: %q is no place of the box", r[0], r[6])
		}
		booked[r[0]] = r[1]
	}
	ran := map[string]string{}
	ways := map[string]int{}
	for _, e := range d.events {
		if e.Kind != block.Bells || e.Train == "" {
			continue
		}
		for _, c := range d.file.Box.CodeBook(d.file.Box.SectionIndex(e.Section)) {
			if last := e.Bells[len(e.Bells)-1]; c.Code == last.Code && c.Means == rulebook.Offer {
				if ran[e.Train] == "" {
					ways[e.Section]++
				}
				ran[e.Train] = string(c.Code)
			}
		}
	}
	if len(ran) < 20 || ways["Coldbeck"] < 10 || ways["Saltgarth"] < 10 {
		t.Errorf("%d trains, first known from %v; want twenty or more, and ten from each side", len(ran), ways)
	}
	delete(ran, "0Z26")
	if diff := cmp.Diff(booked, ran); diff != "" {
		t.Errorf("trains and their descriptions (-timetable +day):\n%s", diff)
	}
}

// TestDemoRegister takes the half day into a register, where the numbers that
// entries refer to become those of the register, and finds the same.
func TestDemoRegister(t *testing.T) {
	d := readDemo(t)
	dir := t.TempDir()
	yaml, err := os.ReadFile("demo/box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, register.BoxFileName), yaml, 0o644); err != nil {
		t.Fatal(err)
	}
	begins := time.Unix(int64(d.events[0].At), 0)
	book, err := register.Create(dir, register.Options{Now: func() time.Time { return begins }})
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	in, err := book.Import(t.Context(), bytes.NewReader(d.soFar()), register.ImportOptions{AsWritten: true})
	if err != nil {
		t.Fatal(err)
	}
	found, sum := d.check(t, d.soFar())
	if n := int(in.Last - in.First + 1); n != sum.Entries {
		t.Errorf("%d entries in the register, %d in the book", n, sum.Entries)
	}
	var got []string
	for _, f := range in.Findings {
		line := d.events[f.Seq-in.First].Seq
		f.Seq = line
		got = append(got, d.story([]block.Finding{f})...)
	}
	if diff := cmp.Diff(d.story(found), got); diff != "" {
		t.Errorf("findings (-book +register):\n%s", diff)
	}
}

// Windows prints by the verb of whatever opens the file; a quote in its name is doubled.
func TestPrinterLine(t *testing.T) {
	line := printerLine("windows", `C:\it's\page.pdf`)
	if want := `Start-Process -Wait -Verb Print -FilePath 'C:\it''s\page.pdf'`; line[len(line)-1] != want {
		t.Errorf("got %q, want %q", line, want)
	}
	if line := printerLine("linux", "page.pdf"); line[0] != "lp" || line[len(line)-1] != "page.pdf" {
		t.Errorf("got %q", line)
	}
}
