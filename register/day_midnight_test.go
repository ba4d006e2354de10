package register

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/block"
	"fairhand/register/calendar"
)

// A correction written on a later day is shown on the page of the entry it
// corrects, and the original stays readable.
func TestCorrectionOfALaterDay(t *testing.T) {
	a, _ := dayFile(t, tuesdayFile)
	b, clock := dayBook(t, part(a, "box.yaml"), []byte(`date 2026-05-05
10:00 Saltgarth <1 >1 <4 >4 train 1E45
10:05 Saltgarth <2 >2
10:09 train 1E45 arrived at "Platform 1" complete
date 2026-05-06
06:00 note "another day"
06:01 correct 2 "10:04 Saltgarth <2 >2"
`))
	d, err := b.LoadDay(t.Context(), 20260505)
	if err != nil {
		t.Fatal(err)
	}
	if got := calendar.Clock(d.Rows[0].Train.In.Entering, d.Zone, ""); got != "10:04" {
		t.Errorf("entering stands at %s", got)
	}
	if len(d.Across) != 1 || !d.Across[0].Struck || d.Across[0].Text != "Saltgarth <2 >2" || d.Across[0].By != 5 || d.Across[0].Instead != "10:04 Saltgarth <2 >2" {
		t.Errorf("across the page: %+v", d.Across)
	}
	if len(d.Later) != 1 || d.Later[0].Seq != 5 {
		t.Errorf("later entries: %+v", d.Later)
	}
	if len(d.Entries) != 3 || d.Entries[1].Line != "10:05 Saltgarth <2 >2" {
		t.Errorf("entries: %+v", d.Entries)
	}
	// The next day tells of the correction too, and the train that stood overnight is no row of it.
	next, err := b.LoadDay(t.Context(), 20260506)
	if err != nil {
		t.Fatal(err)
	}
	if len(next.Rows) != 0 || len(next.Across) != 2 {
		t.Errorf("the next day: %d rows, across %+v", len(next.Rows), next.Across)
	}
	logBook(t, b, clock, []byte("date 2026-05-07\n09:00 note \"a third day\"\n"))
	if again, err := b.LoadDay(t.Context(), 20260505); err != nil || len(again.Later) != 1 {
		t.Errorf("after a third day: %v, later %v", err, again.Later)
	}
}

// A train that runs over midnight is on both pages; a time of the other date
// stands in brackets, and what it left undone is found on its own day.
func TestOverMidnight(t *testing.T) {
	a, _ := dayFile(t, tuesdayFile)
	b, _ := dayBook(t, part(a, "box.yaml"), []byte(`date 2026-05-05
23:50 Saltgarth <1 >1 <4 >4 train 1E45
23:55 Saltgarth <2 >2
23:58 train 1E45 arrived at "Platform 1" no-tail-lamp
date 2026-05-06
00:09 note "inquiry made"
00:10 train 1E45 entire
00:12 Saltgarth >1 <1 >2-1 <2-1
`))
	for _, c := range []struct {
		day  calendar.Day
		want string
	}{
		{20260505, "1E45|4|Saltgarth, Down Main|23:50|23:50||23:55|23:58||"},
		{20260506, "1E45|4|Saltgarth, Down Main|(23:50)|(23:50)||(23:55)|(23:58)|00:12|"},
	} {
		d, err := b.LoadDay(t.Context(), c.day)
		if err != nil {
			t.Fatal(err)
		}
		if got := pagesText(d); !strings.Contains(got, c.want) {
			t.Errorf("%d: want %s in\n%s", c.day, c.want, got)
		}
	}
	first, _ := b.LoadDay(t.Context(), 20260505)
	if !slices.ContainsFunc(first.Findings, func(f block.Finding) bool { return f.Rule == "tail-lamp-not-reported" && f.Seq == 3 }) {
		t.Errorf("the first day's findings: %+v", first.Findings)
	}
}

// An entry for yesterday written after midnight belongs to yesterday, though
// entries of today stand before it in the register.
func TestLateEntryAfterMidnight(t *testing.T) {
	a, _ := dayFile(t, tuesdayFile)
	b, _ := dayBook(t, part(a, "box.yaml"), []byte(`date 2026-05-05
23:50 Saltgarth <1 >1 <4 >4 train 1E45
date 2026-05-06
00:02 Saltgarth <2 >2
00:03 correct 1 "23:51 Saltgarth <1 >1 <4 >4 train 1E45"
date 2026-05-05
23:58 note "lamps lit" written 2026-05-06 00:04
`))
	d, err := b.LoadDay(t.Context(), 20260505)
	if err != nil {
		t.Fatal(err)
	}
	want := `# Down page, 1 of 1
-- 23:50 ~Saltgarth <1 >1 <4 >4 train 1E45~ | ERROR entry 1, corrected by entry 3: 23:51 Saltgarth <1 >1 <4 >4 train 1E45; express passenger train (class 1)
1E45|4|Saltgarth, Down Main|23:51|23:51|ERROR entry 1
-- :58 note "lamps lit" | irregular: entry-late (entry 4)
`
	got := regexp.MustCompile(`\|+`).ReplaceAllString(pagesText(d), "|") // however many columns have nothing in them
	if len(d.Entries) != 2 || len(d.Later) != 1 {
		t.Errorf("%d entries, %d later", len(d.Entries), len(d.Later))
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// What an entry of the next day shows to be undone is found on the day it was
// left undone, also when a late entry of that day follows.
func TestFoundBetweenTheEntriesOfADay(t *testing.T) {
	a, _ := dayFile(t, tuesdayFile)
	b, _ := dayBook(t, part(a, "box.yaml"), []byte(`date 2026-05-05
23:50 Saltgarth <1 >1 <4 >4 train 1E45
23:53 Saltgarth <2 >2
23:58 train 1E45 arrived at "Platform 1" no-tail-lamp
date 2026-05-06
00:20 note "today"
date 2026-05-05
23:59 note "lamps lit" written 2026-05-06 00:30
`))
	d, err := b.LoadDay(t.Context(), 20260505)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(d.Rows[0].Findings, func(f block.Finding) bool { return f.Rule == "tail-lamp-not-reported" && f.Seq == 3 }) {
		t.Errorf("found: %+v", d.Findings)
	}
}
