package block_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// TestRowsFire looks for rows that no event can bring about: moves of the model
// and bells and token entries at random, right and wrong, are put to both boxes
// under every rule set that covers the method, and every row must have judged
// at least one of them. The seed is fixed, so the test says the same each time.
func TestRowsFire(t *testing.T) {
	if depth(t, 1, 1) == 0 {
		t.Skip("many thousand histories: at full depth only (FAIRHAND_DEPTH=full)")
	}
	for m := range rulebook.MethodCount {
		t.Run(block.NameOver(m), func(t *testing.T) {
			fired, stop := block.WatchRows(m)
			defer stop()
			events := 0
			for _, rules := range rulebook.RuleSetNames() {
				if !rulebook.RuleSetNamed(rules).Covers(m) {
					continue
				}
				p := newPlant(t, m, rules, rules != "british-early")
				if p.follows() {
					p.following("goods", 2, "3-2")
				}
				for seed := range uint64(1500) {
					if seed%50 == 0 && allFired(m, fired) {
						break
					}
					events += wander(t, p, rand.New(rand.NewPCG(seed, uint64(m))))
				}
			}
			unused := 0
			for i, n := range fired {
				if n > 0 {
					continue
				}
				unused++
				if why := neverFires[block.NameOver(m)+" "+block.RowName(m, i)]; why != "" {
					t.Logf("open point %s: row %s never fires", why, block.RowName(m, i))
					continue
				}
				t.Errorf("row %d never fires: %s", i, block.RowName(m, i))
			}
			t.Logf("%d events, %d of %d rows fired", events, len(fired)-unused, len(fired))
		})
	}
}

// neverFires are the rows known not to fire, with the wish that tells of them.
var neverFires = map[string]string{
	"absolute offered: line not clear":                                            "W21",
	"absolute any phase: line not clear":                                          "W21",
	"absolute normal: line clear given":                                           "W21",
	"token normal: line clear given":                                              "W21",
	"token shunt release asked: line not clear":                                   "W21",
	"token shunt release asked: line clear given":                                 "W21",
	"token any phase: token put in (against the direction in force)":              "W21",
	"staff-and-ticket offered: line not clear":                                    "W21",
	"staff-and-ticket any phase: line not clear":                                  "W21",
	"staff-and-ticket any phase: line not clear (against the direction in force)": "W21",
	"staff-and-ticket normal: line clear given":                                   "W21",
	"permissive offered: line not clear":                                          "the British sets have no bell that refuses",
	"permissive any phase: line not clear":                                        "likewise",
	"single-line-working offered: line not clear":                                 "the British sets have no bell that refuses",
	"single-line-working any phase: line not clear":                               "likewise",
	"single-line-working normal: line clear given":                                "W21",
	"tokenless normal: line clear given":                                          "W21",
}

// allFired says whether every row has fired that is not known never to.
func allFired(m rulebook.Method, fired []int) bool {
	for i, n := range fired {
		if n == 0 && neverFires[block.NameOver(m)+" "+block.RowName(m, i)] == "" {
			return false
		}
	}
	return true
}

// wander puts one random history to both books.
func wander(t *testing.T, p *plant, r *rand.Rand) (events int) {
	sc := p.open(t)
	kit := bellKit(p.box[0], r)
	for range 60 {
		if all := p.moves(&sc.world); r.IntN(3) == 0 && len(all) > 0 {
			m := all[r.IntN(len(all))]
			sc.world = m.next
			for x := range 2 {
				for _, line := range m.book[x] {
					write(t, p, &sc.book[x], x, line, clock)
					events++
				}
			}
			continue
		}
		x := r.IntN(2)
		e := kit.stray(&sc.book[x], r)
		e.At, e.Seq, e.Section = clock, sc.book[x].LastSeq+1, far(x)
		sc.book[x], _ = block.Apply(p.box[x], sc.book[x], &e)
		events++
	}
	return events
}

// kit is the few meanings that one walk uses, so that some walks go deep.
type kit struct {
	codes             []rulebook.Code
	offer, restricted rulebook.Code
	keyed             bool // the section has a shunt key
}

// blockMeanings are the meanings that change the block.
var blockMeanings = []rulebook.Meaning{
	rulebook.Offer, rulebook.Entering, rulebook.OutOfSection, rulebook.ObstructionRemoved, rulebook.Cancelling, rulebook.WrongDescription,
	rulebook.Restricted, rulebook.LineNowClear, rulebook.BlockBackInside, rulebook.BlockBackOutside, rulebook.ObstructionDanger,
	rulebook.NotClear, rulebook.LineClear, rulebook.ShuntAhead, rulebook.ShuntWithdrawn, rulebook.ReleaseToken, rulebook.TokenReplaced,
}

func bellKit(b *block.Box, r *rand.Rand) kit {
	k := kit{keyed: b.Sections[0].Method.Is().ShuntKey}
	byMeaning := map[rulebook.Meaning]rulebook.Code{}
	var meanings []rulebook.Meaning
	for _, c := range b.CodeBook(0) {
		if byMeaning[c.Means] == "" && slices.Contains(blockMeanings, c.Means) {
			meanings = append(meanings, c.Means)
		}
		byMeaning[c.Means] = c.Code
	}
	k.offer, k.restricted = byMeaning[rulebook.Offer], byMeaning[rulebook.Restricted]
	k.codes = append(k.codes, k.offer, byMeaning[rulebook.OutOfSection])
	if r.IntN(3) == 0 { // what comes last of all: one phase over another
		k.codes = append(k.codes, byMeaning[rulebook.BlockBackOutside], byMeaning[rulebook.BlockBackInside], byMeaning[rulebook.ObstructionRemoved])
		k.codes = slices.DeleteFunc(k.codes, func(c rulebook.Code) bool { return c == "" })
	}
	if b.Sections[0].Method.Is().Follows { // the moves there have no obstructions
		k.codes = append(k.codes, "2-1-2")
	}
	for range 4 {
		k.codes = append(k.codes, byMeaning[meanings[r.IntN(len(meanings))]])
	}
	return k
}

// stray is an entry about the section at random: a bell of any meaning, alone,
// called and answered, or the answer to the bell that hangs; a token or a train.
func (k kit) stray(s *block.State, r *rand.Rand) block.Event {
	train := trainNames[r.IntN(3)]
	if k.keyed && r.IntN(4) == 0 {
		kinds := []block.Kind{block.CounterReset, block.ShuntKeyTaken, block.ShuntKeyBack, block.Indicator, block.Indicator}
		return block.Event{Kind: kinds[r.IntN(len(kinds))], Subject: [2]string{"free", "occupied"}[r.IntN(2)], Line: []string{"", "Up", "Down"}[r.IntN(3)]}
	}
	switch r.IntN(10) {
	case 0:
		return block.Event{Kind: block.TokenOut, Number: 1 + r.IntN(3), Far: r.IntN(2) == 0}
	case 1:
		return block.Event{Kind: block.TokenIn, Number: 1 + r.IntN(3), Far: r.IntN(2) == 0}
	case 2:
		return block.Event{Kind: block.TrainDeparted, Train: train}
	}
	e := block.Event{Kind: block.Bells}
	if r.IntN(3) == 0 {
		e.Train = train
	}
	code, sent := k.codes[r.IntN(len(k.codes))], r.IntN(2) == 0
	switch a := s.Bells[0].Asked; {
	case a.Open && r.IntN(4) == 0:
		e.Bells = []block.Bell{{Sent: !a.Sent, Code: a.Code}}
	case a.Open && r.IntN(3) == 0:
		e.Bells = []block.Bell{{Sent: !a.Sent, Code: code}}
	case r.IntN(8) == 0 && k.restricted != "":
		e.Bells = []block.Bell{{Sent: sent, Code: "1"}, {Sent: !sent, Code: "1"}, {Sent: sent, Code: k.offer}, {Sent: !sent, Code: k.restricted}, {Sent: sent, Code: k.restricted}}
	default:
		e.Bells = []block.Bell{{Sent: sent, Code: "1"}, {Sent: !sent, Code: "1"}, {Sent: sent, Code: code}, {Sent: !sent, Code: code}}[2*r.IntN(2) : 3+r.IntN(2)]
	}
	return e
}
