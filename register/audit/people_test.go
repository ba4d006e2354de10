package audit

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fairhand/block/rulebook"
	"fairhand/register/sheet"
)

// clerks work a box for sixty days in turn. A careless one leaves out one tail lamp
// in ten, the others one in a hundred; one who came for two days only was unlucky.
func clerks(seed uint64) string { return clerksWith(seed, 0.1) }

// clerksWith has the careless one leave out so large a share.
func clerksWith(seed uint64, careless float64) string {
	rng := rand.New(rand.NewPCG(seed, 5))
	names := []string{"A. Fell", "B. Gow", "C. Hale", "D. Innes", "E. Jory"}
	var b strings.Builder
	for day := range 60 {
		fmt.Fprintf(&b, "date 2026-%02d-%02d\n05:00 clock right\n", 3+day/30, 1+day%30)
		for turn := range 2 {
			name := names[(2*day+turn)%len(names)]
			if turn == 0 && (day == 20 || day == 40) {
				name = "U. Lucky"
			}
			at := (6 + 8*turn) * 60
			fmt.Fprintf(&b, "%s duty on %q\n", hm(at), name)
			for n := range 12 {
				at += 20
				train := fmt.Sprintf("2T%d%02d", turn, n)
				fmt.Fprintf(&b, "%s Saltgarth <1 >1 <3-1 >3-1 train %s\n%s Saltgarth <2 >2 train %s\n", hm(at), train, hm(at+2), train)
				p := 0.01
				if name == "C. Hale" {
					p = careless
				}
				lamp := " complete"
				if name == "U. Lucky" && n == 5 || name != "U. Lucky" && rng.Float64() < p {
					lamp = ""
				}
				fmt.Fprintf(&b, "%s train %s arrived at \"Platform 1\"%s\n%s Saltgarth >1 <1 >2-1 <2-1 train %s\n%s train %s put away\n", hm(at+8), train, lamp, hm(at+9), train, hm(at+10), train)
			}
			fmt.Fprintf(&b, "%s duty off %q\n", hm(at+15), name)
		}
	}
	return b.String()
}

func hm(at int) string { return fmt.Sprintf("%02d:%02d", at/60, at%60) }

// TestCarelessClerk: who leaves out one tail lamp in ten is the first of the report,
// beyond chance; who had two in twenty-four trains by bad luck is not named, and
// nor is anybody else.
func TestCarelessClerk(t *testing.T) {
	file := decodeBox(t, testBox)
	for seed := uint64(1); seed <= 5; seed++ {
		r := auditBook(t, file, clerks(seed), Options{})
		if len(r.People) != 7 { // with nobody, who booked the clock
			t.Fatalf("%d people", len(r.People))
		}
		for i, p := range r.People {
			for _, x := range p.Rules {
				if x.Beyond != (i == 0 && rulebook.RuleID(x.Rule) == rulebook.OutOfSectionTailLampNotSeen) {
					t.Errorf("seed %d: place %d, %s, %+v", seed, i, p.Name, x)
				}
			}
		}
		first := r.People[0]
		if first.Name != "C. Hale" || first.Turns != 24 && first.Turns != 23 && first.Turns != 22 || first.Trains != 12*first.Turns {
			t.Errorf("seed %d: first is %+v", seed, first)
		}
		var months, trains int64
		for _, p := range r.Periods {
			if p.Kind == "month" {
				months, trains = months+1, trains+p.Trains
			}
		}
		if months != 2 || trains != 60*24 {
			t.Errorf("seed %d: %d months, %d trains", seed, months, trains)
		}
		var out strings.Builder
		for _, s := range r.Document().Sections {
			out.WriteString(s.Title + "\n")
		}
		if !strings.Contains(out.String(), "People\nBy time and place\n") {
			t.Errorf("sections %q", out.String())
		}
	}
}

// TestCarelessAtFourInAHundred: who leaves out four tail lamps in a hundred, where the others
// leave out one, is named with how seldom chance does that, and nobody else is: in 102 of 200
// such reports, and in those of the others he is not told apart from them.
func TestCarelessAtFourInAHundred(t *testing.T) {
	file, named, others := decodeBox(t, testBox), 0, 0
	for seed := uint64(1); seed <= 6; seed++ {
		r := auditBook(t, file, clerksWith(seed, 0.04), Options{})
		for i := range r.People {
			for k := range r.People[i].Rules {
				switch x := &r.People[i].Rules[k]; {
				case !x.rare():
				case r.People[i].Name == "C. Hale":
					named++
					if i != 0 || !strings.Contains(x.words(), "chance") {
						t.Errorf("seed %d: place %d: %s", seed, i, x.words())
					}
				default:
					others++
					t.Logf("seed %d: %s: %s", seed, r.People[i].Name, x.words())
				}
			}
		}
	}
	if named < 4 || others > 0 {
		t.Errorf("named in %d reports of 6, others %d times", named, others)
	}
}

// TestOneBadTurn: who stood in for one turn, and had all the slips of the month in it, is
// not named, however few trains he had: they may have one cause. In three turns he is.
func TestOneBadTurn(t *testing.T) {
	lamps := strings.NewReplacer(" at \"Platform 1\"\n", " at \"Platform 1\" complete\n").Replace(clerks(1))
	for turns, want := range map[int]bool{1: false, 2: false, 3: true} {
		days := strings.SplitAfter(lamps, "date ")
		for i := range turns {
			d := &days[10*i+3]
			*d = strings.Replace(*d, " complete\n", "\n", 3)
			name := regexp.MustCompile(`duty on ("[^"]+")`).FindStringSubmatch(*d)[1]
			*d = strings.Replace(strings.Replace(*d, name, `"N. Comer"`, 1), "off "+name, `off "N. Comer"`, 1)
		}
		r := auditBook(t, decodeBox(t, testBox), strings.Join(days, ""), Options{})
		i := slices.IndexFunc(r.People, func(p Person) bool { return p.Name == "N. Comer" })
		x := r.People[i].Rules[0]
		if x.Count != int64(3*turns) || x.Turns != int64(turns) || x.Beyond != want || x.Chance*10 > beyondChance {
			t.Errorf("%d turns: %+v, want beyond chance %v", turns, x, want)
		}
	}
}

// TestWhoWasOnDuty: what was left undone is told of whoever was on duty when it fell due,
// not of him who had signed the train on its way minutes before he was relieved; what an
// act did, of whoever did it, also where a late entry of another stands beside it.
func TestWhoWasOnDuty(t *testing.T) {
	const relieved = `date 2026-03-02
06:00 duty on "A. Fell"
13:50 Saltgarth <1 >1 <3-1 >3-1 train 2P13
13:52 Saltgarth <2 >2
13:55 duty on "R. Howe"
13:56 duty off "A. Fell"
`
	for _, c := range []struct{ name, more, rule, want string }{
		{"a train overdue after he was relieved", "16:00 note \"x\"\n", "train-overdue", "R. Howe R. Howe"},
		{"overdue before the next relief", "13:57 note \"x\"\n16:00 duty on \"A. Fell\"\n16:01 duty off \"R. Howe\"\n", "train-overdue", "R. Howe R. Howe"},
		{"what the relief did", "14:00 Saltgarth >1 <1 >2-1 <2-1\n", "out-of-section-train-not-arrived", "R. Howe"},
		{"beside an entry written late by another", "13:58 note \"x\"\n16:00 note \"y\"\n17:00 duty on \"A. Fell\"\n15:50 note \"z\" written 17:01\n", "train-overdue", "R. Howe R. Howe"},
		{"nobody relieved him", "", "train-overdue", ""},
	} {
		r := auditBook(t, decodeBox(t, testBox), relieved+c.more, Options{})
		var got []string
		for _, x := range r.Rules {
			for _, d := range x.Details {
				if x.Rule == c.rule {
					got = append(got, d.Turn)
				}
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %s of %q, want %q", c.name, c.rule, got, c.want)
		}
		for _, p := range r.People {
			for _, x := range p.Rules {
				if x.Rule == c.rule && !strings.Contains(c.want, p.Name) {
					t.Errorf("%s: %s is counted for %s", c.name, c.rule, p.Name)
				}
			}
		}
	}
}

// TestTrainee: what a trainee wrote is told with who answers for it.
func TestTrainee(t *testing.T) {
	box := strings.Replace(testBox, "people:\n", "people:\n  - {name: T. Lad, role: trainee}\n", 1)
	r := auditBook(t, decodeBox(t, box), `date 2026-03-02
06:00 duty on "A. Fell"
06:10 duty on "T. Lad" under "A. Fell"
06:20 Saltgarth <1 >1 <3-1 >3-1 train 2P06
06:22 Saltgarth <2 >2
06:30 Saltgarth >1 <1 >2-1 <2-1
06:40 duty off "T. Lad"
06:41 note "x"
`, Options{})
	var out []string
	for _, s := range []sheet.Section{r.people(), r.turns()} {
		for _, row := range s.Parts[0].(*sheet.Table).Rows {
			out = append(out, row.Cells[0])
			for _, l := range row.Under {
				out = append(out, l.Text)
			}
		}
	}
	if s := strings.Join(out, "\n"); !strings.Contains(s, "T. Lad, trainee") || !strings.Contains(s, "under A. Fell, who answers for it") || strings.Count(s, "who answers") != 1 {
		t.Errorf("told:\n%s", s)
	}
}

// TestTimesInFives: a turn written up from memory has its times at whole fives; it is told of
// that turn and of no other, and not of a few entries that fall so.
func TestTimesInFives(t *testing.T) {
	for _, c := range []struct {
		name  string
		every func(i int) int // the minute of entry i
		n     int
		want  bool
	}{
		{"as it happened", func(i int) int { return 7 * i }, 40, false},
		{"in fives", func(i int) int { return 5 * i }, 40, true},
		{"all but a few in fives", func(i int) int { return 5*i + i%4/3 }, 40, true},
		{"a few", func(i int) int { return 5 * i }, 20, false},
		{"one moment again and again", func(i int) int { return i / 20 }, 400, false},
	} {
		book := "date 2026-03-02\n05:01 duty on \"A. Fell\"\n"
		for i := range c.n {
			book += fmt.Sprintf("%s note \"n%d\"\n", hm(6*60+c.every(i)), i)
		}
		r := auditBook(t, decodeBox(t, testBox), book, Options{})
		if len(r.Turns) != 1 || r.Turns[0].inFives() != c.want {
			t.Errorf("%s: %+v", c.name, r.Turns)
		}
	}
}

// TestFilter: what is chosen is counted and told, and nothing else; the report says
// so.
func TestFilter(t *testing.T) {
	file, book := decodeBox(t, testBox), clerks(1)+"21:00 note \"late\"\n20:55 note \"earlier\"\n"
	all := auditBook(t, file, book, Options{})
	count := func(r *Report) (n int64) {
		for _, s := range r.Severities {
			n += s.Count
		}
		return n
	}
	rule := rulebook.OutOfSectionTailLampNotSeen
	one := auditBook(t, file, book, Options{Filter: Filter{Rules: []rulebook.RuleID{rule}, Person: "C. Hale"}})
	var want int64
	for _, x := range all.People[0].Rules {
		if x.Rule == string(rule) {
			want = x.Count
		}
	}
	if count(one) != want || want == 0 || len(one.Rules) != 1 || one.Chosen != "of out-of-section-tail-lamp-not-seen, in the turns of C. Hale" {
		t.Errorf("%d of %d, %q", count(one), want, one.Chosen)
	}
	if len(one.People) != 1 || !reflect.DeepEqual(one.People[0].Rules, slices.DeleteFunc(slices.Clone(all.People[0].Rules), func(x PersonRule) bool { return x.Rule != string(rule) })) {
		t.Errorf("one person alone is compared otherwise than beside the others:\n%+v\n%+v", one.People, all.People[0].Rules)
	}
	for _, turn := range one.Turns {
		if turn.Name != "C. Hale" || int64(len(one.Turns)) != one.TurnCount {
			t.Errorf("a turn of %s among %d", turn.Name, one.TurnCount)
		}
	}
	if !reflect.DeepEqual(one.Keeping, all.Keeping) || all.Keeping.OutOfOrder == 0 {
		t.Errorf("how the book was kept is not that of the whole of it:\n%+v\n%+v", one.Keeping, all.Keeping)
	}
	for _, f := range []Filter{{Person: "C Hale"}, {Section: "Coldbek"}, {Person: "Nobody At All"}} {
		if _, err := Run(t.Context(), Notation(file, strings.NewReader(book)), Options{Filter: f}); !errors.Is(err, ErrNotKnown) {
			t.Errorf("%+v: %v", f, err)
		}
	}
	if n := count(auditBook(t, file, book, Options{Filter: Filter{Section: "Coldbeck"}})); n != 0 {
		t.Errorf("%d findings of a section without any", n)
	}
	if a, b := count(auditBook(t, file, book, Options{Filter: Filter{Least: rulebook.Danger}})), all.Severities[0].Count; a != b {
		t.Errorf("%d dangers chosen of %d", a, b)
	}
	if a, b := count(auditBook(t, file, book, Options{Filter: Filter{Unexplained: true}})), all.Unexplained(rulebook.Danger)+all.Unexplained(rulebook.Irregular)+all.Unexplained(rulebook.Advice); a != b {
		t.Errorf("%d unexplained of %d", a, b)
	}
}

// TestIntervals: the approximation against the exact limits of a Poisson count
// (F. Garwood, Biometrika 28, 1936, as tabled in textbooks; from memory), and the
// binomial tail against sums done by hand.
func TestIntervals(t *testing.T) {
	for n, want := range map[int64][2]float64{0: {0, 3.69}, 1: {0.025, 5.57}, 5: {1.62, 11.67}, 10: {4.80, 18.39}, 100: {81.36, 121.63}} {
		low, high := poisson95(n)
		if math.Abs(low-want[0]) > 0.1+0.01*want[0] || math.Abs(high-want[1]) > 0.1+0.01*want[1] {
			t.Errorf("%d: %.2f to %.2f, want %v", n, low, high, want)
		}
	}
	for _, c := range []struct {
		k, n int64
		p    float64
		want float64
	}{{0, 3, 0.5, 1}, {3, 3, 0.5, 0.125}, {2, 3, 0.5, 0.5}, {1, 2, 0.1, 0.19}} {
		if got := atLeast(c.k, c.n, c.p); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %v", c, got)
		}
	}
}
