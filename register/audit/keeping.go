package audit

import (
	"maps"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/reading"
)

// keeping gathers how the book was kept.
type keeping struct {
	sub   subject
	limit int
	rep   Keeping
	day   calendar.Day              // the latest day begun
	seen  calendar.Day              // of the last entry
	days  map[calendar.Day]bool     // register days with entries; whether the clock was checked
	found map[rulebook.RuleID]int64 // by rule, whatever findings are chosen

	signed   bool  // the book was signed on the day begun
	unsigned int64 // days with entries in a row without a signature
	run      batch
}

// batch is a run of late entries written within a minute.
type batch struct {
	n           int64
	first, last int64
	written     block.Time
	from, to    block.Time
	turn        string
}

// Limits of a batch; see Batch.
const (
	batchWithin = block.Minute
	batchSpread = 5 * block.Minute
	batchLeast  = 2
)

func newKeeping(sub subject, limit int) keeping {
	k := keeping{sub: sub, limit: limit, days: map[calendar.Day]bool{}, found: map[rulebook.RuleID]int64{}}
	for i, over := range lateBounds {
		b := LateBucket{Over: over}
		if i+1 < len(lateBounds) {
			b.UpTo = lateBounds[i+1]
		}
		k.rep.Late = append(k.rep.Late, b)
	}
	return k
}

// keep counts something, and keeps it while there is room.
func keep[T any](list *[]T, count *int64, limit int, x T) {
	if *count++; len(*list) < limit {
		*list = append(*list, x)
	}
}

// copied says whether an entry, which the state is after, was copied from another source.
func copied(e *reading.Entry, after *block.State) bool {
	return after.Source != "" || e.Event.Kind == block.Transcript
}

// take looks at one entry of the days asked for.
func (k *keeping) take(e *reading.Entry, d *duty, transcribed bool) {
	if e.Day != k.seen || isClock(e.Event.Kind) {
		k.seen = e.Day
		k.days[e.Day] = k.days[e.Day] || isClock(e.Event.Kind)
	}
	if transcribed {
		k.rep.Transcribed++
	}
	written := k.when(e, transcribed)
	late := int64(written - block.Time(e.At))
	if late > lateBounds[0] {
		d.Late++
		for i := len(k.rep.Late) - 1; i >= 0; i-- {
			if late > k.rep.Late[i].Over {
				k.rep.Late[i].Count++
				break
			}
		}
		k.together(e, written, d.Name)
	}
	switch e.Event.Kind {
	case block.ClockRight, block.ClockSlow, block.ClockFast:
		k.clock(&e.Event)
	case block.Correct:
		keep(&k.rep.Corrections, &k.rep.CorrectionCount, k.limit, Correction{e.Event.Seq, k.sub.moment(e.Event.At), d.Name, e.Event.Target, was(e), e.Event.Text})
	case block.Sign:
		k.signed = true
		keep(&k.rep.Signatures, &k.rep.SignatureCount, k.limit, *k.sub.signature(&e.Event))
	case block.Visit:
		k.rep.Visits++
	}
}

// when is the moment an entry was written: as the entry says; else, unless it is
// a transcription, as the computer noted.
func (k *keeping) when(e *reading.Entry, transcribed bool) block.Time {
	switch {
	case e.Event.Written != 0 && e.Event.At == block.Time(e.At):
		return e.Event.Written
	case transcribed:
		return block.Time(e.At)
	}
	return block.Time(e.Recorded)
}

// was is the line that a correction took the place of.
func was(e *reading.Entry) string {
	if e.Corrects == nil {
		return ""
	}
	return e.Corrects.Was
}

// together follows runs of late entries written within a minute.
func (k *keeping) together(e *reading.Entry, written block.Time, turn string) {
	b := &k.run
	if b.n == 0 || written < b.written || written-b.written > batchWithin {
		k.closeBatch()
		*b = batch{first: e.Event.Seq, written: written, from: block.Time(e.At), to: block.Time(e.At), turn: turn}
	}
	b.n++
	b.last = e.Event.Seq
	b.from, b.to = min(b.from, block.Time(e.At)), max(b.to, block.Time(e.At))
}

func (k *keeping) closeBatch() {
	b := &k.run
	if b.n < batchLeast || b.to-b.from <= batchSpread {
		return
	}
	keep(&k.rep.Batches, &k.rep.BatchCount, k.limit, Batch{b.first, b.last, b.n, k.sub.moment(b.written), k.sub.moment(b.from), k.sub.moment(b.to), b.turn})
}

func isClock(k block.Kind) bool {
	return k == block.ClockRight || k == block.ClockSlow || k == block.ClockFast
}

func (k *keeping) clock(ev *block.Event) {
	k.rep.ClockChecks++
	n := ev.Number
	if ev.Kind == block.ClockSlow {
		n = -n
	}
	if max(n, -n) > max(k.rep.ClockWorst, -k.rep.ClockWorst) {
		k.rep.ClockWorst = n
	}
}

// dayEnd looks at what the day begun leaves open; st is the state after its last
// entry but those written later.
func (k *keeping) dayEnd(box *block.Box, st *block.State) {
	if k.day == 0 {
		return
	}
	k.unsigned++
	if k.signed {
		k.unsigned = 0
	}
	k.signed = false
	k.rep.UnsignedDays = max(k.rep.UnsignedDays, k.unsigned)
	if rows := openRows(box, st, k.limit); len(rows) > 0 {
		keep(&k.rep.DayEnds, &k.rep.DayEndCount, k.limit, DayEnd{k.day.String(), rows})
	}
}

// end looks at the book after the last entry of the days asked for.
func (k *keeping) end(box *block.Box, st *block.State) {
	k.dayEnd(box, st)
	k.closeBatch()
	k.rep.OpenNow = openRows(box, st, k.limit)
}

// extent is how many days had entries, and the first and last of them.
func (k *keeping) extent() (n int64, first, last string) {
	days := slices.Sorted(maps.Keys(k.days))
	if len(days) == 0 {
		days = []calendar.Day{0}
	}
	return int64(len(k.days)), days[0].String(), days[len(days)-1].String()
}

func (k *keeping) report() Keeping {
	r := k.rep
	r.OutOfOrder, r.BeforeDuty, r.NobodyOnDuty = k.found[rulebook.EntryOutOfOrder], k.found[rulebook.EntryBeforeDuty], k.found[rulebook.NobodyOnDuty]
	r.Unsigned, r.Handovers = k.found[rulebook.CorrectionUnsigned], k.found[rulebook.HandoverIncomplete]
	r.ClockMissing, r.ClockMissingCount, r.clockMissing = lacking(slices.Sorted(maps.Keys(k.days)), k.limit, func(day calendar.Day) bool { return !k.days[day] })
	r.Batches, r.Corrections, r.DayEnds = orEmpty(r.Batches), orEmpty(r.Corrections), orEmpty(r.DayEnds)
	r.OpenNow, r.Signatures = orEmpty(r.OpenNow), orEmpty(r.Signatures)
	return r
}

// lacking are those of the days with entries that lack something: the first of them, how
// many, and in words, days that follow each other as one span.
func lacking(days []calendar.Day, limit int, lacks func(calendar.Day) bool) (first []string, n int64, words string) {
	first = []string{}
	var spans []string
	for i := 0; i < len(days); i++ {
		from := i
		for ; i < len(days) && lacks(days[i]); i++ {
			keep(&first, &n, limit, days[i].String())
		}
		switch i - from {
		case 0:
		case 1:
			spans = append(spans, days[from].String())
		default:
			spans = append(spans, days[from].String()+" to "+days[i-1].String())
		}
	}
	shown := min(limit, len(spans))
	return first, n, strings.Join(spans[:shown], ", ") + more(int64(len(spans)), shown)
}

// openRows lists trains on hand, but for those put clear in a siding with
// nothing signalled.
func openRows(box *block.Box, st *block.State, limit int) []OpenRow {
	var out []OpenRow
	for _, t := range st.Trains {
		p := box.PlaceNamed(t.Place)
		if t.Where == block.Here && p != nil && p.Siding && !inUse(&t.In) && !inUse(&t.Out) {
			continue
		}
		if len(out) == limit {
			break
		}
		out = append(out, OpenRow{t.Label(box), t.Opened, block.Whereabouts(box, t)})
	}
	return out
}

// inUse says whether a leg is begun and neither out of section nor cancelled.
func inUse(l *block.Leg) bool { return l.Section >= 0 && l.OutOf == 0 && l.Cancelled == 0 }
