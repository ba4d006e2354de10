package reading

import (
	"slices"

	"fairhand/block"
)

// Hold keeps findings back, in their order, while a later entry may still show
// that they stand no more, so that whoever tells them tells it with them.
type Hold struct {
	list []block.Finding
}

// holdMost is how many findings are kept back at once; of more the oldest are
// told as they stand.
const holdMost = 4096

// Take takes what an entry found and the state after it, and gives what need not
// wait any longer. The list is good until the next call.
func (h *Hold) Take(found []block.Finding, s *block.State) []block.Finding {
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
			h.list = append(h.list, f)
		}
	}
	n := 0
	for n < len(h.list) && (h.list[n].Answered != 0 && !s.MayStandAgain(&h.list[n]) || len(h.list)-n > holdMost || h.list[n].Answered == 0 && !s.MayAnswer(&h.list[n])) {
		n++
	}
	out := h.list[:n:n]
	if h.list = h.list[n:]; len(h.list) == 0 {
		h.list = nil
	}
	return out
}

// Any says whether a finding that matches is kept back because it may still be
// answered, or behind one that may.
func (h *Hold) Any(match func(*block.Finding) bool) bool {
	return slices.ContainsFunc(h.list, func(f block.Finding) bool { return match(&f) })
}

// Rest gives what is kept back at the end of the book.
func (h *Hold) Rest() []block.Finding {
	out := h.list
	h.list = nil
	return out
}
