package main

import (
	"fmt"
	"math"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/compare"
)

// sayChain prints a comparison, pair by pair, and then each train's way.
func (p *program) sayChain(c *compare.Chain) {
	for _, pair := range c.Pairs {
		p.sayPair(pair)
	}
	p.sayWays(c)
	fmt.Fprintln(p.out, register.CautionIn(plainColumns))
}

func (p *program) sayPair(pair *compare.Pair) {
	first, second := pair.First.Box.Name, pair.Second.Box.Name
	loc := pair.First.Location
	fmt.Fprintf(p.out, "%s\n", pair.Section())
	if len(pair.Clocks) == 0 {
		fmt.Fprintln(p.out, "  clocks: nothing could be matched, so their difference is not known")
	}
	for _, c := range pair.Clocks {
		fmt.Fprintf(p.out, "  clocks from %s to %s: %s\n", moment(c.From, loc), moment(c.To, loc), clockWords(c, first, second))
	}
	fmt.Fprintf(p.out, "  signals: %d in the book of %s, %d in that of %s, %d in both; times may differ by %s\n",
		pair.Signals[0], first, pair.Signals[1], second, pair.Matched, minutesText(float64(pair.Tolerance)))
	if len(pair.Findings) == 0 {
		fmt.Fprintln(p.out, "  the books agree")
	}
	for _, f := range pair.Findings {
		fmt.Fprintf(p.out, "  %s %s %s %s: %s\n", moment(f.At, loc), f.Severity, f.Rule, word(f.Train), f.Text)
		fmt.Fprintf(p.out, "      %s; %s\n", entryWords(f.First, first, pair.First), entryWords(f.Second, second, pair.Second))
		if f.Expected != "" {
			fmt.Fprintf(p.out, "      expected: %s\n", f.Expected)
		}
	}
	fmt.Fprintln(p.out)
}

// clockWords says how two clocks agreed for a stretch of time.
func clockWords(c compare.Clock, first, second string) string {
	off := c.Middle()
	text := fmt.Sprintf("that of %s agreed with that of %s", second, first)
	if math.Abs(off) >= 0.5 {
		way := "ahead of"
		if off < 0 {
			way = "behind"
		}
		text = fmt.Sprintf("that of %s was %s %s that of %s", second, minutesText(math.Abs(off)), way, first)
	}
	if math.Abs(c.Drift) >= 0.05 {
		way := "gained"
		if c.Drift < 0 {
			way = "lost"
		}
		text += fmt.Sprintf(", and %s %.1f s in an hour", way, math.Abs(c.Drift))
	}
	return fmt.Sprintf("%s (from %d signals, half within %s)", text, c.Matched, minutesText(c.Spread))
}

func entryWords(e compare.Entry, box string, b *compare.Book) string {
	if e.Seq == 0 {
		return "no entry of " + box
	}
	return fmt.Sprintf("entry %d of %s at %s", e.Seq, box, clockTime(int64(e.At), b.Location))
}

// moment is a time with its date, by the clock of the first box.
func moment(at block.Time, loc *time.Location) string {
	return time.Unix(int64(at), 0).In(loc).Format("2006-01-02 15:04")
}

// sayWays prints the way of each train along the line.
func (p *program) sayWays(c *compare.Chain) {
	if len(c.Ways) == 0 {
		return
	}
	loc := c.Books[0].Location
	fmt.Fprintf(p.out, "Trains along the line, by the clock of %s\n", c.Books[0].Box.Name)
	for _, w := range c.Ways {
		var stops []string
		for _, s := range w.Stops {
			stops = append(stops, s.Box+stopWords(s.Common, loc))
		}
		name := w.Name
		if name == "" {
			name = "not named"
		}
		fmt.Fprintf(p.out, "  %s: %s\n", name, strings.Join(stops, "; "))
	}
	fmt.Fprintln(p.out)
}

func stopWords(t compare.Times, loc *time.Location) string {
	text := ""
	for _, s := range stopTimes(t) {
		if s.at != 0 {
			text += " " + s.words + " " + time.Unix(int64(s.at)+30, 0).In(loc).Format("15:04") // a time by another clock is not known to the second
		}
	}
	return text
}

type stopTime struct {
	words string
	at    block.Time
}

func stopTimes(t compare.Times) []stopTime {
	return []stopTime{{"entered", t.Entered}, {"arrived", t.Arrived}, {"departed", t.Departed}, {"out of section", t.Cleared}}
}

type chainJSON struct {
	Caution string     `json:"caution"`
	Boxes   []string   `json:"boxes"`
	Pairs   []pairJSON `json:"pairs"`
	Trains  []wayJSON  `json:"trains"` // times by the clock of the first box
}

type pairJSON struct {
	First     string           `json:"first"`
	Second    string           `json:"second"`
	Clocks    []clockJSON      `json:"clocks"`
	Tolerance int64            `json:"tolerance-seconds"`
	Signals   [2]int           `json:"signals"` // in the first book and the second
	Matched   int              `json:"matched"`
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
	out := chainJSON{Caution: register.Caution, Boxes: []string{}, Pairs: []pairJSON{}, Trains: []wayJSON{}}
	for _, b := range c.Books {
		out.Boxes = append(out.Boxes, b.Box.Name)
	}
	for _, p := range c.Pairs {
		out.Pairs = append(out.Pairs, pairAsJSON(p))
	}
	loc := c.Books[0].Location
	for _, w := range c.Ways {
		way := wayJSON{w.Name, []stopJSON{}}
		for _, s := range w.Stops {
			t := s.Common
			way.Stops = append(way.Stops, stopJSON{s.Box, stampOrNone(t.Entered, loc), stampOrNone(t.Arrived, loc), stampOrNone(t.Departed, loc), stampOrNone(t.Cleared, loc)})
		}
		out.Trains = append(out.Trains, way)
	}
	return out
}

func pairAsJSON(p *compare.Pair) pairJSON {
	loc, other := p.First.Location, p.Second.Location
	out := pairJSON{
		First: p.First.Box.Name, Second: p.Second.Box.Name, Clocks: []clockJSON{}, Tolerance: int64(p.Tolerance),
		Signals: p.Signals, Matched: p.Matched, Findings: []differenceJSON{},
	}
	for _, c := range p.Clocks {
		out.Clocks = append(out.Clocks, clockJSON{stampOrNone(c.From, loc), stampOrNone(c.To, loc), c.Offset, c.Drift, c.Spread, c.Matched})
	}
	for _, f := range p.Findings {
		out.Findings = append(out.Findings, differenceJSON{
			stampOrNone(f.At, loc), f.Severity.String(), string(f.Rule), f.Section, f.Train, f.Text, f.Expected, f.Ref,
			[2]int64{f.First.Seq, f.Second.Seq}, [2]string{stampOrNone(f.First.At, loc), stampOrNone(f.Second.At, other)},
			[2]numbers{f.FirstRests, f.SecondRests},
		})
	}
	return out
}

// stampOrNone is a moment in RFC 3339 by a clock, empty for none.
func stampOrNone(at block.Time, loc *time.Location) string {
	if at == 0 {
		return ""
	}
	return time.Unix(int64(at), 0).In(loc).Format(time.RFC3339)
}
