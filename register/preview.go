package register

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"fairhand/block"
	"fairhand/register/reading"
)

// Refresh takes in what another program has written since this book last
// looked, and says how many entries that was. Once the entries are proved the book stands
// on what they come to.
func (b *Book) Refresh() (int, error) {
	if err := b.stand(); err != nil {
		return 0, err
	}
	rows, err := b.st.CatchUp()
	if err != nil || len(rows) == 0 {
		return 0, err
	}
	if err := b.redescribed(); err != nil {
		return len(rows), err
	}
	b.proof.drop(1)
	return len(rows), b.restored()
}

// previewFrom is what an event would bring about by which the book is read anew
// from an entry on: the state then, and the findings that are not there now.
// Findings it would take away are not in the answer.
func (b *Book) previewFrom(from int64, ev block.Event) (end block.State, fresh []block.Finding, _ error) {
	var before, then map[string]block.Finding
	err := b.fromKept(from, func(after int64, state block.State) (err error) {
		if before, _, err = b.findings(reading.Span{After: after}, state); err == nil {
			then, end, err = b.findings(reading.Span{After: after, With: &ev}, state)
		}
		return err
	})
	if err != nil {
		return end, nil, err
	}
	for key := range before {
		delete(then, key)
	}
	fresh = slices.SortedFunc(maps.Values(then), func(f, g block.Finding) int {
		if f.Less(g) {
			return -1
		}
		return 1
	})
	return end, fresh, nil
}

// findings replays the entries of a span, without touching the book.
func (b *Book) findings(span reading.Span, s block.State) (map[string]block.Finding, block.State, error) {
	run, found := reading.NewReplay(b.BoxAt(span.After), s), map[string]block.Finding{}
	for e, err := range run.Ordered(b.Entries(context.Background(), span)) {
		if err != nil {
			return nil, s, err
		}
		for _, f := range run.Take(e) {
			found[fmt.Sprintf("%d %s %s", f.Seq, f.Rule, f.Line)] = f
		}
		for _, a := range run.Look().Answers {
			delete(found, fmt.Sprintf("%d %s %s", a.Seq, a.Rule, a.Line))
		}
	}
	return found, run.State(), nil
}
