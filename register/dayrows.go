package register

import (
	"slices"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/notation"
	"fairhand/register/reading"
)

// take notes what an entry did to the row's train, and says whether anything
// of it is shown on the row.
func (r *TrainRow) take(e *reading.Entry, now *block.Train) bool {
	was := r.Train
	r.Train = *now
	r.Entries = append(r.Entries, e.Seq)
	if e.CorrectedBy != 0 {
		r.Errors = append(r.Errors, e.Seq)
	}
	shown := r.keepPast(&was, now)
	shown = times(&was.In) != times(&now.In) || times(&was.Out) != times(&now.Out) || shown
	shown = r.happened(&e.Event, &was, now, shown) || shown
	if e.As != 0 {
		r.remark(&e.Event, "time not as written: read in its place")
	}
	if shown && e.Event.Text != "" {
		r.remark(&e.Event, strconv.Quote(e.Event.Text))
	}
	return shown
}

func (r *TrainRow) remark(ev *block.Event, words string) {
	r.Remarks = append(r.Remarks, Remark{ev.At, ev.Seq, words})
}

// times are what the columns of a leg hold.
func times(l *block.Leg) [6]block.Time {
	return [...]block.Time{l.Offered, l.Accepted, l.Entering, l.Arrived, l.OutOf, l.Cancelled}
}

// keepPast keeps the times of a leg that the train's state has let go. It
// reports whether it kept any.
func (r *TrainRow) keepPast(was, now *block.Train) bool {
	kept := false
	for _, d := range [...]block.Dir{block.Inward, block.Outward} {
		w, then := was.Leg(d), times(now.Leg(d))
		for i, at := range times(w) {
			if at != 0 && at != then[i] {
				r.Earlier = append(r.Earlier, PastLeg{d, *w, was.Code})
				kept = true
				break
			}
		}
	}
	return kept
}

// happened notes what an entry says that no time column holds.
func (r *TrainRow) happened(ev *block.Event, was, now *block.Train, shown bool) bool {
	if ev.Written != 0 && shown {
		r.remark(ev, "entered late")
	}
	for _, d := range [...]block.Dir{block.Inward, block.Outward} {
		w, n := was.Leg(d), now.Leg(d)
		if n.Falsely && !w.Falsely {
			r.remark(ev, "out of section given to "+ev.Section+", not recorded as arrived")
			shown = true
		}
		if w.Restricted && !n.Restricted && w.Accepted == n.Accepted {
			r.remark(ev, "restricted acceptance made line clear")
			shown = true
		}
	}
	return r.token(ev) || r.movement(ev, was, shown) || shown
}

// tokenWords are what the token column says of each kind of entry.
var tokenWords = map[block.Kind]string{
	block.TokenOut: "out", block.TokenIn: "in", block.TokenToTrain: "to train", block.TokenFromTrain: "from train",
	block.StaffToTrain: "staff to train", block.StaffFromTrain: "staff from train",
	block.TicketToTrain: "ticket to train", block.TicketFromTrain: "ticket from train",
}

func (r *TrainRow) token(ev *block.Event) bool {
	words := tokenWords[ev.Kind]
	if words == "" {
		return false
	}
	switch ev.Kind {
	case block.StaffToTrain, block.StaffFromTrain:
	case block.TicketToTrain, block.TicketFromTrain:
		words = strings.Replace(words, "ticket", "ticket "+strconv.Itoa(ev.Number), 1)
	default:
		words = strconv.Itoa(ev.Number) + " " + words
	}
	if ev.Far {
		words += " there"
	}
	r.Tokens = append(r.Tokens, Remark{ev.At, ev.Seq, words})
	return true
}

// movement notes a movement recorded for the train.
func (r *TrainRow) movement(ev *block.Event, was *block.Train, shown bool) bool {
	switch ev.Kind {
	case block.TrainArrived, block.TrainMoved, block.TrainPassed, block.TrainDeparted:
		if ev.Place != "" && (len(r.Places) == 0 || r.Places[len(r.Places)-1] != ev.Place) {
			r.Places = append(r.Places, ev.Place)
		}
		if ev.Proof > block.Complete {
			r.remark(ev, proofRemarks[ev.Proof])
		}
		if ev.Kind == block.TrainDeparted || ev.Kind == block.TrainPassed {
			if r.Departed != 0 && r.Departed != ev.At {
				r.Remarks = append(r.Remarks, Remark{r.Departed, ev.Seq, "departed before"})
			}
			r.Departed = ev.At
			return true
		}
		if ev.Kind == block.TrainMoved || !shown {
			r.remark(ev, bodyWithoutTrain(ev))
		}
		return true
	case block.TrainRenamed:
		r.remark(ev, "was "+was.Name)
		return true
	case block.TrainDivided, block.TrainEntire, block.TrainPutAway, block.TrainOff, block.TrainWarned, block.TrainCautioned,
		block.TrainAuthorised, block.TrainJoined, block.EngineDetached, block.TrainAssists, block.TrainDetained, block.TrainExamined, block.TrainHeard:
		r.remark(ev, bodyWithoutTrain(ev))
		return true
	}
	return false
}

var proofRemarks = map[block.Proof]string{block.NoTailLamp: "no tail lamp", block.TailLampOut: "tail lamp out"}

// bodyWithoutTrain is the entry in the words of the notation, for the row of
// its train: "moved to Yard".
func bodyWithoutTrain(ev *block.Event) string {
	short := *ev
	short.Text, short.Train = "", "x"
	return strings.TrimPrefix(notation.FormatBody(short), "train x ")
}

// signals lists the bell signals of an entry that are neither call attention
// nor the acknowledgement of another, as the book stands before the entry.
func (ty *tally) signals(ev *block.Event) []rulebook.CodeRow {
	i := ty.d.Box.SectionIndex(ev.Section)
	if ev.Kind != block.Bells || i < 0 {
		return nil
	}
	if ty.codes[i] == nil {
		ty.codes[i] = slices.Concat(ty.d.Box.CodeBook(i), rulebook.Spoken()) // words are said where a block failed, too
	}
	asked := ty.run.Look().Bells[i].Asked
	var out []rulebook.CodeRow
	for _, b := range ev.Bells {
		if ty.d.Box.Booking == block.BookExchanges && asked.Open && asked.Sent != b.Sent && asked.Code == b.Code {
			asked.Open = false
			continue
		}
		asked = block.Asked{Open: true, Sent: b.Sent, Code: b.Code}
		row := meaningOf(ty.codes[i], b.Code)
		if row.Means != rulebook.CallAttention {
			out = append(out, row)
		}
	}
	return out
}

// meaningOf is the row of a code, with the words of every meaning it has: which
// one was meant is not the page's to say.
func meaningOf(codes []rulebook.CodeRow, code rulebook.Code) rulebook.CodeRow {
	row := rulebook.CodeRow{Code: code, Words: "not in the code book"}
	var words []string
	for _, c := range codes {
		if c.Code != code {
			continue
		}
		if len(words) == 0 {
			row = c
		}
		if !slices.Contains(words, c.Words) {
			words = append(words, c.Words)
		}
	}
	if len(words) > 0 {
		row.Words = strings.Join(words, ", or ")
	}
	return row
}

// columned are the meanings of bell signals that have a column, or that end
// what stands in one.
var columned = map[rulebook.Meaning]bool{
	rulebook.Offer: true, rulebook.Entering: true, rulebook.OutOfSection: true, rulebook.ObstructionRemoved: true, rulebook.Restricted: true,
	rulebook.LineClear: true, rulebook.LineNowClear: true, rulebook.Cancelling: true, rulebook.WrongDescription: true,
}

// homeless says whether an entry has to be written across the page, and what
// its signals mean.
func (ty *tally) homeless(ev *block.Event, signals []rulebook.CodeRow, landed bool) (across bool, means string) {
	switch {
	case ev.Kind == block.Correct:
		return false, "" // stands beside the entry it corrects
	case ev.Kind != block.Bells || ty.d.Box.SectionIndex(ev.Section) < 0:
		return !landed, ""
	}
	var words []string
	for _, s := range signals {
		across = across || !landed || !columned[s.Means] || s.Means == rulebook.LineClear && ev.PN != "" // the number has no column
		if !slices.Contains(words, s.Words) {
			words = append(words, s.Words)
		}
	}
	return across || ev.Text != "" && !landed, strings.Join(words, "; ")
}

// acrossLine makes the line of an entry that is written across the page; ok is
// false when the rows hold it.
func (ty *tally) acrossLine(i int) (a AcrossLine, ok bool) {
	e, f := &ty.d.Entries[i], &ty.fates[i]
	a = AcrossLine{Seq: e.Seq, At: e.Written().At, Text: notation.FormatBody(*e.Written()), Means: f.means, Findings: f.found, By: e.CorrectedBy}
	if e.CorrectedBy != 0 {
		a.Struck, a.Instead = true, notation.Format(e.Event, ty.d.Zone)
		return a, true
	}
	if e.Event.Kind == block.Correct {
		j, own := ty.index[e.Event.Target]
		if own && ty.d.Entries[j].CorrectedBy != e.Seq {
			a.Struck, a.By = true, ty.d.Entries[j].CorrectedBy // another correction took its place
			a.Instead = notation.Format(ty.d.Entries[j].Event, ty.d.Zone)
			return a, true
		}
		return a, !own || len(f.found) > 0
	}
	return a, f.across || len(f.found) > 0
}
