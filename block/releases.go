package block

import (
	"slices"
	"strconv"
	"strings"

	"fairhand/block/rulebook"
)

// Releases and the counters that tell how often each was used.

// Releases are the words for a release. Sealed and emergency ones stand as used
// until their gear is booked restored; the others are over when they are given.
var Releases = []string{releaseSealed, releaseEmergency, "line-clear", "welwyn"}

const releaseSealed, releaseEmergency = "sealed", "emergency"

// Counter is what the counter of a release last showed.
type Counter struct {
	Gear  string
	Shows int
	At    Time
	Seq   int64
}

// released judges the use of a release, and notes that it stands and what its
// counter shows.
func (st *step) released() {
	section := st.releaseSection()
	i := st.b.SectionIndex(section)
	if over := st.inTheWay(i); len(over) > 0 {
		st.rests(st.note(rulebook.ReleaseTrainInSection, section, over[0].train.Label(st.b), "the train arrived complete and the section clear before "+st.e.Subject+" is used"), over)
	}
	var lacks []string
	if st.e.Text == "" {
		lacks = append(lacks, "the cause for which "+st.e.Subject+" was used")
	}
	switch last := st.s.counter(st.e.Subject); {
	case st.e.Number != 0 || st.e.Other != 0:
		if st.e.Other != st.e.Number+1 && (st.e.Other != 0 || strings.Trim(strconv.Itoa(st.e.Number), "9") != "") { // after all its nines it begins again
			st.note(rulebook.CounterDiffers, section, "", "the counter one further for each use: after "+strconv.Itoa(st.e.Number)+" comes "+strconv.Itoa(st.e.Number+1))
		} else {
			st.counted(st.e.Number)
		}
		st.shows(st.e.Other)
	case last != nil:
		lacks = append(lacks, "the counter of "+st.e.Subject+" before and after; it showed "+strconv.Itoa(last.Shows))
	}
	if len(lacks) > 0 {
		st.note(rulebook.ReleaseIncomplete, section, "", strings.Join(lacks, ", and "))
	}
	if st.e.Party == "" {
		st.owe(rulebook.ReleaseNotTold, Pending{Section: i})
	}
	if st.e.Which == releaseSealed || st.e.Which == releaseEmergency {
		st.gear()
	}
}

// staffUnsealed says whether the entry tells of the sealed box of an emergency staff
// opened. Source: Subsidiary Rule 13.03.5.2.
func (st *step) staffUnsealed() bool {
	i := st.b.SectionIndex(st.releaseSection())
	return st.e.Kind == Released && st.e.Which == releaseSealed && i >= 0 && staffed(st.b.Sections[i].Method.Is())
}

// releaseSection is the section whose release is used: the one named, else that of its gear.
func (st *step) releaseSection() string {
	if g := st.b.gearNamed(st.e.Subject); st.e.Section == "" && g != nil {
		return g.Section
	}
	return st.e.Section
}

// inTheWay are the trains in section i, on the line named if one is, that is not known
// to be complete and clear of it here; nil when there is none.
func (st *step) inTheWay(i int) []inWay {
	over := st.onLines(func(l int) bool {
		return st.b.sectionOf(l) == i && (st.e.Line == "" || st.b.lineAt(l).Name == st.e.Line)
	})
	return slices.DeleteFunc(over, func(w inWay) bool {
		return w.dir == Inward && w.train.clearOfSection() && w.train.Proof == Complete
	})
}

// counterRead takes what a counter shows when no release was used.
func (st *step) counterRead() {
	st.counted(st.e.Number)
	st.shows(st.e.Number)
}

// counted compares what a counter shows with what it showed when last booked.
func (st *step) counted(shows int) {
	if last := st.s.counter(st.e.Subject); last != nil && last.Shows != shows {
		f := st.note(rulebook.CounterDiffers, "", "", "the counter of "+st.e.Subject+" at "+strconv.Itoa(last.Shows)+", as last booked")
		f.Rests = []int64{last.Seq, st.e.Seq}
	}
}

// shows keeps what a counter shows.
func (st *step) shows(n int) {
	now := Counter{st.e.Subject, n, st.e.At, st.e.Seq}
	st.s.Counters = slices.Clone(st.s.Counters)
	if last := st.s.counter(now.Gear); last != nil {
		*last = now
		return
	}
	st.s.Counters = append(st.s.Counters, now)
}

// counter is the counter of a release; nil when none is booked.
func (s *State) counter(gear string) *Counter {
	return first(s.Counters, func(c *Counter) bool { return c.Gear == gear })
}

// releases expects Control to be told of a release used, and what still stands
// as used to be restored.
func (x *expecting) releases() {
	for _, p := range x.s.Pending {
		if p.Rule == rulebook.ReleaseNotTold {
			x.offer(Expectation{Event: Event{Kind: MessageTo, Subject: "Control", Text: "Release used, as booked."}, Mine: true, Wanted: p.At, Label: "tell Control of the release"})
		}
	}
	for _, g := range x.s.Gear {
		if g.Released {
			x.offer(Expectation{Event: Event{Kind: Restored, Subject: g.Name}, Wanted: x.s.Now + laterRemoval, Label: g.Name + " restored after its release"})
		}
	}
}
