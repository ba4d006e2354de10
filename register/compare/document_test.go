package compare

import (
	"fmt"
	"strings"
	"testing"
)

// TestLineWhole pins the whole report of two days of a line of three boxes in whose books
// stands one difference of each kind: double line and token. What stands in it of other
// kinds, or of no plant, TestLines judges; here no word, column or place may move unseen.
func TestLineWhole(t *testing.T) {
	var got strings.Builder
	for seed, token := range []bool{false, true} {
		w := simLine(uint64(8700+seed), 3, 2, token)
		train := 4
		for _, p := range linePlants {
			if p.token != token || p.rules == nil {
				continue
			}
			for try := 0; try < 20; try++ {
				train += 3
				section := train % 2
				box := section + train/2%2
				plant := p.plant
				if p.kind == "exchange invented" {
					plant = (*lineWorld).invent
				}
				if plant(w, box, section, train) {
					fmt.Fprintf(&got, "planted: %s, %s, Box%d\n", p.kind, lineName(train), box)
					break
				}
			}
		}
		c, _ := w.compare(t)
		doc := c.Document()
		fmt.Fprintf(&got, "%s | %s | %s\n", doc.Head(), doc.Times, doc.Date)
		for _, l := range doc.Plain(200) {
			fmt.Fprintln(&got, l.Text)
		}
		for _, s := range doc.Sections {
			for _, table := range s.Data {
				fmt.Fprintf(&got, "table %s of %s\n", table.Name, s.Key)
				for _, c := range table.Columns {
					fmt.Fprintf(&got, "  %s, %s, %g, number %t\n", c.Key, c.Head, c.Share, c.Number)
				}
				for i, r := range table.Rows {
					if table.Name == "Findings" || i%23 == 0 {
						fmt.Fprintln(&got, " ", strings.Join(r.Cells, " | "))
					}
				}
			}
		}
	}
	pinned(t, "testdata/line.txt", got.String())
}
