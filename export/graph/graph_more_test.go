package graph

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/measure"
	"fairhand/register/registertest"
)

func bookDay(t testing.TB, box, book string) *register.Day {
	t.Helper()
	return registertest.Day(t, box, book, 0)
}

const junction = `railway: Thrackley Vale Railway
box: Ennerholme
timezone: Europe/London
rules: british-later
sections:
  - {neighbour: Coldbeck, method: absolute, lines: [{name: Up, way: in}, {name: Down, way: out}], towards: down}
  - {neighbour: Saltgarth, method: absolute, lines: [{name: Up Main, way: out}, {name: Down Main, way: in}], towards: up}
  - {neighbour: Quarry, method: absolute, lines: [{name: Quarry Up, way: out}, {name: Quarry Down, way: in}], towards: up}
`

// The points of a train's line are the times of the book: worked out by hand
// from the entries.
func TestLineFollowsTheBook(t *testing.T) {
	d := bookDay(t, junction, `date 2026-05-05
10:00 Coldbeck <1 >1 <3-1 >3-1 train 2A10
10:03 Coldbeck <2 >2
10:08 train 2A10 arrived at "Platform 1" complete
10:09 Coldbeck >1 <1 >2-1 <2-1
10:10 Quarry >1 <1 >3-1 <3-1 train 2A10
10:12 train 2A10 departed for Quarry
10:12 Quarry >2 <2
10:20 Quarry <1 >1 <2-1 >2-1
10:30 Coldbeck <1 >1 <3-1 >3-1 train 2A12
10:33 Coldbeck <2 >2
`)
	g := Of(d)
	if len(g.Trains) != 2 || len(g.Trains[0].Runs) != 3 {
		t.Fatalf("%+v", g.Trains)
	}
	at := func(s string) block.Time {
		v, err := time.ParseInLocation("2006-01-02 15:04", "2026-05-05 "+s, d.Zone)
		if err != nil {
			t.Fatal(err)
		}
		return block.Time(v.Unix())
	}
	in, here, out := g.Trains[0].Runs[0], g.Trains[0].Runs[1], g.Trains[0].Runs[2]
	a := newAxis(d)
	for _, c := range []struct {
		got       Point
		at        string
		y         float64
		what      string
		isAssumed bool
	}{
		{in.Points[0], "10:03", a.far(0), "entering at Coldbeck", in.Assumed},
		{in.Points[1], "10:08", a.near(0), "arrival", in.Assumed},
		{here.Points[0], "10:08", a.near(0), "into the station", here.Assumed},
		{here.Points[len(here.Points)-1], "10:12", a.near(2), "out of the station", here.Assumed},
		{out.Points[0], "10:12", a.near(2), "departure", out.Assumed},
		{out.Points[1], "10:20", a.far(2), "out of section at Quarry", out.Assumed},
	} {
		if c.got.At != at(c.at) || c.got.Y != c.y || c.isAssumed {
			t.Errorf("%s: %+v, want %s at %g", c.what, c.got, c.at, c.y)
		}
	}
	if a.far(0) >= a.near(0) || a.near(0) > a.far(1) || a.far(1) >= a.far(2) {
		t.Error("Coldbeck, Ennerholme, Saltgarth and Quarry do not follow each other from the top")
	}
	last := g.Trains[1].Runs
	if len(last) != 1 || !last[0].Assumed || last[0].Points[1].At > d.Ended.Now {
		t.Errorf("2A12 is in section when the book ends: %+v", last)
	}
	compareBands(t, g, at)
}

func compareBands(t *testing.T, g *Graph, at func(string) block.Time) {
	t.Helper()
	want := []Band{
		{"2A10", 0, at("10:00"), at("10:03"), false, false}, {"2A10", 0, at("10:03"), at("10:09"), true, false},
		{"2A10", 4, at("10:10"), at("10:12"), false, false}, {"2A10", 4, at("10:12"), at("10:20"), true, false},
		{"2A12", 0, at("10:30"), at("10:33"), false, false},
	}
	if len(g.Bands) < len(want) {
		t.Fatalf("bands %+v", g.Bands)
	}
	for i, w := range want {
		if g.Bands[i] != w {
			t.Errorf("band %+v, want %+v", g.Bands[i], w)
		}
	}
}

// Nothing a book can hold breaks the SVG, and it asks for nothing from outside.
func TestSVGIsWhole(t *testing.T) {
	d := bookDay(t, junction, "date 2026-05-05\n10:00 Coldbeck <1 >1 <3-1 >3-1 train \"<b>&\\\"' 🚂 Łódź\"\n10:03 Coldbeck <2 >2\n10:04 note \"x\"\n")
	for _, d := range []*register.Day{d, registertest.DemoDay(t, "../..")} {
		var out bytes.Buffer
		if err := Of(d).SVG(&out, SVGOptions{Alone: true}); err != nil {
			t.Fatal(err)
		}
		text := out.String()
		in := xml.NewDecoder(&out)
		for {
			if _, err := in.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatal(err)
			}
		}
		for _, bad := range []string{"<b>", "href", "@import", "NaN", "Inf", "%!", "{}"} {
			if strings.Contains(text, bad) {
				t.Errorf("the graph holds %q", bad)
			}
		}
		if strings.Contains(strings.ReplaceAll(text, `xmlns="http://www.w3.org/2000/svg"`, ""), "http") {
			t.Error("the graph names an address")
		}
	}
}

// Every train, every finding and each booked train of the hours is drawn.
func TestNothingIsLostFromTheGraph(t *testing.T) {
	d := registertest.DemoDay(t, "../..")
	g := Of(d)
	if len(g.Trains) != len(d.Rows) || len(g.Marks) != len(d.Findings) || len(g.Booked) != len(d.Timetable) {
		t.Errorf("%d trains of %d, %d marks of %d, %d booked of %d", len(g.Trains), len(d.Rows), len(g.Marks), len(d.Findings), len(g.Booked), len(d.Timetable))
	}
	text := g.Text(120, 0)
	for _, tr := range g.Trains {
		if len(tr.Runs) > 0 && !strings.Contains(text, tr.Name) {
			t.Errorf("%s is not in the text", tr.Name)
		}
	}
	for _, m := range g.Marks {
		if m.Y < 0 || m.Y > 1 || !strings.Contains(text, string(m.Rule)) {
			t.Errorf("mark %+v", m)
		}
	}
	if len(g.Bands) < 2*len(g.Trains) {
		t.Errorf("%d bands for %d trains", len(g.Bands), len(g.Trains))
	}
}

// The text keeps to its width and height whatever is asked for.
func TestTextKeepsItsBounds(t *testing.T) {
	d := registertest.DemoDay(t, "../..")
	for _, c := range [][2]int{{80, 0}, {80, 20}, {120, 40}, {200, 500}, {0, 0}, {60, 1}} {
		text := Text(d, c[0], c[1])
		body, _, _ := strings.Cut(text, "\n\n")
		lines := strings.Split(body, "\n")
		for _, l := range lines[1:] {
			if n := utf8.RuneCountInString(l); n > max(c[0], textNarrow) {
				t.Errorf("%v: a line of %d: %s", c, n, l)
			}
		}
		if hours := 17; c[1] > 0 && len(lines)-2 > max(c[1], hours) {
			t.Errorf("%v: %d lines", c, len(lines)-2)
		}
	}
}

// Wide letters in a name do not push the rest of a line aside: every line of the
// graph is as wide as the others, as far as it goes.
func TestTextOfWideNames(t *testing.T) {
	line := blank(10)
	line.write(2, "東浜")
	if got := line.String(); got != "  東浜    " || measure.Width(got) != 10 {
		t.Errorf("%q", got)
	}
	line.write(3, "|") // over the second half of a wide letter
	if got := line.String(); got != "   |浜    " || measure.Width(got) != 10 {
		t.Errorf("%q", got)
	}
	line.write(8, "東浜") // cut at the end
	if got := line.String(); got != "   |浜  東" || measure.Width(got) != 10 {
		t.Errorf("%q", got)
	}
	line.write(5, "गुरु") // over the other half
	if got := line.String(); measure.Width(got) != 10 {
		t.Errorf("%q takes %d cells", got, measure.Width(got))
	}
}
