package register

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fairhand/block"
)

// The timetable proposes name, beats and place; the sheet has the next two hours.
func TestPropose(t *testing.T) {
	b, now := inHandBook(t)
	*now = time.Date(2026, 5, 5, 10, 52, 0, 0, now.Location())
	s := *b.State()
	s.Now = b.Now()
	o := outlookAt(t, b)
	labels := ""
	for _, x := range b.Propose(block.Expected(b.Box(), &s), &o) {
		labels += x.Label + "; " + x.Event.Train + "\n"
		ev := x.Event
		ev.At = b.Now()
		if _, found := b.Preview(ev); len(found) > 0 {
			t.Errorf("%s: %s would be found", x.Label, found[0].Rule)
		}
	}
	if !strings.Contains(labels, "accept 3-1 from Saltgarth, 2A01 next; 2A01") || !strings.Contains(labels, "offer 2R05 (3-1) to Saltgarth, starts here; 2R05") {
		t.Errorf("proposed\n%s", labels)
	}
	var sheet []string
	for _, e := range o.Expected() {
		sheet = append(sheet, e.Text)
	}
	if got := strings.Join(sheet, "; "); got != "2A01 from Saltgarth for Coldbeck, not heard of, 29 late; 2R05 starts here for Saltgarth; 2A03 from Saltgarth for Coldbeck" {
		t.Errorf("expected %s", got)
	}
}

// An arrival is proposed at the place that is booked, unless a train stands in it.
func TestProposePlace(t *testing.T) {
	for _, c := range []struct{ before, want string }{
		{`note "nothing stands here"`, "Platform 2"},
		{`train T1 arrived at "Platform 2" complete`, "Platform 1"},
	} {
		b, now := inHandBook(t)
		at := func(m int) { *now = time.Date(2026, 5, 5, 10, m, 0, 0, now.Location()) }
		at(0)
		for i, line := range []string{"Saltgarth <1 >1 <3-1 >3-1 train T1", "Saltgarth <2 >2 train T1", c.before, "Saltgarth >1 <1 >2-1 <2-1", "Saltgarth <1 >1 <3-1 >3-1 train 2A01", "Saltgarth <2 >2 train 2A01"} {
			at(4 * i)
			if err := logLine(b, line); err != nil {
				t.Fatal(err)
			}
		}
		at(24)
		s, o := *b.State(), outlookAt(t, b)
		s.Now = b.Now()
		var got []string
		for _, x := range b.Propose(block.Expected(b.Box(), &s), &o) {
			if x.Event.Kind == block.TrainArrived && x.Event.Train == "2A01" {
				got = append(got, x.Event.Place)
			}
		}
		if len(got) != 1 || got[0] != c.want {
			t.Errorf("after %s the arrival is proposed at %q, want %s", c.before, got, c.want)
		}
	}
}

// A train with line clear ahead that stands here before its booked departure is not the next
// thing: out of section is given for it first.
func TestProposeDepartureAtItsTime(t *testing.T) {
	b, now := inHandBook(t)
	*now = time.Date(2026, 5, 5, 10, 20, 0, 0, now.Location())
	for _, line := range []string{"Saltgarth <1 >1 <3-1 >3-1 train 2A01", "Saltgarth <2 >2 train 2A01", "Coldbeck >1 <1 >3-1 <3-1 train 2A01", `train 2A01 arrived at "Platform 2" complete`} {
		if err := logLine(b, line); err != nil {
			t.Fatal(err)
		}
		*now = now.Add(2 * time.Minute)
	}
	s, o := *b.State(), outlookAt(t, b)
	s.Now = b.Now()
	got := ""
	for _, x := range b.Propose(block.Expected(b.Box(), &s), &o) {
		if x.Act == block.ActOut || x.Act == block.ActEnter {
			got += fmt.Sprintf("%s at %s; ", x.Label, time.Unix(int64(x.Wanted), 0).In(now.Location()).Format("15:04"))
		}
	}
	if want := "2A01 out of section, to Saltgarth at 10:22; 2A01 entering section, to Coldbeck at 10:32; "; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

func TestProposeNoOfferOfWhatEndsHere(t *testing.T) {
	b, now := inHandBook(t)
	o := outlookAt(t, b)
	o.Trains = append(o.Trains, Prospect{Booked: Booked{Train: "5E01", From: "Saltgarth"}})
	at := func(m int) { *now = time.Date(2026, 5, 5, 10, m, 0, 0, now.Location()) }
	for i, line := range []string{"Saltgarth <1 >1 <3-1 >3-1 train 5E01", "Saltgarth <2 >2 train 5E01", "train 5E01 arrived at Yard complete", "Saltgarth >1 <1 >2-1 <2-1"} {
		at(4 * i)
		if err := logLine(b, line); err != nil {
			t.Fatal(err)
		}
		s := *b.State()
		s.Now, o.At = b.Now(), b.Now()
		offer, away := 0, 0
		for k, x := range b.Propose(block.Expected(b.Box(), &s), &o) {
			switch {
			case x.Act == block.ActOffer && x.Mine && x.Event.Train == "5E01":
				if offer = k; x.Wanted <= s.Now+endsHere {
					t.Errorf("after %s it is wanted at once: %s", line, x.Label)
				}
			case x.Event.Kind == block.TrainPutAway:
				away = k
			}
		}
		if offer == 0 || i == 3 && (away == 0 || offer < away) {
			t.Errorf("after %s the offer is %d, put away %d", line, offer, away)
		}
	}
}

// A train that was cancelled is proposed again, by name, for a while and until the next one
// from there is to be offered.
func TestProposeAfterCancelling(t *testing.T) {
	b, now := inHandBook(t)
	at := func(h, m int) { *now = time.Date(2026, 5, 5, h, m, 0, 0, now.Location()) }
	next := func() []block.Expectation {
		s, o := *b.State(), outlookAt(t, b)
		s.Now = b.Now()
		return b.Propose(block.Expected(b.Box(), &s), &o)
	}
	offered := func() string {
		for _, x := range next() {
			if x.Act == block.ActOffer && !x.Mine && x.Event.Section == "Saltgarth" {
				return x.Event.Train
			}
		}
		return "nothing"
	}
	at(10, 20)
	for _, c := range []struct{ line, want string }{
		{"Saltgarth <1 >1 <3-1 >3-1 train 2A01", "nothing"}, {"Saltgarth <3-5 >3-5", "2A01"},
		{"Saltgarth <1 >1 <3-1 >3-1 train 2A01", "nothing"}, {"Saltgarth <3-5 >3-5 train 2A01", "2A01"},
	} {
		if o := outlookAt(t, b); len(o.Trains) > 0 && o.Trains[0].Train == "2A01" && o.Trains[0].ID == 0 && len(o.Cancelled) > 0 {
			t.Errorf("a train cancelled is expected as well as proposed: %+v", o.Trains[0])
		}
		if err := logLine(b, c.line); err != nil {
			t.Fatal(err)
		}
		if got := offered(); got != c.want {
			t.Errorf("after %s %s is proposed, want %s", c.line, got, c.want)
		}
	}
	if at(10, 51); offered() != "2A03" {
		t.Errorf("%s is proposed half an hour later", offered())
	}
	if at(11, 25); offered() != "2A03" {
		t.Errorf("%s is proposed when the next is due", offered())
	}
}

// A special notice of the day adds trains and takes the place of others; one with
// a fault is named, and the timetable stands.
func TestSpecialNotice(t *testing.T) {
	b, _ := inHandBook(t)
	path := filepath.Join(b.Dir, "special-2026-05-05.csv")
	write := func(lines string) {
		if err := os.WriteFile(path, []byte("train,beats,from,to,arrive,depart,place\n"+lines), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("2A01,3-1,Saltgarth,Coldbeck,10:50,10:52,Platform 2\n1Z99,4,Coldbeck,Saltgarth,10:05,10:05,\n")
	list, err := b.TimetableOf(20260505)
	if err != nil || len(list) != 4 || list[2].Train != "2A01" || list[2].Arrive != 10*3600+50*60 || list[3].Train != "1Z99" {
		t.Errorf("%v, %+v", err, list)
	}
	if list, err := b.TimetableOf(20260506); err != nil || len(list) != 3 {
		t.Errorf("the day after: %v, %d trains", err, len(list))
	}
	write("1Z99,4,Elsewhere,Saltgarth,10:05,10:05,\n")
	if list, err := b.TimetableOf(20260505); err == nil || len(list) != 3 || !strings.Contains(err.Error(), "special-2026-05-05.csv: line 2") {
		t.Errorf("%v, %d trains", err, len(list))
	}
}
