package compare

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// wantTokens is what the two books of testdata/tokens.txtar differ in.
const wantTokens = `token-count-differs 08:20 [6] [7] 3 counted at Eastmoor at 08:20 (entry 6, line 7) and 6 at Westbeck at 08:20 (entry 7, line 8) with 0 out make 9 of the charge of 8
token-count-differs 08:20 [6] [7] Eastmoor counted 3 and was told 5 (entry 6, line 7); Westbeck counted 6 and was told nothing (entry 7, line 8)
token-number-differs 08:39 [8 10] [9] token 6 was drawn at Westbeck at 08:31 (entry 9, line 10, of Westbeck), and token 8 put in at Eastmoor at 08:39 (entry 10, line 11, of Eastmoor)
time-differs 08:51 [13] [13] Eastmoor times token 2 drawn 08:51 (entry 13, line 14), Westbeck 08:57 (entry 13, line 14): 6 min apart after the difference of the clocks
token-count-differs 08:51 [13] [13] token 2 was drawn at Eastmoor at 08:51 (entry 13, line 14, of Eastmoor) and has come to neither instrument
token-number-differs 09:11 [17] [17] Eastmoor has token 3 drawn at 09:11 (entry 17, line 18); Westbeck was told of token 5 (entry 17, line 18)
token-count-differs 09:31 [] [22] Westbeck has token 4 drawn by Eastmoor at 09:31 (entry 22, line 23); Eastmoor has it not
`

func TestTokens(t *testing.T) {
	p := archive(t, "tokens.txtar")
	east, west := decode(t, p["eastmoor.yaml"], p["eastmoor.txt"]), decode(t, p["westbeck.yaml"], p["westbeck.txt"])
	pair, err := Two(east, west)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(wantTokens, listing(pair)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	back, err := Two(west, east)
	if err != nil || len(back.Findings) != len(pair.Findings) {
		t.Errorf("the other way, %v:\n%s", err, listing(back))
	}
}

func TestCharges(t *testing.T) {
	p := archive(t, "tokens.txtar")
	other := strings.Replace(string(p["westbeck.yaml"]), `"1-8"`, `"1-9"`, 1)
	east, west := decode(t, p["eastmoor.yaml"], nil), decode(t, []byte(other), nil)
	pair, err := Two(east, west)
	if err != nil || rules(pair.Findings) != "token-count-differs" {
		t.Errorf("%v, %s", err, listing(pair))
	}
}

// Of two numbers told of one token, the one that is put in was out, and the other lies
// where it lay: another slip with that one is found as one, at once.
func TestTokenDoubtEnds(t *testing.T) {
	book := func(k int, lines ...string) *Book {
		text := "date 2026-05-05\n"
		for _, line := range lines { // an entry's place tells its time when those around it do
			text += line[:5] + " note \"quiet\"\n" + line + "\n" + line[:5] + " note \"quiet\"\n"
		}
		return decode(t, fmt.Appendf(nil, lineBox+lineToken, k, 1-k, []string{"1-6", "7-12"}[k]), []byte(text))
	}
	first := book(0, "07:00 Box1 >3-1 <3-1", "07:01 Box1 token 8 out",
		"08:00 Box1 <3-1 >3-1", "08:01 Box1 token 8 out there", "08:20 Box1 token 7 in",
		"09:00 Box1 >3-1 <3-1", "09:01 Box1 token 7 out",
		"10:00 Box1 <3-1 >3-1", "10:01 Box1 token 9 out there", "10:20 Box1 token 8 in",
		"11:00 Box1 <3-1 >3-1", "11:01 Box1 token 8 out there")
	second := book(1, "07:00 Box0 <3-1 >3-1", "07:01 Box0 token 8 out there", "07:20 Box0 token 8 in",
		"08:00 Box0 >3-1 <3-1", "08:01 Box0 token 7 out",
		"09:00 Box0 <3-1 >3-1", "09:01 Box0 token 7 out there", "09:20 Box0 token 7 in",
		"10:00 Box0 >3-1 <3-1", "10:01 Box0 token 9 out",
		"11:00 Box0 >3-1 <3-1", "11:01 Box0 token 8 out")
	p, err := Two(first, second)
	if err != nil || rules(p.Findings) != "token-number-differs token-number-differs" {
		t.Errorf("%v\n%s", err, listing(p))
	}
}

// Of what was done with a token on another day the date is told.
func TestTokenOfAnotherDay(t *testing.T) {
	var books [2]*Book
	for k, lines := range [][]string{
		{"08:00 Box1 >3-1 <3-1", "08:01 Box1 token 1 out", "20:00 Box1 >2 <2", "date 2026-05-06", "09:00 Box1 >3-1 <3-1", "09:01 Box1 token 1 out", "09:10 Box1 >2 <2"},
		{"08:00 Box0 <3-1 >3-1", "20:00 Box0 <2 >2", "date 2026-05-06", "09:00 Box0 <3-1 >3-1", "09:10 Box0 <2 >2"},
	} {
		books[k] = decode(t, fmt.Appendf(nil, lineBox+lineToken, k, 1-k, []string{"1-6", "7-12"}[k]), []byte("date 2026-05-05\n"+strings.Join(lines, "\n")+"\n"))
	}
	p, err := Two(books[0], books[1])
	const want = "token 1 was drawn at Box0 at 2026-05-05 08:01 (entry 2, line 3, of Box0) and never put in; it was next drawn at Box0 at 09:01 ("
	if err != nil || !strings.Contains(listing(p), want) {
		t.Errorf("%v\n%swant %s", err, listing(p), want)
	}
}

// A token that the technician moved, booked at both ends, was moved once: also where the
// box that it was taken from has it a minute after the other has drawn it again.
func TestTokenMovedOnce(t *testing.T) {
	var books [2]*Book
	for k, lines := range [][]string{
		{"08:00 Box1 >2-1 <2-1", "09:00 Box1 token 7 moved here", "09:01 Box1 >3-1 <3-1", "09:01 Box1 token 7 out", "09:03 Box1 >2 <2", "09:15 Box1 <2-1 >2-1"},
		{"08:00 Box0 <2-1 >2-1", "09:01 Box0 <3-1 >3-1", "09:02 Box0 token 7 moved away", "09:03 Box0 <2 >2", "09:14 Box0 token 7 in", "09:15 Box0 >2-1 <2-1"},
	} {
		books[k] = decode(t, fmt.Appendf(nil, lineBox+lineToken, k, 1-k, []string{"1-6", "7-12"}[k]), []byte("date 2026-05-05\n"+strings.Join(lines, "\n")+"\n"))
	}
	if p, err := Two(books[0], books[1]); err != nil || len(p.Findings) > 0 {
		t.Errorf("%v\n%s", err, listing(p))
	}
}

// Where the box files do not say how many tokens there are, counts make up no charge.
func TestCountsWithoutCharge(t *testing.T) {
	a := archive(t, "tokens.txtar")
	book := func(name string) *Book {
		yaml := regexp.MustCompile(`(?m)^ *tokens: .*\n`).ReplaceAll(a[name+".yaml"], nil)
		return decode(t, yaml, a[name+".txt"])
	}
	p, err := Two(book("eastmoor"), book("westbeck"))
	if err != nil {
		t.Fatal(err)
	}
	if got := listing(p); strings.Contains(got, "of the charge of") || !strings.Contains(got, "token 6 was drawn") {
		t.Error(got)
	}
}
