package export

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"strings"

	"fairhand/block"
	"fairhand/export/graph"
	"fairhand/register"
)

// The page to look at: one file that asks for nothing from outside, which its
// own content policy forbids. Without its script all of it can be read; the
// script adds a field that picks out a train.

//go:embed day.html
var htmlPage string

//go:embed day.css
var htmlStyle string

//go:embed day.js
var htmlScript string

var htmlTemplate = template.Must(template.New("day").Parse(htmlPage))

type htmlDay struct {
	Title, Duty string
	Policy      string
	Style       template.CSS
	Script      template.JS
	Graph       template.HTML
	Columns     []register.PageColumn
	Groups      []htmlGroup
	Pages       []htmlSide
	Findings    []htmlFinding
	Entries     []htmlEntry
	Handovers   []htmlHandover
	Figures     []figureGroup
	Legend      string
	Seal        []htmlSeal
	Foot        []string
}

type htmlSeal struct{ Name, Text string }

type htmlGroup struct {
	Name string
	Span int
}

type htmlSide struct {
	Title string
	Lines []htmlLine
}

type htmlLine struct {
	Train   string // for the filter: names of the trains it is about
	Kind    string // train, past or across
	Sign    string
	Grave   string // severity, for the style
	Cells   []htmlCell
	Clock   string
	Text    string
	Struck  bool
	Beside  string
	Columns int // that an entry across the page takes
}

type htmlCell struct{ Text, Class string }

type htmlFinding struct {
	Number int
	Grave  string
	Sign   string
	Clock  string
	Entry  int64
	Train  string
	Lines  []string
}

type htmlEntry struct {
	Entry   int64
	Writer  string // only where it changes
	Train   string
	Line    string
	By      int64
	Instead string
	Found   []htmlFinding
	Explain []int64
}

func writeHTML(w io.Writer, d *register.Day) error {
	var svg strings.Builder
	if err := graph.Of(d).SVG(&svg, graph.SVGOptions{}); err != nil {
		return err
	}
	v := htmlDay{Title: d.Title(), Duty: dutyLine(d), Style: template.CSS(htmlStyle), Script: template.JS(htmlScript),
		Graph: template.HTML(svg.String()), Columns: register.PageColumns(), Legend: register.PageLegend[0], Foot: d.Foot()}
	sum := sha256.Sum256([]byte(htmlScript))
	v.Policy = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	for _, c := range v.Columns {
		if n := len(v.Groups); n > 0 && v.Groups[n-1].Name == c.Group {
			v.Groups[n-1].Span++
		} else {
			v.Groups = append(v.Groups, htmlGroup{c.Group, 1})
		}
	}
	if d.Seal != nil {
		for _, p := range sealParts(d.Seal) {
			v.Seal = append(v.Seal, htmlSeal{p.name, p.text})
		}
	}
	about := map[int64][]string{}
	for n, rows := range trainsOf(d) {
		for _, r := range rows {
			about[n] = append(about[n], r.Train.Label(d.Box))
		}
	}
	trains := func(entries ...int64) string {
		var out []string
		for _, n := range entries {
			out = append(out, about[n]...)
		}
		return strings.Join(out, "\n")
	}
	for _, p := range d.Pages(0) {
		v.Pages = append(v.Pages, htmlPageOf(&p, trains))
	}
	for i := range d.Findings {
		f := htmlFindingOf(d, &d.Findings[i], trains)
		f.Number = i + 1
		v.Findings = append(v.Findings, f)
	}
	v.Handovers, v.Figures = htmlHandovers(d), figureGroups(d)
	v.Entries = htmlEntries(d, trains)
	return htmlTemplate.Execute(w, v)
}

func htmlEntries(d *register.Day, trains func(...int64) string) []htmlEntry {
	var out []htmlEntry
	writer := "?"
	for i := range d.Entries {
		e := &d.Entries[i]
		h := htmlEntry{Entry: e.Seq, Train: trains(e.Seq), Line: e.Line, By: e.CorrectedBy, Explain: e.Explained}
		if e.CorrectedBy != 0 {
			h.Instead = d.Instead(e)
		}
		if e.Writer != writer {
			if writer, h.Writer = e.Writer, e.Writer; writer == "" {
				h.Writer = "nobody signed on"
			}
		}
		for j := range e.Findings {
			h.Found = append(h.Found, htmlFindingOf(d, &e.Findings[j], trains))
		}
		out = append(out, h)
	}
	return out
}

func htmlPageOf(p *register.Page, trains func(...int64) string) htmlSide {
	side := htmlSide{Title: p.Title}
	cols := register.PageColumns()
	for _, l := range p.Lines {
		h := htmlLine{Train: trains(l.Entries...), Kind: "train", Clock: l.Clock, Text: l.Text, Struck: l.Struck, Beside: l.Beside, Columns: len(cols) - 1}
		if l.Found {
			h.Sign, h.Grave = signs[l.Severity], l.Severity.String()
		}
		switch l.Kind {
		case register.AcrossPage:
			h.Kind = "across"
		case register.PastLine:
			h.Kind = "past"
		}
		if l.Kind != register.AcrossPage {
			h.Train = l.Cells[0] + "\n" + h.Train
			for i, c := range cols {
				class := ""
				if c.Clock {
					class = "clock"
				}
				if c.Key == "by" || c.Key == "for" || c.Key == "token" {
					class += " side"
				}
				h.Cells = append(h.Cells, htmlCell{l.Cells[i], strings.TrimSpace(class)})
			}
		}
		side.Lines = append(side.Lines, h)
	}
	return side
}

func htmlFindingOf(d *register.Day, f *block.Finding, trains func(...int64) string) htmlFinding {
	return htmlFinding{Grave: f.Severity.String(), Sign: signs[f.Severity], Clock: d.Clock(f.At), Entry: f.Seq,
		Train: f.Train + "\n" + trains(f.Seq), Lines: register.FindingLines(f)}
}

// dutyLine says who was on duty and when they came and went.
func dutyLine(d *register.Day) string {
	var duty []string
	if len(d.OnDuty) > 0 {
		duty = append(duty, strings.Join(d.OnDuty, ", ")+" at the first entry")
	}
	for _, t := range d.Turns {
		if t.On != 0 {
			duty = append(duty, t.Name+" on "+d.Clock(t.On))
		}
		if t.Off != 0 {
			duty = append(duty, t.Name+" off "+d.Clock(t.Off))
		}
	}
	if len(duty) == 0 {
		return "Nobody signed on"
	}
	return "Duty: " + strings.Join(duty, "; ")
}
