package compare

import (
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
