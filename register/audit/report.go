package audit

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/sheet"
)

// Schema names the JSON form of a Report; see the package comment.
const Schema = "fairhand-audit-1"

// Examined says what was examined.
type Examined struct {
	Caution string `json:"caution"`
	Railway string `json:"railway"`
	Box     string `json:"box"`
	Zone    string `json:"zone"`
	RuleSet string `json:"rule_set"`
	From    string `json:"from"` // days asked for, empty when open
	To      string `json:"to"`
	Extent  Extent `json:"extent"`
	Program string `json:"program"` // that examined it
}

// Report is what an audit found.
type Report struct {
	Schema string `json:"schema"`
	Examined
	Described  []Described  `json:"box_descriptions"` // the days were judged under, oldest first; empty for a book in notation
	Chosen     string       `json:"chosen"`           // which findings are told, in words; empty for all
	Severities []Severity   `json:"severities"`       // danger, irregular, advice
	Rules      []RuleReport `json:"rules"`            // with something unexplained first
	Answered   Answered     `json:"answered"`
	People     []Person     `json:"people"`  // those with something beyond chance first
	Periods    []Period     `json:"periods"` // weeks and months
	Sections   []Place      `json:"sections"`
	Turns      []Turn       `json:"turns"`      // in order of time
	TurnCount  int64        `json:"turn_count"` // of which Turns are the ones with most to explain
	Keeping    Keeping      `json:"keeping"`
	Signed     Signed       `json:"since_signed"`
	Figures    Figures      `json:"figures"`
	Occupation Occupation   `json:"occupation"`

	Pages     string `json:"-"` // address of a folder with the days as pages, which findings lead to; empty for none
	compared  bool   // several people were on duty
	zone      *time.Location
	Signature *Signature    `json:"signature,omitempty"` // with which this report was signed
	Alarms    []sheet.Alarm `json:"alarms,omitempty"`    // what takes the worth from it, as the caller has found
}

// Described is a description of the box that came into force.
type Described struct {
	Entry   int64   `json:"entry"`             // that brought it in; 0: the register began with it, or keeps none
	At      *Moment `json:"at,omitempty"`      // of that entry, when it is of the days asked for
	SHA256  string  `json:"sha256"`            // of its text
	Kept    bool    `json:"kept"`              // in the register; else it is box.yaml as it is now
	PINs    bool    `json:"pins"`              // asked for of who signs on
	Changes string  `json:"changes,omitempty"` // what was otherwise than before
}

// Extent is how much of the book was looked at.
type Extent struct {
	First     int64  `json:"first_entry"` // numbers, 0 when there are none
	Last      int64  `json:"last_entry"`
	Entries   int64  `json:"entries"` // of the days asked for
	Days      int64  `json:"days"`    // with entries
	FirstDay  string `json:"first_day"`
	LastDay   string `json:"last_day"`
	Replayed  int64  `json:"replayed"`   // entries, with those before and after that were needed
	ProvedTo  int64  `json:"proved_to"`  // last entry proved by the chain of hashes, 0 for a book in notation
	ProvedFor int64  `json:"proved_for"` // entries proved: from the one that the replay began with
	Head      string `json:"head"`       // hash of the last entry proved
}

// span is the days from the first to the last.
func (x *Extent) span() string {
	if x.LastDay == x.FirstDay {
		return x.FirstDay
	}
	return x.FirstDay + " to " + x.LastDay
}

// Severity counts the findings of one severity.
type Severity struct {
	Severity    string `json:"severity"`
	Count       int64  `json:"count"`
	Unexplained int64  `json:"unexplained"`
}

// RuleReport is what was found against one rule.
type RuleReport struct {
	Rule        string    `json:"rule"`
	Severity    string    `json:"severity"` // the gravest it was found with
	What        string    `json:"what"`
	Count       int64     `json:"count"`
	Unexplained int64     `json:"unexplained"`
	Follow      int64     `json:"follow"` // of Count, those that follow from another entry
	Reference   string    `json:"reference"`
	Details     []Finding `json:"details"` // unexplained first, roots before what follows, then by entry
	Beyond      int64     `json:"beyond"`  // findings counted and not among the details
}

// Answered is what was found as it was written, and what later entries showed to
// stand no more. It is counted nowhere else.
type Answered struct {
	Count   int64     `json:"count"`
	Details []Finding `json:"details"` // the first of them
}

// Finding is one finding with what the signaller said of it.
type Finding struct {
	Rule     string   `json:"rule"`
	Entry    int64    `json:"entry"`
	At       Moment   `json:"at"`
	Severity string   `json:"severity"`
	Turn     string   `json:"turn"` // who was on duty, empty for nobody
	Section  string   `json:"section"`
	Line     string   `json:"line"`
	Train    string   `json:"train"`
	Text     string   `json:"text"`
	Expected string   `json:"expected"`
	Rests    []int64  `json:"rests"` // entries it rests on
	Remarks  []Remark `json:"remarks"`
	Root     int64    `json:"root,omitempty"`     // entry it follows from
	Answered int64    `json:"answered,omitempty"` // entry since which it stands no more
}

// Remark is an entry that explains another.
type Remark struct {
	Entry int64  `json:"entry"`
	At    Moment `json:"at"`
	Text  string `json:"text"`
}

// Turn is a turn of duty, or entries written with nobody on duty.
type Turn struct {
	Name       string     `json:"name"`            // empty when nobody was signed on
	Under      string     `json:"under,omitempty"` // the signaller under whom a trainee worked
	From       Moment     `json:"from"`            // signing on, else its first entry
	To         Moment     `json:"to"`              // signing off, else its last entry
	OnEntry    int64      `json:"on_entry"`
	OffEntry   int64      `json:"off_entry"` // 0: not signed off in the days asked for
	Lapsed     bool       `json:"lapsed"`    // over without signing off: the same or another has signed on since
	Entries    int64      `json:"entries"`
	Late       int64      `json:"late"`
	Corrected  int64      `json:"corrections"`
	Clock      int64      `json:"clock_checks"`
	Times      int64      `json:"times"`     // of its entries, of one moment once
	Fives      int64      `json:"in_fives"`  // of them, at five past, ten past ...: of true times a fifth
	OpenRows   []OpenRow  `json:"open_rows"` // trains on hand when it ended
	Severities []Severity `json:"severities"`
	Rules      []TurnRule `json:"rules"` // with something unexplained first
}

// SinceRule counts what was found against a rule.
type SinceRule struct {
	Rule        string `json:"rule"`
	Severity    string `json:"severity"`
	Count       int64  `json:"count"`
	Unexplained int64  `json:"unexplained"`
}

// TurnRule is how often a rule was broken in a turn.
type TurnRule struct {
	SinceRule
	Entries []int64 `json:"entries"` // the first of them, unexplained ones first
}

// OpenRow is a train still on hand.
type OpenRow struct {
	Train string `json:"train"`
	Entry int64  `json:"entry"` // that opened its row
	Where string `json:"where"`
}

// Moment is a time by the clock of the box.
type Moment struct {
	block.Time
	Zone     *time.Location
	Rounding string // of the text; JSON has the seconds
}

// MarshalJSON writes RFC 3339 with the offset of the zone, null for no time.
func (m Moment) MarshalJSON() ([]byte, error) {
	if m.Time == 0 || m.Zone == nil {
		return []byte("null"), nil
	}
	return json.Marshal(calendar.Stamp(m.Time, m.Zone))
}

// Clock is the time of day as the page of the book has it.
func (m Moment) Clock() string {
	if m.Time == 0 || m.Zone == nil {
		return "--:--"
	}
	return calendar.Clock(m.Time, m.Zone, m.Rounding)
}

// Date is the register day, 2026-05-05.
func (m Moment) Date() string {
	if m.Time == 0 || m.Zone == nil {
		return "----------"
	}
	return calendar.Of(m.Time, m.Zone).String()
}

// Exact is when it was by the clock of the computer, to the second.
func (m Moment) Exact() string { return m.Date() + " " + calendar.Exact(m.Time, m.Zone) }

// WriteJSON writes the report, indented.
func (r *Report) WriteJSON(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(r); err != nil {
		return fmt.Errorf("writing the audit: %w", err)
	}
	return nil
}

// Unexplained counts the findings of a severity that nobody explained.
func (r *Report) Unexplained(s rulebook.Severity) int64 {
	return r.Severities[rulebook.Danger-s].Unexplained
}

// summed adds up the findings of all severities, and those of them unexplained.
func summed(list []Severity) (all, left int64) {
	for _, s := range list {
		all, left = all+s.Count, left+s.Unexplained
	}
	return all, left
}

// severityColumns are the columns of a table for the counts of each severity.
var severityColumns = []sheet.Column{{Share: 8, Head: "Danger", Short: "danger", Right: true, Number: true},
	{Share: 10, Head: "Irregular", Short: "irregular", Right: true, Number: true}, {Share: 8, Head: "Advice", Short: "advice", Right: true, Number: true}}

// counts are what stands in them.
func counts(list []Severity) []string {
	return each.Of(list, func(s Severity) string { return number(s.Count) })
}

// tallies counts findings by severity; the second number is those unexplained.
type tallies [rulebook.Danger + 1][2]int64

func (t *tallies) add(s rulebook.Severity, explained bool) {
	t[s][0]++
	if !explained {
		t[s][1]++
	}
}

// report has the gravest severity first.
func (t *tallies) report() (out []Severity) {
	for s, n := range slices.Backward(t[:]) {
		out = append(out, Severity{rulebook.Severity(s).String(), n[0], n[1]})
	}
	return out
}
