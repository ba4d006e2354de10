package export

import (
	"encoding/json"
	"io"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/each"
	"fairhand/register/notation"
	"fairhand/register/sheet"
)

// SchemaJSON names the shape of the JSON export. It changes when a field
// changes its meaning or goes; fields may be added without.
const SchemaJSON = "fairhand-day-1"

// DayJSON is the shape of the JSON export; the schema that users get is made from it.
type DayJSON = jsonDay

// The JSON export, schema fairhand-day-1. Times are RFC 3339 with the offset of
// the box's zone and keep their seconds; a field that was not recorded is left
// out. "line" is the entry as first written, in the book notation, and "event"
// its fields as they stand, that is as corrected when "corrected_by" is there.
// "seal" is there when the last entry of the register or of the day was sealed: the
// statement, to be taken byte for byte, its SSH signature and the public key.
type jsonDay struct {
	Schema   string        `json:"schema"`
	Caution  string        `json:"caution"`
	Alarms   []sheet.Alarm `json:"alarms,omitempty"` // what takes the worth from it
	Railway  string        `json:"railway,omitempty"`
	Box      string        `json:"box"`
	Date     string        `json:"date"`
	Zone     string        `json:"zone"`
	Rules    string        `json:"rules"`
	Rounding string        `json:"rounding"`                  // of the printed page; nothing here is rounded
	Under    *jsonUnder    `json:"box_description,omitempty"` // that the day was judged under at its end
	Last     jsonHead      `json:"last_entry_of_day"`
	Head     jsonHead      `json:"last_entry_of_register"`
	Seal     *jsonSeal     `json:"seal,omitempty"`
	OnDuty   []string      `json:"on_duty_at_first_entry"`
	Turns    []jsonTurn    `json:"turns"`
	Entries  []jsonEntry   `json:"entries"`
	Later    []jsonEntry   `json:"later_corrections,omitempty"`
	Trains   []jsonTrain   `json:"trains"`
	Across   []jsonAcross  `json:"across_the_page"`
	Findings []jsonFinding `json:"findings"`                    // that stand, each with what follows from it below it
	Gone     []jsonFinding `json:"findings_answered,omitempty"` // found as it was written, and standing no more

	Handovers []jsonHandover `json:"handovers,omitempty"`
}

type jsonHead struct {
	Entry int64  `json:"entry"`
	Hash  string `json:"hash,omitempty"`
}

type jsonUnder struct {
	Entry  int64  `json:"entry"` // that brought it in; 0: the register began with it, or keeps none
	SHA256 string `json:"sha256"`
	Kept   bool   `json:"kept"` // in the register; else it is box.yaml as it was when this was made
}

type jsonSeal struct {
	Statement string `json:"statement"` // to be taken byte for byte, as are the next two
	Signature string `json:"signature"`
	PublicKey string `json:"public_key"`
}

type jsonTurn struct {
	Name string `json:"name"`
	On   string `json:"on,omitempty"`
	Off  string `json:"off,omitempty"`
}

type jsonEntry struct {
	Entry       int64         `json:"entry"`
	At          string        `json:"at"`
	Recorded    string        `json:"recorded"`
	Writer      string        `json:"writer,omitempty"`
	Line        string        `json:"line"`
	Event       jsonEvent     `json:"event"`
	CorrectedBy int64         `json:"corrected_by,omitempty"`
	Instead     string        `json:"stands_instead,omitempty"`
	ExplainedBy []int64       `json:"explained_by,omitempty"`
	Findings    []jsonFinding `json:"findings,omitempty"`
	Previous    string        `json:"previous_hash,omitempty"`
	Hash        string        `json:"hash,omitempty"`
}

type jsonEvent struct {
	Kind    string     `json:"kind"`
	At      string     `json:"at"`
	Written string     `json:"written,omitempty"`
	Section string     `json:"section,omitempty"`
	Line    string     `json:"line,omitempty"`
	Train   string     `json:"train,omitempty"`
	Place   string     `json:"place,omitempty"`
	From    string     `json:"from,omitempty"`
	Proof   string     `json:"proof,omitempty"`
	Far     bool       `json:"there,omitempty"`
	Large   bool       `json:"large,omitempty"`
	Subject string     `json:"subject,omitempty"`
	Number  *int       `json:"number,omitempty"`
	Other   *int       `json:"number_there,omitempty"`
	Target  int64      `json:"target,omitempty"`
	PN      string     `json:"private_number,omitempty"`
	Bells   []jsonBell `json:"bells,omitempty"`
	Text    string     `json:"text,omitempty"`
}

type jsonBell struct {
	Sent bool          `json:"sent"`
	Code rulebook.Code `json:"code"`
}

type jsonTrain struct {
	Train    string        `json:"train"`
	Code     rulebook.Code `json:"description,omitempty"`
	Class    string        `json:"class"`
	Page     string        `json:"page,omitempty"`
	By       *jsonLeg      `json:"by,omitempty"`
	For      *jsonLeg      `json:"for,omitempty"`
	Departed string        `json:"departed,omitempty"`
	Earlier  []jsonLeg     `json:"did_not_remain,omitempty"` // signalled and given up
	Tokens   []jsonRemark  `json:"tokens,omitempty"`
	Places   []string      `json:"places,omitempty"`
	Remarks  []string      `json:"remarks,omitempty"` // as on the page
	Entries  []int64       `json:"entries"`
}

type jsonLeg struct {
	Section    string `json:"section"`
	Way        string `json:"way"`
	Offered    string `json:"offered,omitempty"`
	Accepted   string `json:"accepted,omitempty"`
	Restricted bool   `json:"restricted,omitempty"`
	Entering   string `json:"entering,omitempty"`
	Arrived    string `json:"arrived_or_passed,omitempty"`
	OutOf      string `json:"out_of_section,omitempty"`
	Cancelled  string `json:"cancelled,omitempty"`
}

type jsonRemark struct {
	At    string `json:"at"`
	Entry int64  `json:"entry"`
	Words string `json:"words"`
}

type jsonAcross struct {
	Entry   int64  `json:"entry"`
	At      string `json:"at"`
	Text    string `json:"text"`
	Means   string `json:"means,omitempty"`
	Struck  bool   `json:"struck,omitempty"`
	By      int64  `json:"corrected_by,omitempty"`
	Instead string `json:"stands_instead,omitempty"`
}

type jsonFinding struct {
	Rule     rulebook.RuleID `json:"rule"`
	Severity string          `json:"severity"`
	Entry    int64           `json:"entry"`
	At       string          `json:"at"`
	Section  string          `json:"section,omitempty"`
	Line     string          `json:"line,omitempty"`
	Train    string          `json:"train,omitempty"`
	Text     string          `json:"text"`
	Expected string          `json:"expected,omitempty"`
	Rests    []int64         `json:"rests_on,omitempty"`
	Source   string          `json:"source,omitempty"`

	Root        int64   `json:"root,omitempty"`     // entry it follows from
	Answered    int64   `json:"answered,omitempty"` // entry since which it stands no more
	ExplainedBy []int64 `json:"explained_by,omitempty"`
}

func writeJSON(w io.Writer, d *register.Day) error {
	s := shaper{d}
	j := jsonDay{
		Schema: SchemaJSON, Caution: register.Caution, Alarms: d.Alarms, Under: &jsonUnder{d.Described.Entry, d.Described.Digest, d.Described.Kept}, Railway: d.Box.Railway, Box: d.Box.Name, Date: d.Date.String(),
		Zone: d.Zone.String(), Rules: d.Box.Rules.Name, Rounding: d.Box.Rounding,
		Last: jsonHead{d.Last.Seq, d.Last.Hash.String()}, Head: jsonHead{d.Head.Seq, d.Head.Hash.String()},
		OnDuty: append([]string{}, d.OnDuty...), Trains: each.Of(d.Rows, s.train),
		Turns: each.Of(d.Turns, func(t register.Turn) jsonTurn { return jsonTurn{t.Name, d.Stamp(t.On), d.Stamp(t.Off)} }),
		Across: each.Of(d.Across, func(a register.AcrossLine) jsonAcross {
			return jsonAcross{a.Seq, d.Stamp(a.At), a.Text, a.Means, a.Struck, a.By, a.Instead}
		}),
		Entries: s.entries(d.Entries), Later: s.entries(d.Later), Findings: s.findings(d.Findings), Gone: s.findings(d.Answered), Handovers: s.handovers(),
	}
	if d.Seal != nil {
		j.Seal = &jsonSeal{d.Seal.Statement, d.Seal.Signature, d.Seal.PublicKey}
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false) // bells are written < and >
	enc.SetIndent("", "  ")
	return enc.Encode(j)
}

// shaper puts the parts of a day into the shape of the schema.
type shaper struct{ d *register.Day }

func (s shaper) entries(list []register.Entry) []jsonEntry {
	return each.Of(list, func(e register.Entry) jsonEntry {
		return jsonEntry{Entry: e.Seq, At: s.d.Stamp(block.Time(e.At)), Recorded: s.d.Stamp(block.Time(e.Recorded)), Writer: e.Writer,
			Line: e.Line, Event: s.event(&e.Event), CorrectedBy: e.CorrectedBy, Instead: s.d.Instead(&e), ExplainedBy: e.Explained,
			Findings: s.findings(e.Findings), Previous: e.Prev.String(), Hash: e.Hash.String()}
	})
}

func (s shaper) event(ev *block.Event) jsonEvent {
	j := jsonEvent{Kind: notation.KindWord(ev.Kind), At: s.d.Stamp(ev.At), Written: s.d.Stamp(ev.Written), Section: ev.Section, Line: ev.Line,
		Train: ev.Train, Place: ev.Place, From: ev.From, Proof: ev.Proof.String(), Far: ev.Far, Large: ev.Large, Subject: ev.Subject,
		Target: ev.Target, PN: ev.PN, Bells: each.Of(ev.Bells, func(b block.Bell) jsonBell { return jsonBell(b) }), Text: ev.Text}
	if notation.KindNumbered(ev.Kind) {
		j.Number = &ev.Number
	}
	if ev.Kind == block.TokenCount && ev.Other >= 0 {
		j.Other = &ev.Other
	}
	return j
}

func (s shaper) train(r register.TrainRow) jsonTrain {
	t := &r.Train
	j := jsonTrain{Train: t.Label(s.d.Box), Code: t.Code, Class: t.Class.String(), Page: r.Page, Departed: s.d.Stamp(r.Departed),
		Earlier: each.Of(r.Earlier, func(p register.PastLeg) jsonLeg { return s.leg(p.Leg, p.Dir) }),
		Tokens:  each.Of(r.Tokens, func(m register.Remark) jsonRemark { return jsonRemark{s.d.Stamp(m.At), m.Seq, m.Words} }),
		Places:  r.Places, Remarks: s.d.Remarks(&r), Entries: r.Entries}
	if t.In.Section >= 0 {
		l := s.leg(t.In, block.Inward)
		j.By = &l
	}
	if t.Out.Section >= 0 {
		l := s.leg(t.Out, block.Outward)
		l.Arrived = "" // the departure has a field of its own
		j.For = &l
	}
	return j
}

func (s shaper) leg(l block.Leg, dir block.Dir) jsonLeg {
	at := s.d.Stamp
	return jsonLeg{s.d.LegName(l), dir.String(), at(l.Offered), at(l.LineClear()), l.Restricted, at(l.Entering), at(l.Arrived), at(l.OutOf), at(l.Cancelled)}
}

func (s shaper) findings(list []block.Finding) []jsonFinding {
	return each.Of(list, func(f block.Finding) jsonFinding {
		return jsonFinding{f.Rule, f.Severity.String(), f.Seq, s.d.Stamp(f.At), f.Section, f.Line, f.Train, f.Text, f.Expected, f.Rests, f.Ref,
			f.Root, f.Answered, s.d.ExplainedBy(f.Seq)}
	})
}
