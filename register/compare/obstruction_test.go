package compare

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

// regular are the books of so many trains from Eastmoor to Westbeck, one in ten minutes
// from eight, each with its exchanges, departure and arrival.
func regular(trains int) (east, west []string) {
	for i := range trains {
		at := func(minutes int) string { return clockTime(8*3600 + i*600 + minutes*60) }
		name := fmt.Sprintf("2T%02d", i)
		east = append(east, at(0)+" Westbeck >1 <1 >3-1 <3-1 train "+name, at(2)+" train "+name+" departed for Westbeck", at(2)+" Westbeck >2 <2", at(7)+" Westbeck <1 >1 <2-1 >2-1")
		west = append(west, at(0)+" Eastmoor <1 >1 <3-1 >3-1 train "+name, at(2)+" Eastmoor <2 >2", at(6)+" train "+name+" arrived complete", at(7)+" Eastmoor >1 <1 >2-1 <2-1", at(7)+" train "+name+" put away")
	}
	return east, west
}

// What one book has alone is told once, by its name, and as gravely as it is.
func TestToldOnceByItsName(t *testing.T) {
	danger := []string{`08:40 obstruct "Up Main" Westbeck "wagon foul"`, "08:40 Westbeck >6 <6", `08:50 clear "Up Main" Westbeck`, "08:50 Westbeck >1 <1 >2-1 <2-1"}
	offered := "08:40 Westbeck >1 <1 >3-1 <3-1 train 2T90"
	accepted := "08:40 Eastmoor <1 >1 <3-1 >3-1 train 2T90"
	out := []string{"08:55 Westbeck <1 >1 <2-1 >2-1", "08:55 Eastmoor >1 <1 >2-1 <2-1"}
	for _, c := range []struct {
		name       string
		east, west []string
		want, says string
	}{
		{"obstruction danger in both books", danger, []string{"08:40 Eastmoor <6 >6", "08:50 Eastmoor <1 >1 <2-1 >2-1"}, "", ""},
		{"obstruction danger in one", danger, nil, "obstruction-differs", "obstruction danger for the Up Main, 6 sent to Westbeck, at 08:40 (entry 18, line 19), and Westbeck has nothing of it; nor of its removal at 08:50 (entry 20, line 21)"},
		{"its removal in one", danger, []string{"08:40 Eastmoor <6 >6"}, "bell-missing", "has 2-1 sent to Westbeck"},
		{"a train that did not run by the other book", []string{offered, "08:45 train 2T90 departed for Westbeck"}, []string{accepted, "08:58 train 2T90 will not run"}, "movement-differs", "by the book of Westbeck it never came"},
		{"the same with its bells", []string{offered, "08:45 train 2T90 departed for Westbeck", "08:45 Westbeck >2 <2", out[0]}, []string{accepted, "08:58 train 2T90 will not run"}, "movement-differs", "by the book of Westbeck it never came"},
		{"a time written 18 minutes late in its place", []string{offered, "08:44 Westbeck >2 <2", out[0]}, []string{accepted, "09:02 Eastmoor <2 >2", out[1]}, "time-differs", "18 min apart"},
	} {
		east, west := regular(4)
		after := `09:55 note "all in order"`
		p := twoBooks(t, "exchanges", append(slices.Concat(east, c.east), after), append(slices.Concat(west, c.west), after))
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%s: found %q\n%s", c.name, got, listing(p))
			continue
		}
		for _, f := range p.Findings {
			if !strings.Contains(f.Text, c.says) || (f.Severity == rulebook.Danger) != (f.Rule == rulebook.ObstructionDiffers) {
				t.Errorf("%s: %s %s", c.name, f.Severity, f.Text)
			}
		}
	}
}
