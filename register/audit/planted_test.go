package audit

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/registertest/busy"
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
07:55 Saltgarth >1 <1 >16 <16
07:56 correct 7 "06:40 note \"lamps lit late\" written 06:50"
08:30 duty on "R. Howe"
07:56 note "copied from a slip" written 08:31
08:04 note "copied from a slip" written 08:31
08:12 note "copied from a slip" written 08:32
08:40 visit "R. Garth"
08:45 sign "R. Garth" "seen"
09:00 Saltgarth <1 >1 <3-1 >3-1 train 2P09
09:02 Saltgarth <2 >2
09:05 note "2P09 at the home signal"
09:06 correct 20 "09:05 note \"2P09 at the Up Home\""
09:07 explain 13 "from the slip that A. Fell left"
date 2026-03-03
00:20 train 2P09 arrived at "Platform 1" complete
00:21 Saltgarth >1 <1 >2-1 <2-1
09:00 clock slow 3
10:00 duty on "R. Howe"
10:05 note "again"
10:03 note "out of order"
`

func TestPlantedFaults(t *testing.T) {
	file := decodeBox(t, testBox)
	r := auditBook(t, file, plantedBook, Options{})
	k := r.Keeping
	var late []int64
	for _, b := range k.Late {
		late = append(late, b.Count)
	}
	// Over 1 minute: 6 by 3; over 5: 7 by 10; over 15: 13, 14 and 15 by 20 to 35; 8 by 60.
	if diff := cmp.Diff([]int64{1, 1, 4, 0, 0}, late); diff != "" {
		t.Errorf("late entries by how late (-want +got):\n%s", diff)
	}
	if len(k.Batches) != 1 || k.Batches[0].First != 13 || k.Batches[0].Last != 15 || k.Batches[0].Entries != 3 || k.Batches[0].Turn != "R. Howe" {
		t.Errorf("batches %+v, want entries 13 to 15", k.Batches)
	}
	want := []Correction{{11, k.Corrections[0].At, "", 7, `06:40 note "lamps lit" written 06:50`, `06:40 note "lamps lit late" written 06:50`},
		{21, k.Corrections[1].At, "R. Howe", 20, `09:05 note "2P09 at the home signal"`, `09:05 note "2P09 at the Up Home"`}}
	if diff := cmp.Diff(want, k.Corrections, cmp.Comparer(func(a, b *time.Location) bool { return a == b })); diff != "" || k.CorrectionCount != 2 {
		t.Errorf("corrections (-want +got):\n%s", diff)
	}
	if k.BeforeDuty != 3 || k.TurnsWithoutSignOn != 1 || k.TurnsWithoutSignOff != 1 || r.TurnCount != 4 {
		t.Errorf("before duty %d, turns without on %d, off %d, of %d; want 3, 1, 1, 4", k.BeforeDuty, k.TurnsWithoutSignOn, k.TurnsWithoutSignOff, r.TurnCount)
	}
	if k.OutOfOrder != 1 || k.NobodyOnDuty != 1 || k.Unsigned != 1 {
		t.Errorf("out of order %d, nobody on duty %d, corrections unsigned %d; want one of each", k.OutOfOrder, k.NobodyOnDuty, k.Unsigned)
	}
	if k.ClockChecks != 1 || k.ClockWorst != -3 || cmp.Diff([]string{"2026-03-02"}, k.ClockMissing) != "" {
		t.Errorf("clock: %d checks, worst %d, missing on %v", k.ClockChecks, k.ClockWorst, k.ClockMissing)
	}
	if len(k.DayEnds) != 2 || k.DayEnds[0].Day != "2026-03-02" || len(k.DayEnds[0].Rows) != 2 || k.DayEnds[0].Rows[1].Train != "2P09" {
		t.Errorf("open at the end of days: %+v, want 2P06 at the platform and 2P09 in section on 2 March", k.DayEnds)
	}
	if k.SignatureCount != 1 || k.Signatures[0].Role != "inspector" || k.Signatures[0].Entry != 17 || k.Visits != 1 || k.UnsignedDays != 1 {
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
	want := []string{"A. Fell 06:00 07:50", "07:55 07:56", "R. Howe 08:30 09:00", "R. Howe 10:00 10:05"}
	if diff := cmp.Diff(want, turns); diff != "" {
		t.Errorf("turns (-want +got):\n%s", diff)
	}
	for _, rule := range r.Rules {
		switch rule.Rule {
		case "entry-late":
			// Entry 13 is explained by 22; 6 is late by 3 minutes and within no one's limit but the rule's 2.
			if rule.Count != 6 || rule.Unexplained != 5 || rule.Details[0].Entry != 6 || rule.Details[5].Entry != 13 {
				t.Errorf("entry-late: %+v", rule)
			}
			if m := rule.Details[5].Remarks; len(m) != 1 || m[0].Entry != 22 || m[0].Text != "from the slip that A. Fell left" {
				t.Errorf("remark on entry 13: %+v", m)
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
		book += strings.ReplaceAll(busy.Hour, "%02[1]d", "0"+string(rune('0'+h)))
	}
	at := func(h, m int) int { return (h*60 + m) * 60 }
	tt := Booked([]register.Booked{{Train: "2P06", Arrive: at(6, 1), Depart: at(6, 8)}, {Train: "2P07", Arrive: at(7, 7), Depart: register.NotBooked},
		{Train: "2C06", Arrive: at(6, 31), Depart: at(6, 31)}}, time.UTC)
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

// TestHeldFromAcceptance counts line clear from its being given, not from the
// offer: here the answer comes two minutes after the offer.
func TestHeldFromAcceptance(t *testing.T) {
	r := auditBook(t, decodeBox(t, testBox), `date 2026-03-02
06:00 Saltgarth <1 >1 <3-1 train 2P06
06:02 Saltgarth >3-1
06:05 Saltgarth <2 >2
06:09 train 2P06 arrived at "Platform 1" complete
`, Options{})
	f := flowOf(t, r, "Saltgarth", "from")
	if f.Held.Count != 1 || f.Held.Median != 3*minute || f.Classes[0].Running.Median != 4*minute {
		t.Errorf("held %+v, running %+v; want 3 and 4 minutes", f.Held, f.Classes)
	}
}

// TestTranscription counts copied entries and does not call them late for being
// written into the register long after: only what the source says was late is, and what is
// written below the copy.
func TestTranscription(t *testing.T) {
	b := newRegister(t, testBox)
	must(b.Import(t.Context(), strings.NewReader(`date 2026-03-02
05:59 duty on "A. Fell"
06:00 note "lamps trimmed"
06:10 note "lamps lit" written 06:30
06:30 duty off "A. Fell"
`), register.ImportOptions{Transcription: "paper book 12"}))(t)
	ended := block.Event{Kind: block.Note, At: block.Time(time.Date(2026, 3, 2, 23, 0, 0, 0, time.UTC).Unix()), Written: b.Now(), Text: "of the register itself"}
	must(b.Log(ended))(t)
	r := auditRegister(t, b, Options{})
	if len(r.People) != 2 || len(r.Turns) != 2 || r.Turns[1].Entries != 1 {
		t.Errorf("%d people, turns %+v: that a copy begins and ends is of nobody's turn", len(r.People), r.Turns)
	}
	k := r.Keeping
	if k.Transcribed != 6 || k.Late[2].Count != 1 || k.Late[4].Count != 1 || k.BatchCount != 0 {
		t.Errorf("transcribed %d, late %v, batches %v", k.Transcribed, k.Late, k.Batches)
	}
}

// TestLateEntryOfTheDayBefore audits a day with an entry that was written among
// those of the next: it counts, those around it do not, and what the day left
// undone is found by what follows.
func TestLateEntryOfTheDayBefore(t *testing.T) {
	book := `date 2026-03-02
23:00 Saltgarth <1 >1 <3-1 >3-1 train 2P23
23:02 Saltgarth <2 >2
date 2026-03-03
00:05 note "out of order, and not of the day" written 00:50
00:51 note "x" written 01:51
date 2026-03-02
23:06 note "of the day before" written 00:55
date 2026-03-03
03:00 note "2P23 not seen"
03:01 note "x" written 04:01
`
	r := auditBook(t, decodeBox(t, testBox), book, Options{From: 20260302, To: 20260302})
	got := map[string]string{}
	for _, x := range r.Rules {
		for _, d := range x.Details {
			got[x.Rule] += " " + strings.TrimSpace(d.At.Clock())
		}
	}
	if r.Extent.Entries != 3 || got["entry-late"] != " 23:06" || !strings.HasPrefix(got["train-overdue"], " 23:02") {
		t.Errorf("%d entries, findings %v; want the late entry of 23:06 and the train overdue from 23:02", r.Extent.Entries, got)
	}
	// The same train, and nothing after it but an entry of the next day.
	book = "date 2026-03-02\n23:00 Saltgarth <1 >1 <3-1 >3-1 train 2P23\n23:02 Saltgarth <2 >2\ndate 2026-03-03\n03:00 note \"not seen\"\n"
	r = auditBook(t, decodeBox(t, testBox), book, Options{From: 20260302, To: 20260302})
	if len(r.Rules) != 1 || r.Rules[0].Rule != "train-overdue" || r.Rules[0].Count < 1 || r.Extent.Replayed != 3 {
		t.Errorf("%d entries replayed, %+v; want the train overdue", r.Extent.Replayed, r.Rules)
	}
}
