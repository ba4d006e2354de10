package register

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/block/rulebook"
	"fairhand/register/measure"
	"fairhand/register/sheet"
)

// newBook makes an empty register of the box in benchBox whose clock stands at
// the moment given and is moved by the test.
func newBook(t *testing.T, at string) (*Book, *time.Time) {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, BoxFileName), []byte(benchBox), 0o600); err != nil {
		t.Fatal(err)
	}
	loc, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	now, err := time.ParseInLocation("2006-01-02 15:04", at, loc)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Create(dir, Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b, &now
}

// logLine writes what a line says, as it is typed at the desk.
func logLine(b *Book, line string) error {
	events, err := b.Parse(line)
	for i := 0; err == nil && i < len(events); i++ {
		_, err = b.Log(events[i])
	}
	return err
}

func logAll(t *testing.T, b *Book, now *time.Time, lines ...string) {
	t.Helper()
	for _, line := range lines {
		if err := logLine(b, line); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		*now = now.Add(time.Minute)
	}
}

// TestHandoverSheetTellsWhatIsLive: the relief must learn what is in section,
// which tokens are out, what is blocked and what awaits an answer (TS1 1.3 as
// in signaller study cards).
func TestHandoverSheetTellsWhatIsLive(t *testing.T) {
	b, now := newBook(t, "2026-05-05 13:40")
	logAll(t, b, now,
		`duty on "A. Fell"`,
		`clock slow 1`,
		`Saltgarth <1 >1 <3-1 >3-1 train 2A01`,
		`Saltgarth <2 >2`,
		`Coldbeck >1 <1 >4-1 <4-1 train 6K02`,
		`Coldbeck token 2 out`,
		`reminder on "Lever 5" "6K02 waits"`,
		`message from Control "Is 6K02 ready?"`,
		`failure "Lamp 7" "out"`,
		`Saltgarth >2-1 <2-1 train 2A01`,
	)
	told := b.Handover([]ExpectedTrain{{b.Now(), "2A03 from Saltgarth"}})
	text := ""
	for _, l := range told.Document().Plain(sheet.PlainWidth) {
		text += l.Text + "\n"
	}
	for _, want := range []string{
		"On duty: A. Fell",
		"[ ] 2A01: in section from Saltgarth",
		"[ ] 6K02: here, accepted by Coldbeck",
		"[ ] token 2 of the section to Coldbeck is out",
		"[ ] reminder on Lever 5: 6K02 waits",
		"[ ] message with Control awaits an answer: Is 6K02 ready?",
		"[ ] Lamp 7: failed (out)",
		"Coldbeck: 5 here, 6 at the other end of 12, token 2 out",
		"clock 1 minutes slow",
		"call attention", // found and not explained
		"2A03 from Saltgarth",
		"Last entry 10 ",
		strings.Join(measure.Wrap(Caution, sheet.PlainWidth, sheet.PlainWidth), "\n"),
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, text)
		}
	}
}

// TestHandoverSheetTellsTheRest: what stands of the sections, tokens, clock and box beside
// trains is told in its words.
func TestHandoverSheetTellsTheRest(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{`Coldbeck working by pilot "T. Hale"`, "Coldbeck: worked by pilot, T. Hale"},
		{`Saltgarth >1 <1 >3-3-2 <3-3-2 train 6F02`, "Saltgarth, Up Main: shunting into section, 6F02"},
		{`Saltgarth <1 >1 <3-1 >3-1 train 2A03`, "Saltgarth, Down Main: line clear, 2A03 to come"},
		{`Saltgarth working by pilot "T. Hale" over "Up Main" form 3`, "Saltgarth: single line working over Up Main"},
		{`Saltgarth <1 >1 <7-5-5 >7-5-5`, "Saltgarth has closed"},
		{`Coldbeck token 5 lost`, "token 5 lost"},
		{`clock fast 2`, "clock 2 minutes fast at the check of 5 May 13:4"},
		{`fog on`, "fog or falling snow"},
		{`posted "L. Barr" at "Down Distant"`, "L. Barr posted at Down Distant (entry 2)"},
	} {
		b, now := newBook(t, "2026-05-05 13:40")
		logAll(t, b, now, `duty on "A. Fell"`, c.line)
		told, text := b.Handover(nil), ""
		for _, l := range told.Document().Plain(sheet.PlainWidth) {
			text += l.Text + "\n"
		}
		if !strings.Contains(text, c.want) {
			t.Errorf("after %s the sheet lacks %q:\n%s", c.line, c.want, text)
		}
	}
}

// TestHandoverSheetTellsWhatIsLate: a train that was found overdue, and is to be told of once
// more, is not told as one that is due yet.
func TestHandoverSheetTellsWhatIsLate(t *testing.T) {
	b, now := newBook(t, "2026-05-05 13:40")
	logAll(t, b, now, `duty on "A. Fell"`, `Saltgarth >1 <1 >3-1 <3-1 train 2A03`, `Saltgarth >2 <2 train 2A03`)
	for _, want := range []string{"by 14:02", "LATE already, again by 14:"} {
		text := ""
		for _, p := range b.Handover(nil).Parts {
			for _, it := range p.Items {
				text += it.Text + "\n"
			}
		}
		if !strings.Contains("\n"+text, "\n"+want) {
			t.Errorf("the sheet lacks %q:\n%s", want, text)
		}
		*now = now.Add(25 * time.Minute)
		logAll(t, b, now, `note "asked Saltgarth"`)
	}
}

// TestHandoverSheetDatesWhatWasFound: what was found on another day stands with its date, and
// its entry is named once.
func TestHandoverSheetDatesWhatWasFound(t *testing.T) {
	b, now := newBook(t, "2026-05-05 13:40")
	logAll(t, b, now, `duty on "A. Fell"`, `Saltgarth >2-1 <2-1 train 2A01`)
	*now = now.Add(24 * time.Hour)
	text := ""
	told := b.Handover(nil)
	for _, l := range told.Document().Plain(200) {
		text += l.Text + "\n"
	}
	if !strings.Contains(text, "entry 2 at 5 May 13:4") || strings.Contains(text, "(entry 2)") {
		t.Error(text)
	}
}

// TestSignedOverTurnRaisesNothing: every live item carried, the relief signs on,
// and nothing is found; one left out is found after ten minutes.
func TestSignedOverTurnRaisesNothing(t *testing.T) {
	for _, leave := range []bool{false, true} {
		b, now := newBook(t, "2026-05-05 13:50")
		logAll(t, b, now, `duty on "A. Fell"`, `Saltgarth <1 >1 <3-1 >3-1 train 2A01`, `Saltgarth <2 >2`)
		for i, it := range b.Handover(nil).Parts[0].Items {
			if leave && i == 0 {
				continue
			}
			logAll(t, b, now, `carried "`+it.Name+`"`)
		}
		logAll(t, b, now, `duty on "R. Howe"`, `duty off "A. Fell"`, `train 2A01 arrived complete`, `Saltgarth >1 <1 >2-1 <2-1`)
		*now = now.Add(15 * time.Minute)
		logAll(t, b, now, `note "later"`)
		found := map[string]bool{}
		for _, e := range b.Recent() {
			for _, f := range e.Findings {
				found[string(f.Rule)] = true
			}
		}
		if found["handover-incomplete"] != leave || len(found) > 1 {
			t.Errorf("left one out: %v; found %v", leave, found)
		}
	}
}

// TestCorrectionReplaysAsCorrected: the old entry stays legible, the state is
// that of the corrected book, and the same after opening again.
func TestCorrectionReplaysAsCorrected(t *testing.T) {
	b, now := newBook(t, "2026-05-05 10:00")
	logAll(t, b, now,
		`Saltgarth <1 >1 <3-1 >3-1 train 2A01`,
		`Saltgarth <2 >2`,
		`train 2A01 arrived at "Platform 1"`,
		`Saltgarth >1 <1 >2-1 <2-1`,
	)
	if got := rulesOf(b); got != "out-of-section-tail-lamp-not-seen" {
		t.Fatalf("found %q before the correction", got)
	}
	logAll(t, b, now, `correct 3 "10:02 train 2A01 arrived at \"Platform 1\" complete"`)
	if got := rulesOf(b); got != "" {
		t.Errorf("found %q after the correction", got)
	}
	e := b.Recent()[2]
	if e.CorrectedBy != 5 || e.Line != `10:02 train 2A01 arrived at "Platform 1"` || e.Written().Proof == e.Event.Proof {
		t.Errorf("the corrected entry reads %q, corrected by %d", e.Line, e.CorrectedBy)
	}
	dir := b.Dir
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := Open(dir, Options{Now: func() time.Time { return *now }})
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if got := rulesOf(again); got != "" || again.Recent()[2].CorrectedBy != 5 {
		t.Errorf("after opening again found %q", got)
	}
}

// TestPreviewOfACorrection tells what it would bring about before it is written.
func TestPreviewOfACorrection(t *testing.T) {
	b, now := newBook(t, "2026-05-05 10:00")
	logAll(t, b, now,
		`Saltgarth <1 >1 <3-1 >3-1 train 2A01`,
		`Saltgarth <2 >2`,
		`train 2A01 arrived at "Platform 1" complete`,
		`Saltgarth >1 <1 >2-1 <2-1`,
	)
	evs, err := b.Parse(`correct 3 "10:02 train 2A01 arrived at \"Platform 1\" no-tail-lamp"`)
	if err != nil {
		t.Fatal(err)
	}
	_, found := b.Preview(evs[0])
	got := map[rulebook.RuleID]int64{}
	for _, f := range found {
		got[f.Rule] = f.Seq
	}
	if got["out-of-section-tail-lamp-not-seen"] != 4 {
		t.Errorf("the correction would show %v", got)
	}
	if len(b.Recent()) != 4 || rulesOf(b) != "" {
		t.Error("the preview changed the book")
	}
}

// TestRefreshTakesInAnothersEntries without a conflict.
func TestRefreshTakesInAnothersEntries(t *testing.T) {
	b, now := newBook(t, "2026-05-05 10:00")
	other, err := Open(b.Dir, Options{Now: func() time.Time { return *now }})
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	logAll(t, b, now, `Saltgarth <1 >1 <3-1 >3-1 train 2A01`)
	if n, err := other.Refresh(); n != 1 || err != nil || other.State().TrainNamed("2A01") == nil {
		t.Fatalf("took in %d entries: %v", n, err)
	}
	if n, err := other.Refresh(); n != 0 || err != nil {
		t.Fatalf("the second time %d: %v", n, err)
	}
}

// TestExplanationOfAnEarlierDay hangs on the entry it explains, and is told with
// the day.
func TestExplanationOfAnEarlierDay(t *testing.T) {
	b, now := newBook(t, "2026-05-05 10:00")
	logAll(t, b, now, `Saltgarth >3-1`)
	*now = now.AddDate(0, 0, 3)
	logAll(t, b, now, `explain 1 "forgot, told by Control"`)
	d, err := b.LoadDay(t.Context(), 20260505)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Entries) != 1 || len(d.Entries[0].Explained) != 1 || d.Entries[0].Explained[0] != 2 {
		t.Errorf("explained by %v", d.Entries[0].Explained)
	}
	if len(d.Later) != 1 || d.Later[0].Event.Text != "forgot, told by Control" {
		t.Errorf("later entries told: %v", d.Later)
	}
}

func rulesOf(b *Book) string {
	var rules []string
	for _, e := range b.Recent() {
		for _, f := range e.Findings {
			rules = append(rules, string(f.Rule))
		}
	}
	return strings.Join(rules, " ")
}
