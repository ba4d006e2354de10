package audit

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
)

// plantedBook has one of each fault of keeping, on two days; entries are numbered
// from 1. The batch follows Quintinshill (1915): entries of an hour copied in
// together by the relief, who came late.
const plantedBook = `date 2026-03-02
06:00 duty on "A. Fell"
06:02 Saltgarth <1 >1 <3-1 >3-1 train 2P06
06:04 Saltgarth <2 >2
06:08 train 2P06 arrived at "Platform 1" complete
06:09 Saltgarth >1 <1 >2-1 <2-1
06:30 note "lamps trimmed" written 06:33
06:40 note "lamps lit" written 06:50
06:45 note "coal" written 07:45
07:50 duty off "A. Fell"
07:55 note "nobody here"
08:30 duty on "R. Howe"
07:56 note "copied from a slip" written 08:31
08:04 note "copied from a slip" written 08:31
08:12 note "copied from a slip" written 08:32
08:40 visit "R. Garth"
08:45 sign "R. Garth" "seen"
09:00 Saltgarth <1 >1 <3-1 >3-1 train 2P09
09:02 Saltgarth <2 >2
09:05 note "2P09 at the home signal"
09:06 correct 19 "09:05 note \"2P09 at the Up Home\""
09:07 explain 12 "from the slip that A. Fell left"
date 2026-03-03
00:20 train 2P09 arrived at "Platform 1" complete
00:21 Saltgarth >1 <1 >2-1 <2-1
09:00 clock slow 3
10:00 duty on "R. Howe"
10:05 note "again"
`

func TestPlantedFaults(t *testing.T) {
	file := decodeBox(t, testBox)
	r := auditBook(t, file, plantedBook, Options{})
	k := r.Keeping
	var late []int64
	for _, b := range k.Late {
		late = append(late, b.Count)
	}
	// Over 1 minute: 6 by 3; over 5: 7 by 10; over 15: 13, 14 and 12 by 20 to 35; 8 by 60.
	if diff := cmp.Diff([]int64{1, 1, 4, 0, 0}, late); diff != "" {
		t.Errorf("late entries by how late (-want +got):\n%s", diff)
	}
	if len(k.Batches) != 1 || k.Batches[0].First != 12 || k.Batches[0].Last != 14 || k.Batches[0].Entries != 3 || k.Batches[0].Turn != "R. Howe" {
		t.Errorf("batches %+v, want entries 12 to 14", k.Batches)
	}
	want := []Correction{{20, k.Corrections[0].At, "R. Howe", 19, `09:05 note "2P09 at the home signal"`, `09:05 note "2P09 at the Up Home"`}}
	if diff := cmp.Diff(want, k.Corrections, cmp.Comparer(func(a, b *time.Location) bool { return a == b })); diff != "" || k.CorrectionCount != 1 {
		t.Errorf("corrections (-want +got):\n%s", diff)
	}
	if k.BeforeDuty != 3 || k.TurnsWithoutSignOn != 1 || k.TurnsWithoutSignOff != 1 || r.TurnCount != 4 {
		t.Errorf("before duty %d, turns without on %d, off %d, of %d; want 3, 1, 1, 4", k.BeforeDuty, k.TurnsWithoutSignOn, k.TurnsWithoutSignOff, r.TurnCount)
	}
	if k.ClockChecks != 1 || k.ClockWorst != -3 || cmp.Diff([]string{"2026-03-02"}, k.ClockMissing) != "" {
		t.Errorf("clock: %d checks, worst %d, missing on %v", k.ClockChecks, k.ClockWorst, k.ClockMissing)
	}
	if len(k.DayEnds) != 2 || k.DayEnds[0].Day != "2026-03-02" || len(k.DayEnds[0].Rows) != 2 || k.DayEnds[0].Rows[1].Train != "2P09" {
		t.Errorf("open at the end of days: %+v, want 2P06 at the platform and 2P09 in section on 2 March", k.DayEnds)
	}
	if k.SignatureCount != 1 || k.Signatures[0].Role != "inspector" || k.Signatures[0].Entry != 16 || k.Visits != 1 || k.UnsignedDays != 1 {
		t.Errorf("signatures %+v, visits %d, days without %d", k.Signatures, k.Visits, k.UnsignedDays)
	}
	plantedTurns(t, r)
}

func plantedTurns(t *testing.T, r *Report) {
	t.Helper()
	var turns []string
	for _, x := range r.Turns {
		turns = append(turns, strings.TrimSpace(x.Name+" "+x.From.Clock()+" "+x.To.Clock()))
	}
	// The first turn of R. Howe has no signing off: it ends with its last entry.
	want := []string{"A. Fell 06:00 07:50", "07:55 07:55", "R. Howe 08:30 09:00", "R. Howe 10:00 10:05"}
	if diff := cmp.Diff(want, turns); diff != "" {
		t.Errorf("turns (-want +got):\n%s", diff)
	}
	for _, rule := range r.Rules {
		switch rule.Rule {
		case "entry-late":
			// Entry 12 is explained by 21; 6 is late by 3 minutes and within no one's limit but the rule's 2.
			if rule.Count != 6 || rule.Unexplained != 5 || rule.Details[0].Entry != 6 || rule.Details[5].Entry != 12 {
				t.Errorf("entry-late: %+v", rule)
			}
			if m := rule.Details[5].Remarks; len(m) != 1 || m[0].Entry != 21 || m[0].Text != "from the slip that A. Fell left" {
				t.Errorf("remark on entry 12: %+v", m)
			}
		case "entry-before-duty":
			if rule.Count != 3 || rule.Unexplained != 2 {
				t.Errorf("entry-before-duty: %+v", rule)
			}
		}
	}
}

// TestDetailsAreBounded keeps few details, those nobody explained, and counts the
// rest.
func TestDetailsAreBounded(t *testing.T) {
	r := auditBook(t, decodeBox(t, testBox), plantedBook, Options{Details: 2, Turns: 1})
	for _, rule := range r.Rules {
		if int64(len(rule.Details))+rule.Beyond != rule.Count || len(rule.Details) > 2 {
			t.Errorf("%s: %d details and %d more of %d", rule.Rule, len(rule.Details), rule.Beyond, rule.Count)
		}
		if rule.Rule == "entry-before-duty" && (len(rule.Details[0].Remarks)+len(rule.Details[1].Remarks) != 0) {
			t.Errorf("an explained finding kept in place of one unexplained: %+v", rule.Details)
		}
	}
	if len(r.Turns) != 1 || r.TurnCount != 4 {
		t.Errorf("%d turns kept of %d", len(r.Turns), r.TurnCount)
	}
	if r.Turns[0].Name != "R. Howe" || r.Turns[0].From.Clock() != "08:30" {
		t.Errorf("the turn with most to explain is that of R. Howe, got %+v", r.Turns[0])
	}
}

// TestLateness compares with booked times given by a timetable.
func TestLateness(t *testing.T) {
	book := "date 2026-01-05\n" // winter: local time is UTC
	for h := 6; h < 8; h++ {
		book += strings.ReplaceAll(hourOfTrains, "%02[1]d", "0"+string(rune('0'+h)))
	}
	at := func(h, m block.Time) block.Time { return (h*60 + m) * block.Minute }
	tt := table{"2P06": {at(6, 1), at(6, 8)}, "2P07": {at(7, 7), 0}, "2C06": {at(6, 31), at(6, 31)}}
	r := auditBook(t, decodeBox(t, testBox), book, Options{Timetable: tt})
	if len(r.Figures.Lateness) != 1 {
		t.Fatalf("lateness %+v", r.Figures.Lateness)
	}
	l := r.Figures.Lateness[0]
	// Arrivals 06:06 (5 late), 07:06 (1 early), 06:31 (right time); departures
	// 06:08 (right time) and 06:33 (2 late). 2C07 and the departure of 2P07 are not booked.
	if l.Arrive.Count != 3 || l.Arrive.Shortest != -minute || l.Arrive.Median != 0 || l.Arrive.Longest != 5*minute {
		t.Errorf("arrivals %+v", l.Arrive)
	}
	if l.Depart.Count != 2 || l.Depart.Median != 0 || l.Depart.Longest != 2*minute || l.Unknown != 3 {
		t.Errorf("departures %+v, unknown %d", l.Depart, l.Unknown)
	}
}
