package audit

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/pattern"
	"fairhand/register/reading"
	"fairhand/register/sheet"
)

// Signed is what became of the book since somebody examined and signed it last, as
// far as the days asked for tell.
type Signed struct {
	Last      *Signature   `json:"last,omitempty"` // none: nobody did in these days
	Entries   int64        `json:"entries"`        // written since
	Late      int64        `json:"late"`           // of them, about days before that of the signature
	Found     []SinceRule  `json:"found"`          // about entries written since
	Explained []SinceEntry `json:"explained"`      // findings that stood unexplained when it was signed
	Corrected []SinceEntry `json:"corrected"`      // entries that stood when it was signed

	// Unexamined are days with entries that no signature covers. One covers the days
	// it names (examined 2026-05-01 to 2026-05-31), else those since the one before it,
	// as far as they were written.
	Unexamined      []string `json:"unexamined"`
	UnexaminedCount int64    `json:"unexamined_count"`
	unexamined      string   // in words

	// Unfit are signatures that name a head or a description that the register does not
	// have there: typed again, or from another book. They cover nothing.
	Unfit []Signature `json:"unfit"`
}

// SinceEntry is an entry of before the signature, and the one that is about it.
type SinceEntry struct {
	Entry int64  `json:"entry"`
	By    int64  `json:"by"`
	Rule  string `json:"rule,omitempty"` // that is explained
}

// signing follows the signatures of a book. They are seen as the book is read, ahead
// of the replay: nothing written after one is judged before it is seen.
type signing struct {
	sub    subject
	last   *Signature
	asked  int64 // entries of the days asked for, read so far
	unfit  []Signature
	day    calendar.Day // of the last
	covers []cover
	days   map[calendar.Day]*int64 // last entry written about each day
	seen   calendar.Day            // of the last entry
	about  *int64                  // its place in days
	rep    Signed
	tally               // of what was found since
	after  []SinceEntry // explained and corrected, by entries not before the last signature
}

// cover is what a signature covers: days, as far as they were written before it.
type cover struct {
	from, to calendar.Day
	seq      int64 // entry that it rests on
	by       int64 // the signature
}

var examinedDays = pattern.Late(`^examined (\d{4}-\d\d-\d\d)(?: to (\d{4}-\d\d-\d\d))?`)

// read looks at an entry of the days asked for as it is read.
func (s *signing) read(e *reading.Entry) {
	if e.Day != s.seen {
		s.seen, s.about = e.Day, at(s.days, e.Day)
	}
	*s.about = max(*s.about, e.Event.Seq)
	s.asked++
	if e.Event.Kind != block.Sign {
		return
	}
	on := s.sub.restsOn(&e.Event)
	if !on.fits {
		s.unfit = append(s.unfit, *s.sub.signature(&e.Event))
		return
	}
	c := cover{from: s.day, to: e.Day, seq: e.Event.Seq, by: e.Event.Seq}
	if m := examinedDays().FindStringSubmatch(e.Event.Text); m != nil {
		from, err := calendar.Parse(m[1])
		to, err2 := calendar.Parse(cmp.Or(m[2], m[1]))
		if err == nil && err2 == nil {
			c.from, c.to = from, to
		}
	}
	if on.head != 0 {
		c.seq = on.head
	}
	s.covers = append(s.covers, c)
	s.last, s.day = s.sub.signature(&e.Event), e.Day
	s.rep, s.tally = Signed{Entries: max(0, min(e.Event.Seq-1-c.seq, s.asked))}, tally{}
	s.after = slices.DeleteFunc(s.after, func(x SinceEntry) bool { return x.By < c.seq })
}

// covered gives the days that a signature covers, and up to which entry. One that goes
// back to the beginning of the book goes back to the earliest day there is.
func (s *signing) covered(by int64) (from, to calendar.Day, head int64) {
	i := slices.IndexFunc(s.covers, func(c cover) bool { return c.by == by })
	if i < 0 {
		return 0, 0, 0
	}
	if from, to = s.covers[i].from, s.covers[i].to; from == 0 {
		from = slices.Min(slices.Collect(maps.Keys(s.days)))
	}
	return from, to, s.covers[i].seq
}

// step looks at an entry of the days asked for as it is replayed.
func (s *signing) step(e *reading.Entry) {
	if s.last == nil || e.Event.Seq > s.last.Entry {
		s.rep.Entries++
		if s.last != nil && e.Day < s.day {
			s.rep.Late++
		}
	}
	if e.Event.Kind == block.Correct {
		s.after = append(s.after, SinceEntry{Entry: e.Event.Target, By: e.Event.Seq})
	}
}

// found looks at a finding that stands, and is chosen.
func (s *signing) found(f *block.Finding, remarks []Remark) {
	if s.last == nil || f.Seq > s.last.Entry {
		s.tally.found(f, len(remarks) > 0)
	}
	if len(remarks) > 0 {
		s.after = append(s.after, SinceEntry{f.Seq, remarks[0].Entry, string(f.Rule)})
	}
}

func (s *signing) report(limit int) Signed {
	r := s.rep
	r.Last, r.Found, r.Explained, r.Corrected, r.Unfit = s.last, s.since(), []SinceEntry{}, []SinceEntry{}, orEmpty(s.unfit)
	for _, x := range s.after {
		switch {
		case s.last == nil || x.Entry > s.last.Entry || x.By <= s.last.Entry:
		case x.Rule != "":
			r.Explained = append(r.Explained, x)
		default:
			r.Corrected = append(r.Corrected, x)
		}
	}
	byEntry := func(a, b SinceEntry) int { return cmp.Or(cmp.Compare(a.Entry, b.Entry), cmp.Compare(a.By, b.By)) }
	slices.SortFunc(r.Explained, byEntry)
	slices.SortFunc(r.Corrected, byEntry)
	r.Unexamined, r.UnexaminedCount, r.unexamined = lacking(slices.Sorted(maps.Keys(s.days)), limit, func(day calendar.Day) bool {
		return !slices.ContainsFunc(s.covers, func(c cover) bool { return c.from <= day && day <= c.to && c.seq >= *s.days[day] })
	})
	return r
}

// signature is an entry by which somebody signed.
func (s subject) signature(ev *block.Event) *Signature {
	out := Signature{Entry: ev.Seq, At: s.moment(ev.At), Name: ev.Subject, Text: ev.Text}
	for _, p := range s.box.People {
		if p.Name == ev.Subject {
			out.Role = p.Role
		}
	}
	return &out
}

// restsOn is what a signature rests on; in a book in notation nothing can be compared.
func (s subject) restsOn(ev *block.Event) rests {
	if s.rests == nil {
		return rests{fits: true}
	}
	return s.rests(ev)
}

func (s *Signature) words() string {
	role := ""
	if s.Role != "" {
		role = " (" + s.Role + ")"
	}
	return strings.TrimSuffix(fmt.Sprintf("entry %d, %s %s, %s%s: %s", s.Entry, s.At.Date(), s.At.Clock(), s.Name, role, s.Text), ": ")
}

// section tells it.
func (s *Signed) section() sheet.Section {
	list := &sheet.List{}
	say := func(format string, a ...any) { list.Add(0, format, a...) }
	if s.Last == nil {
		say("Nobody signed in these days for having examined the book.")
	} else {
		say("Last signed: %s", s.Last.words())
		say("Written since: %s%s", count(s.Entries, "entry", "entries"), map[bool]string{true: fmt.Sprintf(", %d of them about days before", s.Late)}[s.Late > 0])
		for _, f := range s.Found {
			say("Found since: %s, %s: %d, %d unexplained", f.Rule, f.Severity, f.Count, f.Unexplained)
		}
		for _, x := range s.Explained {
			say("Explained since: entry %d, %s, by entry %d", x.Entry, x.Rule, x.By)
		}
		for _, x := range s.Corrected {
			say("Corrected since: entry %d, by entry %d", x.Entry, x.By)
		}
	}
	for _, u := range s.Unfit {
		say("SIGNATURE DOES NOT FIT: %s. The register has no such entry or description there: the words are of another book, or were changed; it covers nothing", u.words())
	}
	if s.UnexaminedCount > 0 {
		say("Not examined, or written in since: %s: %s", count(s.UnexaminedCount, "day", "days"), s.unexamined)
	}
	return sheet.Section{Key: "signed", Title: "Since the book was signed", Parts: []sheet.Part{list}}
}

// Words are those of the entry with which whoever examined the book signs this
// report: the days, the head and the description that it rests on, and the program.
func (r *Report) Words() string {
	x := r.Extent
	out := "examined " + x.span()
	if x.ProvedTo > 0 {
		out += fmt.Sprintf("; head %d %s", x.ProvedTo, x.Head[:headShown])
	}
	if n := len(r.Described); n > 0 {
		out += "; box " + r.Described[n-1].SHA256[:min(headShown, len(r.Described[n-1].SHA256))]
	}
	out += "; " + r.Program
	if n := r.Unexplained(rulebook.Danger) + r.Unexplained(rulebook.Irregular); n > 0 {
		out += fmt.Sprintf("; findings not explained: %d", n)
	}
	return out
}

// SignedBy is the entry with which the report was signed.
func (r *Report) SignedBy(box *block.Box, ev *block.Event) *Signature {
	return subject{box: box, zone: r.zone}.signature(ev)
}

// headShown is how much of a hash is written by hand or in an entry. The entry itself
// holds the whole of the head in its place in the chain.
const headShown = 16
