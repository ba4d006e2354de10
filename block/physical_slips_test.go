package block_test

import (
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// Slips of the pen as moves: what is done is done by both boxes, and one of them
// leaves an entry of it out, or writes the train's name wrongly.

// withSlips adds to an empty list the moves and, for those that are regular, what one slip makes
// of the entries.
func (s *search) withSlips(list []move, w *world, wrong bool) []move {
	list = s.p.movesInto(list, w, wrong)
	if s.slips == 0 {
		return list
	}
	for i := range list {
		if m := &list[i]; w.slips > 0 && strings.HasPrefix(m.name, s.p.freed()) {
			m.next.since = min(m.next.since+1, 2)
		}
	}
	for _, m := range slices.Clone(list) {
		if m.next.wrong > w.wrong || int(w.slips) >= s.slips {
			continue
		}
		for x := range m.book {
			for i, line := range m.book[x] {
				list = append(list, m.spoilt(x, i, ", not booked at "))
				if wrong := misspelling.Replace(line); wrong != line {
					n := m.spoilt(x, i, ", misspelt at ")
					n.book[x] = slices.Insert(n.book[x], i, wrong)
					list = append(list, n)
				}
			}
		}
	}
	return list
}

// freed begins the name of the move that frees the section behind a train.
func (p *plant) freed() string {
	if !p.method.Is().Offers {
		return "staff from"
	}
	return "out of section"
}

var misspelling = strings.NewReplacer(trainNames[0], "1W01", trainNames[1], "1W02", trainNames[2], "2W11")

// spoilt is the move without entry i of the book of box x.
func (m move) spoilt(x, i int, how string) move {
	m.name += how + boxNames[x]
	m.book[x] = slices.Delete(slices.Clone(m.book[x]), i, i+1)
	m.next.slips++
	return m
}

// notShown are the rules of which no later entry shows that a step was made: what
// they find stands until somebody explains it.
var notShown = map[rulebook.RuleID]string{
	rulebook.EnteredWithoutAcceptance:        "an offer whose answer is not booked looks like one refused",
	rulebook.TokenOutWithoutRelease:          "likewise",
	rulebook.AcceptanceNotOffered:            "an offer spoken and not booked looks like one not made",
	rulebook.TicketWithoutStaff:              "a staff given up, unbooked, looks like one still away",
	rulebook.StaffElsewhere:                  "a staff handed out, unbooked, shows when it comes back here",
	rulebook.WrongTrainEntered:               "one let in on the line clear of another looks like one whose offer was not booked",
	rulebook.OutOfSectionClearingPointFouled: "a train that drew clear, unbooked, may have been there",
	rulebook.AcceptedClearingPointFouled:     "likewise",
	rulebook.AssistingEngineInSection:        "an engine detached, unbooked, looks like one that went with the train",
	rulebook.PermissiveNotWarned:             "a warning given, unbooked, looks like one not given",
	rulebook.OutOfSectionTailLampNotSeen:     "a rear part brought in, unbooked, may have been left",
}

// standing names the danger that stands in one of the books, with those of notShown
// or without.
func (s *search) standing(n *scene, all bool) string {
	for x := range n.book {
		if i := slices.IndexFunc(n.book[x].Open, func(f *block.Finding) bool {
			return f.Severity == rulebook.Danger && (all || notShown[f.Rule] == "")
		}); i >= 0 {
			return string(n.book[x].Open[i].Rule)
		}
	}
	return ""
}

// underPartsName says whether a book, after a slip where trains are made up, has the very
// trains that met found as one, or parted under names that it does not have: that they were
// parted is not booked, and one has a departure and the other a bell, as one train would.
// That is an irregular name, the other a collision, and no entry tells which.
func (s *search) underPartsName(n *scene) bool {
	two := func(f *block.Finding) bool {
		if f.Rule == rulebook.TrainsNotTogether {
			return true
		}
		for t, at := range n.world.at {
			if at >= split0 && at <= section && !strings.Contains(f.Text, trainNames[t]) {
				return false
			}
		}
		return f.Rule == rulebook.TrainNameDiffers
	}
	return s.p.makes && n.world.slips > 0 && (slices.ContainsFunc(n.book[0].Open, two) || slices.ContainsFunc(n.book[1].Open, two))
}

// forgets counts a scene two trains after a slip and says whether a danger stands in it. Where
// trains follow one another the second may be the one that the slip is about: that it came is
// shown by the next.
func (s *search) forgets(n *scene) bool {
	s.judged++
	rule := s.standing(n, false)
	return rule != "" && !(s.p.follows() && rule == string(rulebook.OutOfSectionTrainNotArrived) && slices.ContainsFunc(n.book[1].Open, func(f *block.Finding) bool {
		return string(f.Rule) == rule && f.Train == trainNames[n.world.lastOut]
	}))
}

// rightBooks collects what two boxes may have written that work rightly and leave
// nothing out.
func (s *search) rightBooks() {
	s.keys, s.right = newKeyer(), map[uint64]bool{}
	right := &search{t: s.t, p: s.p, keys: s.keys, limit: s.limit + 1} // the last are not visited
	right.visit = func(n *scene) { s.right[s.keys.books(n)] = true }
	right.run()
}

// TestSlipsHideNothing: with an entry left out or misspelt by one of the boxes,
// and a move against the rules, one of the books has a danger that stands before
// two trains are in one section; unless both books are, entry by entry, those of
// right working.
func TestSlipsHideNothing(t *testing.T) {
	for _, p := range append(plants(t), makingUp(t)...) {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			s := &search{t: t, p: p, limit: depth(t, p.depths().slip, 4), wrong: 1, slips: 1}
			s.rightBooks()
			s.try()
		})
	}
}

// TestSlipsAreForgiven: right working with one slip leaves no danger that stands
// once two trains are out of the section since, but for those of notShown.
func TestSlipsAreForgiven(t *testing.T) {
	for _, p := range append(plants(t), makingUp(t)...) {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			s := &search{t: t, p: p, limit: depth(t, p.depths().forgiven, 3), slips: 1}
			s.try()
			if t.Logf("%d scenes two trains after a slip", s.judged); s.judged == 0 && s.limit == p.depths().forgiven {
				t.Error("no history is long enough to tell")
			}
		})
	}
}
