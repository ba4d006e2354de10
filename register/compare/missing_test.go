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
	danger := []string{`09:40 obstruct "Up Main" Westbeck "wagon foul"`, "09:40 Westbeck >6 <6", `09:50 clear "Up Main" Westbeck`, "09:50 Westbeck >1 <1 >2-1 <2-1"}
	offered := "09:40 Westbeck >1 <1 >3-1 <3-1 train 2T90"
	accepted := "09:40 Eastmoor <1 >1 <3-1 >3-1 train 2T90"
	out := []string{"09:55 Westbeck <1 >1 <2-1 >2-1", "09:55 Eastmoor >1 <1 >2-1 <2-1"}
	for _, c := range []struct {
		name       string
		east, west []string
		want, says string
	}{
		{"obstruction danger in both books", danger, []string{"09:40 Eastmoor <6 >6", "09:50 Eastmoor <1 >1 <2-1 >2-1"}, "", ""},
		{"obstruction danger in one", danger, nil, "obstruction-differs", "obstruction danger for the Up Main, 6 sent to Westbeck, at 09:40 (entry 26, line 27), and Westbeck has nothing of it; nor of its removal at 09:50 (entry 28, line 29)"},
		{"its removal in one", danger, []string{"09:40 Eastmoor <6 >6"}, "bell-missing", "has 2-1 sent to Westbeck"},
		{"a train that did not run by the other book", []string{offered, "09:45 train 2T90 departed for Westbeck"}, []string{accepted, "09:58 train 2T90 will not run"}, "movement-differs", "by the book of Westbeck it never came"},
		{"the same with its bells", []string{offered, "09:45 train 2T90 departed for Westbeck", "09:45 Westbeck >2 <2", out[0]}, []string{accepted, "09:58 train 2T90 will not run"}, "movement-differs", "by the book of Westbeck it never came"},
		{"an offer cancelled, in one book", []string{offered, "09:45 Westbeck >3-5 <3-5 train 2T90"}, nil, "bell-missing",
			"Eastmoor has 3-1 sent to Westbeck at 09:40 (entry 25, line 26); Westbeck has it not, nor its cancelling at 09:45 (entry 26, line 27)"},
		{"a train offered again, cancelled in one book", []string{offered, "09:45 Westbeck >3-5 <3-5 train 2T90", "09:52 Westbeck >1 <1 >3-1 <3-1 train 2T90"},
			[]string{accepted, "09:52 Eastmoor <1 >1 <3-1 >3-1 train 2T90"}, "bell-missing", "has 3-5 sent to Westbeck at 09:45"},
		{"a code miscopied as that of call attention", []string{offered}, []string{"09:40 Eastmoor <1 >1 <1 >1 train 2T90"}, "bell-differs", "Westbeck has 1 received from Eastmoor at 09:40"},
		{"the half of it", []string{"09:40 Westbeck >1 <1 >1 <3-1 train 2T90"}, []string{accepted}, "bell-differs", "has 1 sent to Westbeck at 09:40"},
		{"a bell forgotten", []string{"09:40 Westbeck >1 <1 >3-1 <3-1 train 2T90", "09:44 train 2T90 departed for Westbeck", "09:44 Westbeck >2 <2 train 2T90", out[0], "10:00 Westbeck >1 <1 >3-1 <3-1 train 2T91", "10:04 train 2T91 departed for Westbeck", "10:04 Westbeck >2 <2 train 2T91", "10:10 Westbeck <1 >1 <2-1 >2-1"},
			[]string{accepted, "09:44 Eastmoor <2 >2 train 2T90", "09:54 train 2T90 arrived complete", "09:56 train 2T90 put away", "10:00 Eastmoor <1 >1 <3-1 >3-1 train 2T91", "10:04 Eastmoor <2 >2 train 2T91", "10:09 train 2T91 arrived complete", "10:10 Eastmoor >1 <1 >2-1 <2-1", "10:12 train 2T91 put away"}, "bell-missing", "has 2-1 received from Westbeck at 09:55"},
		{"a name wrong in one bell", []string{offered, "09:44 train 2T90 departed for Westbeck", "09:44 Westbeck >2 <2 train 2T90", out[0]},
			[]string{"09:40 Eastmoor <1 >1 <3-1 >3-1 train 2T9", "09:44 Eastmoor <2 >2 train 2T90", "09:54 train 2T90 arrived complete", out[1]}, "name-differs", "one of the names is cut short"},
		{"a time written 18 minutes late in its place", []string{offered, "09:44 Westbeck >2 <2", out[0]}, []string{accepted, "10:02 Eastmoor <2 >2", out[1]}, "time-differs", "18 min apart"},
	} {
		east, west := regular(6)
		after := `10:55 note "all in order"`
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
