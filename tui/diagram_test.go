package tui

import (
	"fmt"
	"strings"
	"testing"

	"fairhand/block"
)

// Places that do not fit are counted, trains before empty places, and no train
// is left out without its name.
func TestPlacesThatDoNotFit(t *testing.T) {
	for _, c := range []struct {
		trains string // a digit a place: how many trains
		rows   int
		want   string
	}{
		{"0000", 5, "PLACES A – B – C – D –"},
		{"0000", 4, "PLACES A – B – and 2 more, empty"},
		{"0010", 4, "PLACES A – C 2 and 2 more, empty"},
		{"1111", 4, "PLACES A 0 B 1 and 2 more: 2 3"},
		{"0001", 3, "PLACES D 3 and 3 more, empty"},
		{"1000", 2, "PLACES and 4 more: 0"},
	} {
		m := model{}
		m.box = &block.Box{Name: "Places"}
		m.state = &block.State{}
		for i, n := range c.trains {
			name := string(rune('A' + i))
			m.box.Places = append(m.box.Places, block.Place{Name: name})
			for range n - '0' {
				m.state.Trains = append(m.state.Trains, &block.Train{Name: fmt.Sprint(i), Place: name, Where: block.Here})
			}
		}
		th := newTheme(false, Never)
		got := middle(&m, &th, c.rows)
		if s := strings.Join(strings.Fields(strings.Join(got, " ")), " "); s != c.want || len(got) > c.rows {
			t.Errorf("%s in %d rows: %q, want %q", c.trains, c.rows, s, c.want)
		}
	}
}

// What is offered to the neighbour and what he gave line clear for are told apart
// in words and in the drawing, and neither reads like an order to go.
func TestOfferedAndClearAreToldApart(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		r := newRig(t, "absolute.yaml", 80, 24, Options{ASCII: ascii})
		g := newTheme(ascii, Never).glyphs
		r.log(`10:00 duty on "A. Fell"`, "10:00 Coldbeck >1 <1 >3-1 train 1M44").at("10:03")
		r.want("1M44 to go, offered 3 min ago").want(strings.Repeat(g.offered, 4))
		r.log("10:03 Coldbeck <3-1 train 1M44").want("LINE CLEAR for 1M44, got now").want(strings.Repeat(g.given, 4))
		r.at("10:04").want("got 1 min ago")
		if strings.Contains(r.text(), strings.Repeat(g.offered, 4)) {
			t.Errorf("still drawn as offered:\n%s", r.text())
		}
	}
}

// Whatever is to be done at once and is said of it, the line is drawn on the smallest screen,
// and the last entry stands below: three matters on rows of their own pushed the drawing out.
func TestDiagramStays(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(twoComing...).log("10:01 Coldbeck <2 >2 train 2A12", `10:02 reminder on "Lever 5" "vehicles stand on the single line beyond the bridge"`, `10:02 reminder on "Lever 6" "vehicles stand on the single line beyond the bridge"`,
		`10:02 failure "Mill Lane Crossing" "the gate is broken and a man stands there with a flag"`).at("10:03").press("b", "22")
	r.want("┤ Platform 1").want("2A12→").want("(←1M44)").want("10:02 failure").want(" TRAIN IN SECTION").want("2-2 is")
	r = newRig(t, "absolute.yaml", 80, 24, Options{})
	r.log(twoComing...).log(`10:02 obstruct "Down Main" Saltgarth "wagon foul of the line at the ground frame"`, `10:02 obstruct "Up Main" Coldbeck "a tree on the line, and wires down at the bridge"`).at("10:03")
	r.want("OBSTRUCTED Down Main (Saltgarth): wagon").want("OBSTRUCTED Up Main (Coldbeck)").want("…+1 (s)").want("┤ Platform 1").press("Enter").want("┤ Platform 1")
}

// A line that is barred is drawn so, however long the name of what is on it.
func TestABarredLineIsSeenBesideALongName(t *testing.T) {
	r := newRig(t, "junction.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:55 "Hallow Road" <1 >1 <4 >4`, `09:56 "Hallow Road" >6 <6`).at("09:57").want("Up Main   ╳╳(4 from Hallo…╳╳┤")
}
