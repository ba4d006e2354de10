package block

import (
	"cmp"

	"fairhand/block/rulebook"
)

// Finding is one thing found against the regulations. It is a value: nothing is
// refused because of it.
type Finding struct {
	Rule     rulebook.RuleID
	Severity rulebook.Severity
	Seq      int64 // entry on which it was raised
	At       Time
	Section  string
	Line     string
	Train    string
	Text     string  // plain words, with names
	Expected string  // what the regulations expected instead
	Rests    []int64 // entries it rests on, Seq last
	Ref      string
	Root     int64 // entry it follows from, 0 when it follows from none
	Answered int64 // entry that showed it to stand no more, 0 while it stands; set by whoever keeps findings
}

// Less orders findings for reading: danger first, then by entry, then by rule.
func (f Finding) Less(g Finding) bool {
	return cmp.Or(cmp.Compare(g.Severity, f.Severity), cmp.Compare(f.Seq, g.Seq), cmp.Compare(f.Rule, g.Rule)) < 0
}
