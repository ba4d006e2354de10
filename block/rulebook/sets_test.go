package rulebook

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A register is read for ever by the set it was written under: testdata/sets.txt holds
// what each set and each method of working is made of, so that no row, limit or habit
// changes unseen. -update writes it again.
func TestSetsStand(t *testing.T) {
	const path = "testdata/sets.txt"
	var now strings.Builder
	for m := range MethodCount {
		fmt.Fprintf(&now, "method %+v\n", m.Is())
	}
	for n, l := range LimitWords {
		fmt.Fprintf(&now, "limit %d %s\n", n, l.Key)
	}
	for _, row := range Spoken() {
		row.Source = ""
		fmt.Fprintf(&now, "spoken %+v\n", row)
	}
	for _, set := range ruleSets {
		r := *set
		r.Source, r.ClearingPointSource, r.Codes, r.Limits, r.Clauses = "", "", nil, Limits{}, nil
		fmt.Fprintf(&now, "set %+v\n", r)
		for n, l := range set.Limits {
			fmt.Fprintf(&now, "%s %s %d s\n", r.Name, LimitWords[n].Key, l.Value)
		}
		for _, row := range set.Codes {
			row.Source = ""
			fmt.Fprintf(&now, "%s %+v\n", r.Name, row)
		}
	}
	if *update {
		if err := os.WriteFile(path, []byte(now.String()), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	was, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(was), now.String()); diff != "" {
		t.Errorf("(-was +is):\n%s", diff)
	}
}
