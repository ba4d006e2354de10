package register

import (
	"slices"

	"fairhand/block"
)

// answer takes from a list what the last entry of a state showed to stand no
// more, and gives that apart, marked with the entry.
func answer(list *[]block.Finding, s *block.State) (gone []block.Finding) {
	stands := func(f block.Finding) bool {
		return !slices.ContainsFunc(s.Answers, func(a block.Answer) bool { return a.Of(&f) })
	}
	if len(s.Answers) == 0 || !slices.ContainsFunc(*list, func(f block.Finding) bool { return !stands(f) }) {
		return nil
	}
	var stand []block.Finding
	for _, f := range *list {
		if stands(f) {
			stand = append(stand, f)
			continue
		}
		f.Answered = s.LastSeq
		gone = append(gone, f)
	}
	*list = stand
	return gone
}

// without drops from what is answered a finding that stands, now or again.
func without(list []block.Finding, f *block.Finding) []block.Finding {
	return slices.DeleteFunc(list, func(g block.Finding) bool { return g.Same(f) })
}

// found takes a finding of an entry.
func (e *Entry) found(f *block.Finding) {
	e.Findings, e.Answered = append(e.Findings, *f), without(e.Answered, f)
}

// answer takes from an entry what stands no more; it stays on record there.
func (e *Entry) answer(s *block.State) {
	e.Answered = append(e.Answered, answer(&e.Findings, s)...)
}

// answer takes what stands no more from the day and everything that shows it. What
// was found only as it was first written is told with it.
func (ty *tally) answer() {
	for _, f := range ty.run.Answered() {
		if i, ok := ty.index[f.Seq]; ok {
			ty.d.Entries[i].Answered = append(ty.d.Entries[i].Answered, f)
			ty.d.Answered = append(ty.d.Answered, f)
		}
	}
	s := ty.run.Look()
	for _, a := range s.Answers {
		i, ok := ty.index[a.Seq]
		if !ok {
			continue
		}
		ty.d.Entries[i].answer(s)
		answer(&ty.fates[i].found, s)
	}
	if len(s.Answers) == 0 {
		return
	}
	ty.d.Answered = append(ty.d.Answered, answer(&ty.d.Findings, s)...)
	for _, r := range ty.rows {
		answer(&r.Findings, s)
	}
}

// answer takes what stands no more from the entries in memory.
func (p *present) answer() {
	for _, a := range p.state.Answers {
		if e := p.of(a.Seq); e != nil {
			e.answer(&p.state)
		}
	}
}
