package block_test

import (
	"encoding/json"
	"flag"
	"slices"
	"strings"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The draws of every run are the same unless -rapid.seed says otherwise (0: new
// ones), so that no change is refused for what another's chance has found.
func init() { _ = flag.Set("rapid.seed", "1") }

func asJSON(t testing.TB, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(string(b), ":[]", ":null") // an empty list is no list
}

// loose reads JSON back without types, to show a difference.
func loose(s string) (v any) {
	if err := json.Unmarshal([]byte(s), &v); err != nil {
		return err
	}
	return v
}

// TestReplayIsStepByStep drives random histories through both doors: Apply, a
// new state for each entry, and Runner, one state changed in place. States and
// findings must be the same, Apply must not touch the state it is given, and
// must give the same answer twice.
func TestReplayIsStepByStep(t *testing.T) {
	list := plants(t)
	rapid.Check(t, func(r *rapid.T) {
		p := list[rapid.IntRange(0, len(list)-1).Draw(r, "plant")]
		sc := p.open(t)
		run := [2]*block.Runner{block.NewRunner(p.box[0], sc.book[0]), block.NewRunner(p.box[1], sc.book[1])}
		at := clock
		for range rapid.IntRange(1, 30).Draw(r, "moves") {
			all := p.moves(&sc.world)
			m := all[rapid.IntRange(0, len(all)-1).Draw(r, "move")]
			sc.world = m.next
			at += block.Time(rapid.IntRange(0, 400).Draw(r, "seconds"))
			for x := range 2 {
				for _, line := range m.book[x] {
					e := reading(t, line)
					e.At, e.Seq = at, sc.book[x].LastSeq+1
					before := asJSON(t, &sc.book[x])
					next, found := block.Apply(p.box[x], sc.book[x], &e)
					if after := asJSON(t, &sc.book[x]); after != before {
						r.Fatalf("%s: Apply changed the state it was given\n%s\n%s", line, before, after)
					}
					_, again := block.Apply(p.box[x], sc.book[x], &e)
					inPlace := run[x].Step(&e)
					if a, b, c := asJSON(t, found), asJSON(t, again), asJSON(t, inPlace); a != b || a != c {
						r.Fatalf("%s: findings differ\nApply  %s\nagain  %s\nRunner %s", line, a, b, c)
					}
					if a, b := asJSON(t, &next), asJSON(t, run[x].Look()); a != b {
						r.Fatalf("%s: states differ (-Apply +Runner)\n%s", line, cmp.Diff(loose(a), loose(b)))
					}
					sc.book[x] = next
				}
			}
		}
	})
}

// TestAnyEventIsTaken throws random events at every method: Apply, Due,
// Expected and Finish take whatever comes without panic, and what Expected
// offers then still raises nothing.
func TestAnyEventIsTaken(t *testing.T) {
	list := plants(t)
	rapid.Check(t, func(r *rapid.T) {
		p := list[rapid.IntRange(0, len(list)-1).Draw(r, "plant")]
		s := block.NewState(p.box[0])
		for i := range rapid.IntRange(1, 40).Draw(r, "events") {
			e := anyEvent(r)
			e.Seq = int64(i + 1)
			s, _ = block.Apply(p.box[0], s, &e)
			block.Due(p.box[0], &s, clock+block.Time(1e6))
		}
		harmless(r, p.box[0], &s)
		block.NewRunner(p.box[0], s).Finish()
	})
}

// anyEvent is any kind of entry with names that may or may not be known.
func anyEvent(r *rapid.T) block.Event {
	pick := func(what string, list ...string) string { return rapid.SampledFrom(list).Draw(r, what) }
	e := block.Event{
		At:      clock + block.Time(rapid.IntRange(-900, 9000).Draw(r, "at")),
		Kind:    block.Kind(rapid.IntRange(0, block.Kinds-1).Draw(r, "kind")),
		Section: pick("section", "", "Saltgarth", "Saltgarth", "Saltgarth", "Coldbeck", "Nowhere"),
		Line:    pick("line", "", "", "Up", "Down", "Single", "Away", "Siding"),
		Train:   pick("train", "", "1A01", "1A02", "2B11", "9Z99"),
		Place:   pick("place", "", "Yard", "Home", "Nowhere"),
		From:    pick("from", "", "", "Saltgarth", "Coldbeck", "Nowhere"),
		Subject: pick("subject", "", "1A01", "A. Fell", "line-clear", "normal", "train-on-line", "Lever 5"),
		Text:    pick("text", "", "1A01 standing", "why?"),
		PN:      pick("pn", "", "", "41"),
		Proof:   block.Proof(rapid.IntRange(0, 3).Draw(r, "proof")),
		Far:     rapid.Bool().Draw(r, "far"),
		Number:  rapid.IntRange(-1, 6).Draw(r, "number"),
		Other:   rapid.IntRange(-1, 4).Draw(r, "other"),
		Target:  int64(rapid.IntRange(-1, 20).Draw(r, "target")),
	}
	if rapid.Bool().Draw(r, "bells") {
		e.Kind = block.Bells
	}
	if e.Kind == block.Bells {
		for range rapid.IntRange(0, 5).Draw(r, "beats") {
			code := pick("code", "1", "1", "1", "2", "2-1", "3-1", "3-1", "4", "3-5", "5-3", "6", "2-4", "3-3", "2-1-2", "3-5-5", "5-2", "2-5", "9", "4-5", "16", "7-5-5", "9-9")
			e.Bells = append(e.Bells, block.Bell{Sent: rapid.Bool().Draw(r, "sent"), Code: rulebook.Code(code)})
		}
	}
	return e
}

type fataler interface{ Fatalf(string, ...any) }

// harmless tries everything that Expected offers: none of it may raise anything,
// except the advice that an entry without a name could be meant for two trains.
func harmless(t fataler, b *block.Box, s *block.State) []block.Expectation {
	list := block.Expected(b, s)
	for _, x := range list {
		e := x.Event
		e.At, e.Seq = max(s.Now, s.LastAt), s.LastSeq+1
		_, found := block.Apply(b, *s, &e)
		if slices.ContainsFunc(found, func(f block.Finding) bool {
			return f.Seq == e.Seq && f.Rule != "train-name-assumed" && f.Rule != "step-not-booked"
		}) {
			t.Fatalf("%s expects %q, which raises %s", b.Name, x.Label, told(found))
		}
	}
	return list
}

// TestExpected holds Expected to the regular working of the model: at every
// state of every regular history what it offers raises nothing, and the next
// step of the ordinary course is among what it offers.
func TestExpected(t *testing.T) {
	for _, p := range plants(t) {
		t.Run(p.name, func(t *testing.T) {
			missing, stories, tried := map[string]int{}, map[string]string{}, 0
			s := &search{t: t, p: p, limit: depth(t, expectDepth, 4)}
			s.visit = func(sc *scene) {
				var lists [2][]block.Expectation
				for x := range 2 {
					lists[x] = harmless(t, p.box[x], &sc.book[x])
					tried += len(lists[x])
				}
				for _, m := range p.moves(&sc.world) {
					if m.next.wrong > 0 || outOfCourse(&sc.world, &m) {
						continue
					}
					for x := range 2 {
						for _, line := range m.book[x] {
							e, book := reading(t, line), sc.book[x]
							if len(write(t, p, &book, x, line, clock)) > 0 {
								continue // TestNoCryingWolf tells of it
							}
							if !slices.ContainsFunc(lists[x], func(o block.Expectation) bool { return foresees(&o, &e) }) {
								kind := "expected: " + generic(m.name)
								if missing[kind]++; missing[kind] == 1 {
									stories[kind] = s.told(sc, m) + "    " + boxNames[x] + " does not expect " + line + expects(lists[x])
								}
							}
						}
					}
				}
			}
			s.run()
			t.Logf("%d states, %d expectations tried", len(s.seen), tried)
			for kind, story := range stories {
				t.Errorf("%d times, first so: %s", missing[kind], story)
			}
		})
	}
}

func expects(list []block.Expectation) string {
	var b strings.Builder
	b.WriteString("; it expects\n")
	for _, o := range list {
		b.WriteString("      " + o.Label + "\n")
	}
	return b.String()
}

// expectDepth is how long the histories are in which Expected is asked.
const expectDepth = 11

// outOfCourse are the regular moves that no one can foresee: a signaller or the
// ground decides, nothing before them calls for them. An offer that stands
// unanswered awaits its answer first.
func outOfCourse(w *world, m *move) bool {
	if m.next.work.back && !w.work.back || w.asked != 0 && strings.HasPrefix(m.name, "offer") {
		return true
	}
	if w.work.stage == clear && (strings.HasPrefix(m.name, "staff from") || strings.HasPrefix(m.name, "ticket from") || strings.HasPrefix(m.name, "token put in")) {
		return true // authority given back by a train that has not gone
	}
	return slices.ContainsFunc([]string{"cancel", "blocking back", "wagon", "obstruction danger", "shunt", "put away", "draws clear",
		"without tail lamp", "in part", "within the clearing point", "rest of", "4-5 for"}, func(w string) bool { return strings.Contains(m.name, w) })
}

// foresees says whether an entry is what an expectation offers, filled in where
// the expectation leaves something to ask: its bells may be the first of those offered.
func foresees(x *block.Expectation, e *block.Event) bool {
	o := &x.Event
	if o.Kind != e.Kind || o.Section != e.Section && o.Section != "" && e.Section != "" || len(e.Bells) > len(o.Bells) {
		return false
	}
	if e.Train != "" && o.Train != "" && e.Train != o.Train && !x.AskTrain {
		return false
	}
	for i, b := range e.Bells {
		if b.Sent != o.Bells[i].Sent || b.Code != o.Bells[i].Code && !x.AskCode {
			return false
		}
	}
	return e.Number == o.Number || x.AskNumber
}

// TestTokensAreConserved counts tokens: in every state of the search, right or
// wrong, each book has every token of the charge in one place and no more than
// the one it calls out drawn; and whenever regular working has the line idle,
// both books show every token in the instrument where it really is.
func TestTokensAreConserved(t *testing.T) {
	p := newPlant(t, rulebook.Token, "british-later", true)
	for _, wrong := range []int{0, 1} {
		s := &search{t: t, p: p, limit: []int{12, 5}[wrong], wrong: wrong}
		idleSeen := 0
		s.visit = func(sc *scene) {
			for x := range 2 {
				ts := &sc.book[x].Tokens[0]
				out := ts.Count(block.TokenOutOf)
				if len(ts.Where) != 3 || out > 0 != (ts.Out != 0) && sc.world.wrong == 0 {
					t.Fatalf("%s has token %d out and %d drawn of %v", boxNames[x], ts.Out, out, ts.Where)
				}
				if sc.world.wrong > 0 || sc.world.work.stage != idle || !sc.world.tokensIn() {
					continue
				}
				idleSeen++
				for n, where := range ts.Where {
					want := block.TokenHere
					if int(sc.world.token[n]) != x {
						want = block.TokenAway
					}
					if where != want {
						t.Fatalf("%s shows token %d %s, and it is %s\n%s", boxNames[x], n+1, where, want, s.told(sc, move{name: "(then)"}))
					}
				}
			}
		}
		s.run()
		t.Logf("%d states with up to %d wrong moves; %d books of an idle line compared with the instruments", len(s.seen), wrong, idleSeen)
	}
}
