package reading

import (
	"slices"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Hold keeps findings back, in their order, while a later entry may still show
// that they stand no more, so that whoever tells them tells it with them.
type Hold struct {
	list  []block.Finding
	taken []int64 // in which turn of taking each was found
	n     int64
}

// holdMost is how many findings are kept back at once; of more the oldest are
// told as they stand.
const holdMost = 4096

// Take takes what an entry found and the state after it, and gives what need not
// wait any longer. The list is good until the next call.
func (h *Hold) Take(found []block.Finding, s *block.State) []block.Finding {
	h.n++
	for _, a := range s.Answers {
		for i := range h.list {
			if a.Of(&h.list[i]) {
				h.list[i].Answered = s.LastSeq
			}
		}
	}
	for _, f := range found {
		if i := slices.IndexFunc(h.list, func(g block.Finding) bool { return g.Answered != 0 && g.Same(&f) }); i >= 0 {
			h.list[i] = f // it stands again
		} else {
			h.list, h.taken = append(h.list, f), append(h.taken, h.n)
		}
	}
	n := 0
	for n < len(h.list) && (len(h.list)-n > holdMost || !h.awaits(n, s)) {
		n++
	}
	out := h.list[:n:n]
	if h.list, h.taken = h.list[n:], h.taken[n:]; len(h.list) == 0 {
		h.list, h.taken = nil, nil
	}
	return out
}

// awaits says whether a later entry may still show that a finding stands no more, or stands
// again: one of trains also with a misreading of an entry above it.
func (h *Hold) awaits(i int, s *block.State) bool {
	f := &h.list[i]
	if f.Answered != 0 {
		return s.MayStandAgain(f)
	}
	ofTrains := f.Section != "" || f.Train != ""
	return s.MayAnswer(f) || f.Severity > rulebook.Advice && ofTrains && h.n-h.taken[i] < misreadBack
}

// Any says whether a finding that matches is kept back because it may still be
// answered, or behind one that may.
func (h *Hold) Any(match func(*block.Finding) bool) bool {
	return slices.ContainsFunc(h.list, func(f block.Finding) bool { return match(&f) })
}

// Rest gives what is kept back at the end of the book.
func (h *Hold) Rest() []block.Finding {
	out := h.list
	h.list, h.taken = nil, nil
	return out
}
