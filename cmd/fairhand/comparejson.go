package main

import (
	"fmt"

	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/compare"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

type chainJSON struct {
	Caution string        `json:"caution"`
	Alarms  []sheet.Alarm `json:"alarms,omitempty"`
	Program string        `json:"program"` // that compared
	Boxes   []string      `json:"boxes"`
	Made    []madeJSON    `json:"made-from"` // the book of each box
	Pairs   []pairJSON    `json:"pairs"`
	Trains  []wayJSON     `json:"trains"` // times by the clock of the first box
}

// madeJSON says of what a book was made.
type madeJSON struct {
	Box         string `json:"box"`
	Source      string `json:"source"`          // directory of the register, or file of a book in notation
	Entries     int    `json:"entries"`         // compared
	ProvedTo    int64  `json:"proved-to"`       // entry up to which the chain of hashes holds; 0: a book in notation proves nothing
	Head        string `json:"head"`            // hash of that entry, empty for none
	Description string `json:"box-description"` // SHA-256 of the description of the box
}

func (m *madeJSON) words() string {
	proved := "a book in notation, which proves nothing"
	if m.ProvedTo > 0 {
		proved = fmt.Sprintf("a register proved up to entry %d, whose hash is %s", m.ProvedTo, m.Head)
	}
	return fmt.Sprintf("%s: %d entries of %s, %s; box described by SHA-256 %s.", m.Box, m.Entries, m.Source, proved, m.Description[:16])
}

type pairJSON struct {
	First     string           `json:"first"`
	Second    string           `json:"second"`
	Clocks    []clockJSON      `json:"clocks"`
	Tolerance int64            `json:"tolerance-seconds"`
	Signals   [2]int           `json:"signals"` // in the first book and the second
	Matched   int              `json:"matched"`
	Compared  bool             `json:"compared"` // false: the books do not fit together
	From      string           `json:"from"`     // time that both books have, by the first clock
	To        string           `json:"to"`
	Outside   [2]int           `json:"outside"` // signals beyond it
	Findings  []differenceJSON `json:"findings"`
}

// clockJSON: seconds by which the second box's clock is ahead of the first's.
type clockJSON struct {
	From    string  `json:"from"`
	To      string  `json:"to"`
	Ahead   float64 `json:"ahead-seconds"` // at from
	Drift   float64 `json:"gained-seconds-an-hour"`
	Spread  float64 `json:"spread-seconds"`
	Matched int     `json:"matched"`
}

type differenceJSON struct {
	At        string     `json:"at"`
	Severity  string     `json:"severity"`
	Rule      string     `json:"rule-id"`
	Section   string     `json:"section"`
	Train     string     `json:"train"`
	Text      string     `json:"text"`
	Expected  string     `json:"expected"`
	Reference string     `json:"reference"`
	Entries   [2]int64   `json:"entries"` // in the first book and the second, 0 for none
	Lines     [2]int     `json:"lines"`   // of a book in notation, 0 in a register
	Times     [2]string  `json:"times"`   // each by its own clock, empty for none
	Rests     [2]numbers `json:"rests"`
}

type wayJSON struct {
	Train string     `json:"train"`
	Stops []stopJSON `json:"stops"`
}

type stopJSON struct {
	Box      string `json:"box"`
	Entered  string `json:"entered"` // empty: not recorded; as are the next three
	Arrived  string `json:"arrived"`
	Departed string `json:"departed"`
	Cleared  string `json:"out-of-section"`
}

func chainAsJSON(c *compare.Chain) chainJSON {
	loc := c.Books[0].Location
	stop := func(s compare.Stop) stopJSON {
		t := s.Common
		return stopJSON{s.Box, calendar.Stamp(t.Entered, loc), calendar.Stamp(t.Arrived, loc), calendar.Stamp(t.Departed, loc), calendar.Stamp(t.Cleared, loc)}
	}
	return chainJSON{
		Caution: register.Caution,
		Boxes:   each.Of(c.Books, func(b *compare.Book) string { return b.Box.Name }),
		Pairs:   each.Of(c.Pairs, pairAsJSON),
		Trains:  each.Of(c.Ways, func(w compare.Way) wayJSON { return wayJSON{w.Name, each.Of(w.Stops, stop)} }),
	}
}

func pairAsJSON(p *compare.Pair) pairJSON {
	loc := p.First.Location
	clock := func(c compare.Clock) clockJSON {
		return clockJSON{calendar.Stamp(c.From, loc), calendar.Stamp(c.To, loc), c.Offset, c.Drift, c.Spread, c.Matched}
	}
	difference := func(f compare.Finding) differenceJSON {
		a, b := f.Entries[0], f.Entries[1]
		return differenceJSON{
			calendar.Stamp(f.At, loc), f.Severity.String(), string(f.Rule), f.Section, f.Train, f.Text, f.Expected, f.Ref,
			[2]int64{a.Seq, b.Seq}, [2]int{p.First.Line(a.Seq), p.Second.Line(b.Seq)}, [2]string{calendar.Stamp(a.At, loc), calendar.Stamp(b.At, p.Second.Location)},
			[2]numbers{f.Rests[0], f.Rests[1]},
		}
	}
	return pairJSON{
		First: p.First.Box.Name, Second: p.Second.Box.Name, Clocks: each.Of(p.Clocks, clock), Tolerance: int64(p.Tolerance),
		Signals: p.Signals, Matched: p.Matched, Compared: p.Fits(),
		From: calendar.Stamp(p.Common.From, loc), To: calendar.Stamp(p.Common.To, loc), Outside: p.Common.Outside, Findings: each.Of(p.Findings, difference),
	}
}
