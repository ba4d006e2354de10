package block

import (
	"slices"

	"fairhand/block/rulebook"
)

// DueItem is something that will fall due.
type DueItem struct {
	Pending
	Train   string
	Where   string // neighbour concerned
	Text    string
	Awaited bool // it comes of itself or from others: nothing for the signaller to do
}

// Due lists what is expected to follow and has not yet, up to a time, soonest
// first; what is already overdue comes first of all.
func Due(b *Box, s *State, until Time) []DueItem {
	var due []DueItem
	for _, p := range s.Pending {
		d := DueItem{Pending: p, Text: p.duty().words, Awaited: p.duty().awaited}
		if p.Rule == rulebook.NotAcknowledged && p.Section >= 0 && s.Bells[p.Section].Asked.Means == rulebook.ObstructionDanger {
			d.Text = "answer to obstruction danger awaited"
			d.Pending.Due = p.At + b.Limit(rulebook.DangerAfter) // found late only as any answer is, but nobody waits so long for it
		}
		if d.Pending.Due > until {
			continue
		}
		if p.Section >= 0 {
			d.Where = b.Sections[p.Section].Neighbour
		}
		if p.Crossing > 0 {
			d.Where = b.Crossings[p.Crossing-1].Name
		}
		if t := s.Train(p.Train); t != nil {
			d.Train = t.Label(b)
		}
		due = append(due, d)
	}
	slices.SortStableFunc(due, func(a, b DueItem) int { return int(a.Pending.Due - b.Pending.Due) })
	return due
}
