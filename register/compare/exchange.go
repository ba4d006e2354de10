package compare

import (
	"cmp"
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

const (
	// waitAnswer is how long a signal waits for what answers it: a bell of the
	// same beats later than that is a signal of its own.
	waitAnswer = 10 * block.Minute
	// waitWrong is the same for an answer in other beats.
	waitWrong = 2 * block.Minute
)

// bellReading sorts the bells with one neighbour into exchanges. It asks for the
// time of a bell's place in the book, so that a wrong time does not take an
// exchange apart, and makes sense of exchanges with a bell missing or wrong.
type bellReading struct {
	s       *side
	times   []block.Time // of the entries' places
	means   map[rulebook.Code][]rulebook.Meaning
	alone   map[rulebook.Code]bool // codes given without call attention
	answers bool                   // acknowledgements are booked

	open bool // the last bell waits for its acknowledgement
	wait bool // call attention was given and its signal has not come
	last bell
	at   block.Time

	offers map[bool]offering // by whether it was sent: the last offer that nothing answered yet
}

// offering is an offer whose answer may come after bells about another line.
type offering struct {
	exchange int32
	at       block.Time
}

func newReading(box *block.Box, section int, s *side, times []block.Time) *bellReading {
	r := &bellReading{
		s: s, times: times, answers: box.Booking == block.BookExchanges,
		means: map[rulebook.Code][]rulebook.Meaning{}, alone: map[rulebook.Code]bool{}, offers: map[bool]offering{},
	}
	for _, row := range slices.Concat(box.CodeBook(section), rulebook.Spoken()) {
		r.means[row.Code] = append(r.means[row.Code], row.Means)
		r.alone[row.Code] = r.alone[row.Code] || row.NoAttention
	}
	return r
}

func (r *bellReading) all() {
	for i := range r.s.bells {
		r.take(&r.s.bells[i])
	}
}

// take gives a bell its part and its exchange.
func (r *bellReading) take(x *bell) {
	at := r.times[x.entry]
	waited := at - r.at
	code := r.s.codes[x.code]
	means := r.means[code]
	begun := func() bool { return r.s.exchanges[r.last.exchange].sent }
	calls := slices.Contains(means, rulebook.CallAttention)
	switch {
	case code.Spoken(): // at once what it means: nothing but an offer is answered
		if r.open && x.sent != r.last.sent && r.s.exchanges[r.last.exchange].offer && answering(means) {
			x.part, x.exchange = answer, r.last.exchange
		} else {
			x.part, x.exchange = signal, r.begin(x)
		}
		r.open, r.wait = slices.Contains(means, rulebook.Offer), false
	case r.open && r.answers && waited <= waitAnswer && x.sent != r.last.sent && x.code == r.last.code:
		x.part, x.exchange = r.last.part+1, r.last.exchange
		r.open, r.wait = false, x.part == ready
	case r.open && waited <= waitAnswer && x.sent != r.last.sent && r.s.exchanges[r.last.exchange].offer && answering(means):
		x.part, x.exchange = answer, r.last.exchange
	case answering(means) && r.unanswered(!x.sent, at):
		x.part, x.exchange = answer, r.offers[!x.sent].exchange
		r.open, r.wait = true, false
	case calls && !(r.wait && !r.open && begun() == x.sent && x.ringing == r.last.ringing): // which no entry has twice
		x.part, x.exchange = attention, r.begin(x)
		r.open, r.wait = true, true
	case r.open && r.answers && waited <= waitWrong && x.sent != r.last.sent && r.last.part == signal && (!r.alone[code] || r.means[r.s.codes[r.last.code]] == nil):
		x.part, x.exchange = repeated, r.last.exchange // in other beats
		r.open = false
	case r.wait && waited <= waitAnswer && begun() == x.sent:
		x.part, x.exchange = signal, r.last.exchange
		r.open, r.wait = true, false
	case r.wait && !r.open && waited <= waitWrong && begun() != x.sent && !r.alone[code]:
		x.part, x.exchange = repeated, r.last.exchange // of a signal that is not there
		r.wait = false
	default:
		x.part, x.exchange = signal, r.begin(x)
		r.open, r.wait = true, false
	}
	r.s.exchanges[x.exchange].note(x, means, r.answers || code.Spoken())
	if x.part == signal && r.s.exchanges[x.exchange].offer {
		r.offers[x.sent] = offering{x.exchange, at}
	} else if o, is := r.offers[!x.sent]; is && o.exchange == x.exchange && x.part > signal {
		delete(r.offers, !x.sent)
	}
	r.last, r.at = *x, at
}

// unanswered says whether an offer of that way is young enough for an answer.
func (r *bellReading) unanswered(sent bool, at block.Time) bool {
	o, is := r.offers[sent]
	return is && at-o.at <= waitAnswer
}

func answering(means []rulebook.Meaning) bool {
	return slices.Contains(means, rulebook.Restricted) || slices.Contains(means, rulebook.NotClear) || slices.Contains(means, rulebook.LineClear)
}

func (r *bellReading) begin(x *bell) int32 {
	r.s.exchanges = append(r.s.exchanges, exchange{sent: x.sent})
	return int32(len(r.s.exchanges) - 1)
}

// note takes from a bell what it tells of the exchange.
func (e *exchange) note(x *bell, means []rulebook.Meaning, answers bool) {
	switch x.part {
	case signal:
		e.code = x.code
		e.offer = slices.Contains(means, rulebook.Offer)
		if e.offer && !answers {
			e.accept, e.seq = full, x.seq // a book of signals has offers that were accepted
		}
	case repeated:
		e.code = cmp.Or(e.code, x.code)
		if e.offer {
			e.accept, e.seq = full, x.seq
		}
	case answer:
		e.accept, e.seq = restricted, x.seq
		if slices.Contains(means, rulebook.NotClear) {
			e.accept = refused
		} else if slices.Contains(means, rulebook.LineClear) {
			e.accept = full
		}
	}
}
