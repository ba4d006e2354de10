package register

import (
	"fmt"
	"slices"

	"fairhand/block"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// Refresh takes in what another program has written since this book last
// looked, and says how many entries that was.
func (b *Book) Refresh() (int, error) {
	rows, err := b.st.CatchUp()
	if err != nil || len(rows) == 0 {
		return 0, err
	}
	return len(rows), b.restore()
}

// previewCorrection is what a correction would bring about: the state of the
// book read again with it, and the findings that are not there now. Findings it
// would take away are not in the answer.
func (b *Book) previewCorrection(ev block.Event) (block.State, []block.Finding, error) {
	from, state, err := b.startBefore(ev.Target)
	if err != nil {
		return state, nil, err
	}
	fixes, err := readCorrections(b.st, b.read, from.Seq)
	if err != nil {
		return state, nil, err
	}
	before, _, err := b.findingsAfter(from.Seq, state, fixes)
	if err != nil {
		return state, nil, err
	}
	if _, err := notation.ParseCorrection(b.file.Location, ev.At, ev.Text); err != nil {
		return state, nil, err
	}
	fixes[ev.Target] = fix{ev.Seq, ev.Text}
	after, end, err := b.findingsAfter(from.Seq, state, fixes)
	if err != nil {
		return state, nil, err
	}
	var fresh []block.Finding
	for key, f := range after {
		if _, old := before[key]; !old {
			fresh = append(fresh, f)
		}
	}
	slices.SortFunc(fresh, func(f, g block.Finding) int {
		if f.Less(g) {
			return -1
		}
		return 1
	})
	return end, fresh, nil
}

// findingsAfter replays the entries after a number, without touching the book.
func (b *Book) findingsAfter(after int64, s block.State, fixes map[int64]fix) (map[string]block.Finding, block.State, error) {
	run := block.NewRunner(b.file.Box, s)
	found := map[string]block.Finding{}
	err := b.st.Each(after+1, func(rows []store.Row) error {
		for _, row := range rows {
			e, err := b.entry(row, fixes)
			if err != nil {
				return err
			}
			for _, f := range run.Step(&e.Event) {
				found[fmt.Sprintf("%d %s %s", f.Seq, f.Rule, f.Line)] = f
			}
		}
		return nil
	})
	return found, run.State(), err
}
