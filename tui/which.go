package tui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register/each"
	"fairhand/register/notation"
)

// One of several entries expected next is asked about by numbers: to which neighbour a train
// goes on, where many ways lead on and nothing tells; and what the window has no room for.
// So a list longer than the window costs a key more, and nothing in it is out of reach.

// waysShown is how many ways on of one train stand in the list, each under its key.
const waysShown = 2

// gathered are the rows of the list, the ways on of a train in one where they are more. A
// way that is wanted before the others, being booked or shown by the book, keeps its own.
func gathered(next []block.Expectation) (out []listed) {
	ways := map[string][]block.Expectation{}
	for _, x := range next {
		if of, _ := onward(&x); of != "" {
			ways[of] = append(ways[of], x)
		}
	}
	met := map[string]int{}
	for _, x := range next {
		of, words := onward(&x)
		all := ways[of]
		own := len(all) // ways with a row of their own
		if own > waysShown {
			own = 0
			if words += " on"; all[0].Wanted < all[1].Wanted {
				own, words = 1, strings.TrimSuffix(words, " on")+" another way"
			}
		}
		l := listed{Expectation: x, body: bodyOf(&x)}
		if n := met[of]; n == own && of != "" {
			l.Label, l.body, l.ways = words, "", all[own:]
		}
		if met[of] <= own || of == "" {
			out = append(out, l)
		}
		met[of]++
	}
	return out
}

// onward tells of the offer of a train to a neighbour which train it is, and what it says but
// for the neighbour; "" of all else.
func onward(x *block.Expectation) (of, words string) {
	words, ok := strings.CutSuffix(x.Label, " to "+x.Event.Section+block.LineWords(&x.Event))
	if !ok || x.Act != block.ActOffer || !x.Mine {
		return "", ""
	}
	return cmp.Or(x.Event.Train, words), words
}

// bodyOf is what an entry expected next writes, without what nobody told yet; nothing where it
// would show the number of a token so.
func bodyOf(x *block.Expectation) string {
	if x.Untold {
		return ""
	}
	e := x.Event
	if x.AskPN {
		e.PN, e.Subject = "", ""
	}
	if x.AskTrain && len(e.Bells) > 0 && e.Bells[0].Code.Spoken() {
		e.Train = "" // to be typed as it is told
	}
	return notation.FormatBody(e)
}

// theRest asks which of the entries is meant that no key of the list writes.
func (m model) theRest() model {
	var rest []listed
	for _, l := range m.listed {
		if l.since.IsZero() || l.number == 0 {
			rest = append(rest, l)
		}
	}
	if len(rest) == 0 {
		return m.saying("All that is expected next is on the screen, under its number. Nothing was written.", calm)
	}
	return m.asksWhich("WHICH OF THE OTHERS", rest)
}

// asksWhich asks which of several entries is meant.
func (m model) asksWhich(title string, of []listed) model {
	m.mode, m.which, m.whichOf, m.whichFrom, m.msg = modeWhich, of, title, 0, message{}
	return m
}

// oneOf asks which way on a train takes, of those of a row of the list.
func (m model) oneOf(l *listed) model {
	of := each.Of(l.ways, func(x block.Expectation) listed { return listed{Expectation: x, body: bodyOf(&x)} })
	return m.asksWhich(sentence(l.Label)+": TO WHICH BOX", of)
}

// whichPage are those asked about that the window has room for at once.
func (m *model) whichPage() []listed {
	room := numbers
	if m.height <= 30 {
		room = 5
	}
	return m.which[m.whichFrom:min(len(m.which), m.whichFrom+room)]
}

// moreWhich says whether others are asked about than the window shows.
func moreWhich(m *model) bool { return len(m.whichPage()) < len(m.which) }

// pressWhich is the keys while it is asked which of several entries is meant.
func (m model) pressWhich(p pressed) (model, cmd) {
	page := m.whichPage()
	switch p.do {
	case doDrop:
		return m.dropped(), cmd{}
	case doRest:
		m.whichFrom += len(page)
		if m.whichFrom >= len(m.which) {
			m.whichFrom = 0
		}
		m.came = m.moment // other entries stand under the same keys
		return m, cmd{}
	}
	n := int(p.key[0] - '1')
	if n >= len(page) || m.fresh(m.came, p.when) {
		return m.tooSoonOrNone(n < len(page), p.key), cmd{}
	}
	if l := &page[n]; l.ways != nil {
		return m.oneOf(l), cmd{}
	}
	i := slices.IndexFunc(m.next, func(x block.Expectation) bool { return x.Label == page[n].Label && bodyOf(&x) == page[n].body })
	if i < 0 {
		return m.done().says(page[n].Label+" is no longer expected. Nothing was written.", warn)
	}
	return m.expected(m.next[i], p.at)
}

// tooSoonOrNone says why a number of a question is not obeyed.
func (m model) tooSoonOrNone(there bool, key string) model {
	if there {
		return m.tooSoon()
	}
	return m.saying("Nothing stands under "+key+". Nothing was written.", warn)
}

// whichPanel asks which of several entries is meant.
func whichPanel(m *model, p *page) []row {
	title := " " + m.whichOf + "? "
	page := m.whichPage()
	if len(page) < len(m.which) {
		title += fmt.Sprintf("%d TO %d OF %d ", m.whichFrom+1, m.whichFrom+len(page), len(m.which))
	}
	out := []row{ruled(p.t, title, p.w)}
	for i := range page {
		l := &page[i]
		r := row{txt(plain, " "), txt(keycap, itoa(i+1)), txt(plain, " "+l.Label)}
		if asks := l.wants(); asks != "" {
			r = r.add(dim, "  "+asks)
		}
		out = append(out, r.withBody(l, p.w).wrapped(p.w, 4)...)
	}
	return out
}
